"""The hand on the lists page: opening it, clicking a cell, typing into it."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from harness_studio.desktop.lists.page import ListsPage
from harness_studio.desktop.window import Window
from tests.support.pointing import press

CONTROL, NONE = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.NoModifier


def opened(window: Window) -> ListsPage:
    """Open the page by its key."""
    press(window, Qt.Key.Key_L, CONTROL)
    page = window.drawer.current
    assert isinstance(page, ListsPage)
    return page


def _spot(page: ListsPage, row_id: str, column: str) -> QPoint:
    names = [c.name for c in page.things.rows.columns]
    index = page.things.index(page.things.ids.index(row_id), names.index(column))
    page.table.scrollTo(index)
    return page.table.visualRect(index).center()


def click_cell(page: ListsPage, row_id: str, column: str, modifiers: Qt.KeyboardModifier = NONE) -> None:
    """Click a cell by the id of its row and the name of its column."""
    QTest.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, modifiers, _spot(page, row_id, column))


def typed(
    page: ListsPage, text: str, end: Qt.Key = Qt.Key.Key_Return, modifiers: Qt.KeyboardModifier = NONE
) -> None:
    """Type into the cell that has the cursor; the first letter opens its editor."""
    QTest.keyClick(page.table, text[0])
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit), editor
    QTest.keyClicks(editor, text[1:])
    QTest.keyClick(editor, end, modifiers)
    QApplication.processEvents()  # a cell is written after its editor has seen the key
