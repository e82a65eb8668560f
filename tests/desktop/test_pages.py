"""Pages of the diagram: made by one command, followed from labels, renamed, removed, all of it undone."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from harness_studio.desktop.pages.page import PagesPage
from harness_studio.desktop.window import Window
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
    assert "page GP2 bed left rear corner" in pickup.foot.saved.text()
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
