"""Pages of the diagram: made by one command, followed from labels, renamed, removed, all of it undone."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QMimeData, QPointF, Qt
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from harness_studio.desktop.pages.page import PagesPage
from harness_studio.desktop.window import Window
from harness_studio.storage.project_file import read_project
from tests.support.pointing import click, pixel, press

CONTROL, ALT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier
SHIFT, NONE = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.NoModifier


@pytest.fixture
def page(pickup: Window) -> PagesPage:
    press(pickup, Qt.Key.Key_G, CONTROL)
    found = pickup.drawer.current
    assert isinstance(found, PagesPage)
    pickup.diagram.setFocus()
    return found


def titles(window: Window) -> list[str | None]:
    return [p.title for p in window.session.harness.pages.values()]


def test_a_page_of_a_ground_by_one_command_is_one_step(pickup: Window, page: PagesPage) -> None:
    click(pickup, "GP2")
    press(pickup, Qt.Key.Key_G, ALT | SHIFT)
    assert titles(pickup) == ["Rear lamps and pump", "GP2 bed left rear corner"]
    assert pickup.diagram.page_id == "gp2_bed_left_rear_corner"
    assert {"GP2", "SP3", "E5", "E6", "M2", "B1"} <= set(pickup.diagram.scene.symbols)
    assert "GP2 bed left rear corner" in pickup.foot.saved.text()
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert titles(pickup) == ["Rear lamps and pump"]
    assert pickup.diagram.page_id == "rear"


def test_without_a_selection_the_circuit_is_asked_for(qtbot: QtBot, pickup: Window, page: PagesPage) -> None:
    press(pickup, Qt.Key.Key_C, ALT | SHIFT)
    line = pickup.focusWidget()
    assert isinstance(line, QLineEdit)
    qtbot.keyClicks(line, "gauge")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert titles(pickup)[1:] == ["Fuel gauge"]


def test_a_label_that_leaves_the_page_is_followed_by_a_click(pickup: Window, page: PagesPage) -> None:
    pickup.session.select({"W41"})
    press(pickup, Qt.Key.Key_C, ALT | SHIFT)
    assert titles(pickup)[1:] == ["Fuel gauge"]
    one = next(o for o in pickup.diagram.scene.layout.onward if o.label.wire == "W40")
    assert one.label.text == "W40: M2.31, page Rear lamps and pump"
    QTest.mouseClick(pickup.diagram, Qt.MouseButton.LeftButton, NONE, pixel(pickup.diagram, one.box.centre))
    assert pickup.diagram.page_id == "rear"
    assert pickup.session.selection == {"W40"}


def test_the_same_by_key(pickup: Window, page: PagesPage) -> None:
    pickup.session.select({"W41"})
    press(pickup, Qt.Key.Key_C, ALT | SHIFT)
    pickup.session.select({"W31"})
    press(pickup, Qt.Key.Key_G)
    assert pickup.diagram.page_id == "rear"
    press(pickup, Qt.Key.Key_PageDown, CONTROL)
    assert pickup.diagram.page_id == "fuel_gauge"
    press(pickup, Qt.Key.Key_PageUp, CONTROL)
    assert pickup.diagram.page_id == "rear"
    pickup.session.select({"M2"})
    press(pickup, Qt.Key.Key_G)
    assert "Select a wire that leaves this page" in pickup.bar.text


def test_rename_in_place_and_remove(qtbot: QtBot, pickup: Window, page: PagesPage) -> None:
    pickup.session.select({"M2"})
    press(pickup, Qt.Key.Key_N, ALT | SHIFT)
    field = pickup.focusWidget()
    assert isinstance(field, QLineEdit)
    field.selectAll()
    qtbot.keyClicks(field, "Pump")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: titles(pickup) == ["Rear lamps and pump", "Pump"])
    page.list.setFocus()
    qtbot.keyClick(page.list, Qt.Key.Key_Delete)
    assert titles(pickup) == ["Rear lamps and pump"]
    assert pickup.diagram.page_id == "rear"
    qtbot.keyClick(page.list, Qt.Key.Key_Delete)
    assert pickup.bar.text == ""  # the command cannot be done
    press(pickup, Qt.Key.Key_Z, CONTROL)
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert titles(pickup) == ["Rear lamps and pump", "Page 2"]
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert not pickup.session.unsaved


def test_a_click_in_the_list_shows_a_page(qtbot: QtBot, pickup: Window, page: PagesPage) -> None:
    click(pickup, "GP2")
    press(pickup, Qt.Key.Key_G, ALT | SHIFT)
    pickup.drawer.open("pages")
    spot = page.list.visualItemRect(page.list.item(0)).center()
    qtbot.mouseClick(page.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert pickup.diagram.page_id == "rear"


def test_the_selection_goes_onto_another_page_and_off_it(
    qtbot: QtBot, pickup: Window, page: PagesPage
) -> None:
    click(pickup, "GP2")
    press(pickup, Qt.Key.Key_G, ALT | SHIFT)
    pickup.diagram.show_page("rear")
    click(pickup, "P1")
    pickup.diagram.setFocus()
    press(pickup, Qt.Key.Key_P, ALT | SHIFT)
    line = pickup.focusWidget()
    qtbot.keyClick(line, Qt.Key.Key_Return)
    own = "gp2_bed_left_rear_corner"
    assert "P1" in pickup.session.harness.pages[own].items
    pickup.diagram.show_page(own)
    pickup.diagram.setFocus()
    press(pickup, Qt.Key.Key_T, ALT | SHIFT)
    assert "P1" not in pickup.session.harness.pages[own].items
    assert "P1" in pickup.session.harness.parts


@pytest.fixture
def three(pickup: Window, page: PagesPage) -> Window:
    for thing in ("M2", "E5"):
        pickup.session.select({thing})
        press(pickup, Qt.Key.Key_N, ALT | SHIFT)
        QTest.keyClick(pickup.focusWidget(), Qt.Key.Key_Escape)
    return pickup


def names(page: PagesPage) -> list[str]:
    return [page.list.item(row).text() for row in range(page.list.count())]


def test_a_page_is_taken_to_another_place_by_keys(three: Window, page: PagesPage) -> None:
    rear, second, third = titles(three)
    page.list.setFocus()
    page.list.setCurrentRow(0)
    QTest.keyClick(page.list, Qt.Key.Key_Down, ALT)
    assert titles(three) == names(page) == [second, rear, third]
    assert page.list.currentRow() == 1
    assert three.session.history[-1] == f"take page {rear} to place 2"
    QTest.keyClick(page.list, Qt.Key.Key_Down, ALT)
    QTest.keyClick(page.list, Qt.Key.Key_Down, ALT)
    assert titles(three) == names(page) == [second, third, rear]
    press(three, Qt.Key.Key_Z, CONTROL)
    press(three, Qt.Key.Key_Z, CONTROL)
    assert titles(three) == names(page) == [rear, second, third]


def test_the_shown_page_is_taken_there_without_its_list(three: Window) -> None:
    rear, second, third = titles(three)
    three.diagram.setFocus()
    assert three.diagram.page_id == list(three.session.harness.pages)[2]
    press(three, Qt.Key.Key_PageUp, CONTROL | SHIFT)
    assert titles(three) == [rear, third, second]
    press(three, Qt.Key.Key_PageDown, CONTROL | SHIFT)
    assert titles(three) == [rear, second, third]
    steps = three.session.history
    press(three, Qt.Key.Key_PageDown, CONTROL | SHIFT)
    assert three.session.history == steps


def test_a_page_is_pulled_to_another_place_and_saved_there(
    three: Window, page: PagesPage, project: Path
) -> None:
    rear, second, third = titles(three)
    page.list.setCurrentRow(2)
    box = page.list.visualItemRect(page.list.item(0))
    drop = QDropEvent(
        QPointF(box.center().x(), box.top() + 1), Qt.DropAction.MoveAction, QMimeData(),
        Qt.MouseButton.LeftButton, NONE, QEvent.Type.Drop,
    )  # fmt: skip
    page.list.dropEvent(drop)
    assert titles(three) == names(page) == [third, rear, second]
    three.save()
    assert [p.title for p in read_project(project).harness.pages.values()] == [third, rear, second]
