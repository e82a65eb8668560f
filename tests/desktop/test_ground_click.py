"""A click on a joint brings everything that shares it to the front; Escape puts all back."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from harness_studio.desktop.drawer import GROUND_MAP
from harness_studio.desktop.window import Window
from harness_studio.drawing.theme import FADE
from tests.support.pointing import click, on_wire, pixel, press

LIKE = 6


def colour(window: Window, wire: str) -> QColor:
    return window.diagram.grab().toImage().pixelColor(on_wire(window.diagram, wire))


def alike(a: QColor, b: QColor) -> bool:
    return max(abs(a.red() - b.red()), abs(a.green() - b.green()), abs(a.blue() - b.blue())) <= LIKE


def settled(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(lambda: window.diagram.state.progress == 1.0)


def test_a_click_on_a_ground(qtbot: QtBot, pickup: Window) -> None:
    full, faded = pickup.theme, pickup.theme.faded(FADE)
    assert alike(colour(pickup, "W2"), full.colour("BK"))
    click(pickup, "GP2")
    settled(qtbot, pickup)
    assert pickup.session.chosen == "GP2"
    assert alike(colour(pickup, "W31"), full.colour("BN"))
    assert alike(colour(pickup, "W41"), full.colour("BK"))
    assert alike(colour(pickup, "W2"), faded.colour("BK"))  # the battery's return shares nothing with it
    page = pickup.drawer.ground_map
    assert pickup.drawer.tabs.currentIndex() == GROUND_MAP
    assert page.title.text() == "GP2 bed left rear corner"
    assert page.sentence.text().startswith("3 circuits return here, ")
    titles = [title for title, _ in page.listed]
    assert titles[0] == "load"
    assert titles[1].startswith("M2 ")  # moves it most
    assert sum(title.startswith(("E5 ", "E6 ", "B1 ")) for title in titles) == 3


def test_escape_puts_all_back(qtbot: QtBot, pickup: Window) -> None:
    before = pickup.diagram.grab().toImage()
    click(pickup, "GP2")
    settled(qtbot, pickup)
    assert pickup.diagram.grab().toImage() != before
    press(pickup, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: pickup.diagram.state.focus is None)
    assert pickup.session.chosen is None
    press(pickup, Qt.Key.Key_Escape)
    assert pickup.session.selection == frozenset()
    pickup.diagram.state.hovered = None
    assert pickup.diagram.grab().toImage() == before


def test_the_list_folds_small_shares(qtbot: QtBot, pickup: Window) -> None:
    click(pickup, "GP2")
    page = pickup.drawer.ground_map
    fold = next(i for i, (title, _) in enumerate(page.listed) if title.endswith("more below 5 %"))
    many = int(page.listed[fold][0].split()[0])
    count = len(page.listed)
    page.list.scrollTo(page.list.model().index(fold, 0))
    spot = page.list.visualRect(page.list.model().index(fold, 0)).center()
    qtbot.mouseClick(page.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert len(page.listed) == count + many
    assert page.listed[-1][0] == "hide them"


def test_a_press_on_a_line_selects_its_load(qtbot: QtBot, pickup: Window) -> None:
    click(pickup, "GP2")
    page = pickup.drawer.ground_map
    row = next(i for i, (title, _) in enumerate(page.listed) if title.startswith("E6 "))
    spot = page.list.visualRect(page.list.model().index(row, 0)).center()
    qtbot.mouseClick(page.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert pickup.session.selection == {"E6"}
    assert pickup.session.chosen == "GP2"


@pytest.mark.parametrize(
    ("thing", "sentence"),
    [("SP3", "return"), ("F4", "1 circuit is fed through here"), ("GP5", "return")],
)
def test_other_joints(pickup: Window, thing: str, sentence: str) -> None:
    click(pickup, thing)
    assert pickup.session.chosen == thing
    assert sentence in pickup.drawer.ground_map.sentence.text()


def test_a_second_click_on_a_ring_is_that_ring(qtbot: QtBot, pickup: Window) -> None:
    spot = pixel(pickup.diagram, pickup.diagram.scene.symbols["GP2"].outlines["GP2/W40"].centre)
    for joint in ("GP2", "GP2/W40"):
        qtbot.mouseClick(pickup.diagram, Qt.MouseButton.LeftButton, pos=spot)
        assert pickup.session.chosen == joint
    assert pickup.drawer.ground_map.title.text() == "GP2/W40 bed left rear corner"
    assert pickup.drawer.ground_map.sentence.text().startswith("1 circuit returns here")


def test_a_part_is_no_joint(pickup: Window) -> None:
    click(pickup, "M2")
    assert pickup.session.selection == {"M2"}
    assert pickup.session.chosen is None
    assert "rated" in pickup.drawer.details.said()


def test_another_mode_changes_the_map(qtbot: QtBot, pickup: Window) -> None:
    click(pickup, "GP2")
    before = pickup.drawer.ground_map.sentence.text()
    solved = pickup.session.solution
    qtbot.mouseClick(pickup.strip.buttons["key_on"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: pickup.session.solution is not solved)
    assert pickup.session.mode == "key_on"
    assert pickup.strip.buttons["key_on"].isChecked()
    assert not pickup.strip.buttons["braking"].isChecked()
    assert pickup.drawer.ground_map.sentence.text() != before


def test_enter_chooses_what_is_selected(pickup: Window) -> None:
    pickup.session.select({"SP3"})
    press(pickup, Qt.Key.Key_Return)
    assert pickup.session.chosen == "SP3"


def test_enter_on_what_is_no_joint_says_what_would_be(pickup: Window) -> None:
    pickup.session.select({"M2"})
    press(pickup, Qt.Key.Key_Return)
    assert pickup.session.chosen is None
    assert "ground, splice, fuse" in pickup.bar.text


def test_a_double_click_on_a_wire_shows_who_else_uses_it(qtbot: QtBot, pickup: Window) -> None:
    qtbot.mouseDClick(pickup.diagram, Qt.MouseButton.LeftButton, pos=on_wire(pickup.diagram, "W31"))
    assert pickup.session.chosen == "W31"
    assert "return here" in pickup.drawer.ground_map.sentence.text()
