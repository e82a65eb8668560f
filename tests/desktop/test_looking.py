"""Zoom, pan, fit, search and walking by keys."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from harness_studio.diagram.camera import Camera
from tests.support.pointing import middle_of, pixel, press, wheel

CONTROL = Qt.KeyboardModifier.ControlModifier


def whole_page_is_seen(window: Window) -> bool:
    diagram, extent = window.diagram, window.diagram.scene.extent
    corners = [
        diagram.camera.on(extent.centre.moved(s * extent.width_mm / 2, s * extent.height_mm / 2))
        for s in (-1, 1)
    ]
    return all(0 <= x <= diagram.width() and 0 <= y <= diagram.height() for x, y in corners)


def test_a_project_opens_wholly_seen(pickup: Window) -> None:
    assert whole_page_is_seen(pickup)
    pickup.resize(900, 700)
    assert whole_page_is_seen(pickup)


def test_the_wheel_pans_and_with_control_zooms_at_the_pointer(pickup: Window) -> None:
    camera, spot = pickup.diagram.camera, QPointF(400, 300)
    there = camera.at(400, 300)
    wheel(pickup.diagram, spot, 1, CONTROL)
    assert pickup.diagram.camera.zoom == pytest.approx(camera.zoom * 1.25)
    assert pickup.diagram.camera.on(there) == pytest.approx((400, 300))
    wheel(pickup.diagram, spot, -1)
    assert pickup.diagram.camera.on(there) == pytest.approx((400, 240))
    wheel(pickup.diagram, spot, 1, Qt.KeyboardModifier.ShiftModifier)
    assert pickup.diagram.camera.on(there) == pytest.approx((460, 240))


def test_keys_zoom_and_fit(pickup: Window) -> None:
    zoom = pickup.diagram.camera.zoom
    press(pickup, Qt.Key.Key_Plus, CONTROL)
    press(pickup, Qt.Key.Key_Plus, CONTROL)
    assert pickup.diagram.camera.zoom == pytest.approx(zoom * 1.25**2)
    press(pickup, Qt.Key.Key_Minus, CONTROL)
    assert pickup.diagram.camera.zoom == pytest.approx(zoom * 1.25)
    press(pickup, Qt.Key.Key_F)
    assert pickup.diagram.camera.zoom == pytest.approx(zoom)


def test_arrow_keys_pan_when_nothing_is_selected(pickup: Window) -> None:
    there = pickup.diagram.camera.at(100, 100)
    press(pickup, Qt.Key.Key_Right)
    assert pickup.diagram.camera.on(there) == pytest.approx((40, 100))


def test_the_keyboard_walks_from_symbol_to_symbol(pickup: Window) -> None:
    alt = Qt.KeyboardModifier.AltModifier
    press(pickup, Qt.Key.Key_Right, alt)
    (first,) = pickup.session.selection
    press(pickup, Qt.Key.Key_Right, alt)
    (second,) = pickup.session.selection
    places = [pickup.diagram.scene.symbols[t].box.centre.x_mm for t in (first, second)]
    assert places[0] < places[1]


@pytest.mark.parametrize(
    ("text", "thing"), [("brown with white", "W40"), ("left wing", "GP1"), ("7.5", None), ("tank", "B1")]
)
def test_search_selects_and_shows(qtbot: QtBot, pickup: Window, text: str, thing: str | None) -> None:
    pickup.diagram.look(Camera(5000.0, 5000.0))
    press(pickup, Qt.Key.Key_F, CONTROL)
    assert pickup.search.isVisible()
    qtbot.keyClicks(pickup.search.line, text)
    if thing is None:
        assert pickup.search.rows == []
        assert pickup.search.nothing == f"Nothing fits '{text}'."
        return
    assert pickup.search.rows[0] == thing
    qtbot.keyClick(pickup.search.line, Qt.Key.Key_Return)
    assert not pickup.search.isVisible()
    assert pickup.session.selection == {thing}
    box = pickup.diagram.scene.place_of(thing)
    assert box is not None
    x, y = pickup.diagram.camera.on(box.centre)
    assert (x, y) == pytest.approx((pickup.diagram.width() / 2, pickup.diagram.height() / 2), abs=1)
    assert pickup.diagram.hasFocus()


def test_what_can_be_read_where_it_is_stays_there(qtbot: QtBot, pickup: Window) -> None:
    pickup.diagram.fit()
    middle = pickup.diagram.camera.at(pickup.diagram.width() / 2, pickup.diagram.height() / 2)
    pickup.diagram.look(Camera(zoom=0.7).centred(middle, pickup.diagram.width(), pickup.diagram.height()))
    before = pickup.diagram.camera
    for text in ("GP2", "M2"):
        press(pickup, Qt.Key.Key_F, CONTROL)
        qtbot.keyClicks(pickup.search.line, text)
        qtbot.keyClick(pickup.search.line, Qt.Key.Key_Return)
        assert pickup.session.selection == {text}
        assert pickup.diagram.camera == before


def test_the_dial_of_what_was_found_takes_the_keys(qtbot: QtBot, pickup: Window) -> None:
    press(pickup, Qt.Key.Key_F, CONTROL)
    qtbot.keyClicks(pickup.search.line, "GP2")
    qtbot.keyClick(pickup.search.line, Qt.Key.Key_Return)
    press(pickup, Qt.Key.Key_D)
    assert pickup.session.chosen == "GP2"
    assert pickup.diagram.dial.hasFocus()
    qtbot.keyClicks(pickup.diagram.dial, "80")
    qtbot.keyClick(pickup.diagram.dial, Qt.Key.Key_Return)
    assert pickup.diagram.dial.ohm == pytest.approx(0.08)


def test_search_by_keys_only(qtbot: QtBot, pickup: Window) -> None:
    press(pickup, Qt.Key.Key_F, CONTROL)
    qtbot.keyClicks(pickup.search.line, "lamp")
    second = pickup.search.rows[1]
    qtbot.keyClick(pickup.search.line, Qt.Key.Key_Down)
    qtbot.keyClick(pickup.search.line, Qt.Key.Key_Return)
    assert pickup.session.selection == {second}


def test_escape_leaves_the_search(qtbot: QtBot, pickup: Window) -> None:
    press(pickup, Qt.Key.Key_F, CONTROL)
    qtbot.keyClick(pickup.search.line, Qt.Key.Key_Escape)
    assert not pickup.search.isVisible()
    assert pickup.diagram.hasFocus()


def test_search_knows_what_was_changed(qtbot: QtBot, pickup: Window) -> None:
    from harness_studio.model.edits import change

    press(pickup, Qt.Key.Key_F, CONTROL)
    qtbot.keyClick(pickup.search.line, Qt.Key.Key_Escape)
    pickup.session.apply(change(pickup.session.harness, "parts", "M2", title="lift pump"))
    press(pickup, Qt.Key.Key_F, CONTROL)
    qtbot.keyClicks(pickup.search.line, "lift")
    assert pickup.search.rows == ["M2"]


def test_what_lies_under_the_pointer_is_named(qtbot: QtBot, pickup: Window) -> None:
    qtbot.mouseMove(pickup.diagram, middle_of(pickup.diagram, "M2"))
    assert pickup.diagram.state.hovered == "M2"
    assert pickup.diagram.toolTip().splitlines()[0] == "M2 fuel pump"
    qtbot.mouseMove(pickup.diagram, QPoint(3, 3))
    assert pickup.diagram.state.hovered is None


def test_paper_can_be_chosen_and_is_remembered(pickup: Window, answers: object) -> None:
    from harness_studio.desktop.window import settings

    def paper() -> str:
        return pickup.diagram.grab().toImage().pixelColor(4, 4).name()

    for name, colour in (("dark", "#171a1c"), ("light", "#fbfaf7")):
        pickup.commands.actions[f"appear_{name}"].trigger()
        shown, wanted = QColor(paper()), QColor(colour)
        assert all(abs(a - b) <= 3 for a, b in zip(shown.getRgb(), wanted.getRgb(), strict=True))
        assert settings().value("appearance") == name
        assert pickup.commands.actions[f"appear_{name}"].isChecked()


def test_a_message_above_the_diagram_leaves_everything_under_the_hand(pickup: Window) -> None:
    diagram = pickup.diagram
    pickup.zoom(1)
    middle = diagram.scene.place_of("GP2").centre

    def on_screen() -> QPoint:
        return diagram.mapTo(pickup, pixel(diagram, middle))

    before = on_screen()
    pickup.tell("Nothing there takes a wire.")
    QApplication.processEvents()
    assert pickup.bar.isVisible()
    assert (on_screen() - before).manhattanLength() <= 1
    pickup.bar.hide()
    QApplication.processEvents()
    assert (on_screen() - before).manhattanLength() <= 1
