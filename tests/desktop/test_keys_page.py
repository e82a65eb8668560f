"""Keys of commands: changed in place by keyboard alone, clashes are said, kept, and put back."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from harness_studio.desktop.keys.page import KeysPage
from harness_studio.desktop.window import Window
from tests.desktop.conftest import Answers
from tests.support.pointing import press

CONTROL, ALT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier


@pytest.fixture
def page(qtbot: QtBot, pickup: Window) -> KeysPage:
    press(pickup, Qt.Key.Key_K, CONTROL | ALT)
    found = pickup.drawer.current
    assert isinstance(found, KeysPage)
    return found


def choose(qtbot: QtBot, page: KeysPage, words: str) -> None:
    page.filter.clear()
    qtbot.keyClicks(page.filter, words)
    assert page.table.topLevelItemCount() == 1
    page.table.setFocus()


def keys(qtbot: QtBot, page: KeysPage, key: Qt.Key, held: Qt.KeyboardModifier) -> None:
    """Press keys in the field, and wait until it takes them."""
    qtbot.waitUntil(lambda: not page.field.isHidden())
    with qtbot.waitSignal(page.field.editingFinished, timeout=10_000):
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            QApplication.sendEvent(page.field, QKeyEvent(kind, key, held))


def test_every_command_is_listed_with_its_keys(pickup: Window, page: KeysPage) -> None:
    assert page.table.topLevelItemCount() == len(pickup.commands.all)
    page.filter.setText("whole page")
    assert page.table.topLevelItem(1).text(1) == "F, Ctrl+0"


def test_new_keys_by_keyboard_are_kept(
    qtbot: QtBot, pickup: Window, page: KeysPage, answers: Answers
) -> None:
    choose(qtbot, page, "arrange the whole page")
    qtbot.keyClick(page.table, Qt.Key.Key_Return)
    keys(qtbot, page, Qt.Key.Key_J, CONTROL)
    assert pickup.commands.keys("arrange") == ("Ctrl+J",)
    assert page.table.topLevelItem(0).text(1) == "Ctrl+J (yours)"
    again = Window(answers)
    qtbot.addWidget(again)
    assert again.commands.actions["arrange"].shortcut().toString() == "Ctrl+J"
    again.commands.reset_keys()
    assert again.commands.keys("arrange") == again.commands.by_id["arrange"].keys


def test_keys_of_another_command_are_taken_when_asked_twice(
    qtbot: QtBot, pickup: Window, page: KeysPage
) -> None:
    choose(qtbot, page, "arrange the whole page")
    page.change.click()
    keys(qtbot, page, Qt.Key.Key_S, CONTROL)
    assert "Ctrl+S calls 'Save'" in page.says.text()
    assert pickup.commands.keys("save") == ("Ctrl+S",)
    keys(qtbot, page, Qt.Key.Key_S, CONTROL)
    assert "'Save' has lost it" in page.says.text()
    assert (pickup.commands.keys("arrange"), pickup.commands.keys("save")) == (("Ctrl+S",), ())
    page.all.click()
    assert (pickup.commands.keys("arrange"), pickup.commands.keys("save")) == (("Ctrl+Shift+A",), ("Ctrl+S",))
    shown = [k.toString() for action in pickup.commands.actions.values() for k in action.shortcuts()]
    assert len(shown) == len(set(shown))


def test_keys_of_the_diagram_stay_its_own_and_escape_changes_nothing(
    qtbot: QtBot, pickup: Window, page: KeysPage
) -> None:
    choose(qtbot, page, "arrange the whole page")
    page.change.click()
    keys(qtbot, page, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier)
    assert "is needed on the diagram" in page.says.text()
    page.change.click()
    qtbot.keyClick(page.field, Qt.Key.Key_Escape)
    assert page.field.isHidden()
    assert pickup.commands.keys("arrange") == ("Ctrl+Shift+A",)


def test_a_key_can_be_taken_away_and_given_back(qtbot: QtBot, pickup: Window, page: KeysPage) -> None:
    choose(qtbot, page, "save as")
    qtbot.keyClick(page.table, Qt.Key.Key_Delete)
    assert pickup.commands.actions["save_as"].shortcuts() == []
    page.one.click()
    assert pickup.commands.keys("save_as") == ("Ctrl+Shift+S",)
