"""Symbols move with their wires, in one step that can be undone."""

from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from harness_studio.diagram.gestures.band import Band
from harness_studio.diagram.gestures.move import Move
from harness_studio.diagram.gestures.pan import Pan
from tests.support.pointing import click, drag, middle_of, press


def at(window: Window, thing: str) -> tuple[float, float]:
    item = window.session.harness.pages["rear"].items[thing]
    return item.x_mm, item.y_mm


def ends_at_its_symbols(window: Window, wire: str) -> bool:
    scene = window.diagram.scene
    route = scene.layout.routes[wire].points
    anchors = [a.at for s in scene.symbols.values() for (w, _), a in s.wire_anchors.items() if w == wire]
    return {route[0], route[-1]} == set(anchors)


def test_drag_and_undo(pickup: Window) -> None:
    before = at(pickup, "M2")
    unmoved = pickup.diagram.scene.layout.routes["W2"]
    drag(pickup, middle_of(pickup.diagram, "M2"), QPoint(60, 24))
    after = at(pickup, "M2")
    scale = pickup.diagram.camera.px_per_mm
    assert after[0] - before[0] == pytest.approx(60 / scale, abs=1.0)
    assert after[1] - before[1] == pytest.approx(24 / scale, abs=1.0)
    for wire in ("W24", "W40"):
        assert ends_at_its_symbols(pickup, wire)
        points = pickup.diagram.scene.layout.routes[wire].points
        assert all(a.x_mm == b.x_mm or a.y_mm == b.y_mm for a, b in pairwise(points))
    assert pickup.diagram.scene.layout.routes["W2"] == unmoved
    assert pickup.session.history == ("move M2",)
    press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert at(pickup, "M2") == before
    press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    assert at(pickup, "M2") == after


def test_while_it_is_dragged_nothing_is_changed_and_wires_follow(pickup: Window) -> None:
    before = at(pickup, "M2")
    drag(pickup, middle_of(pickup.diagram, "M2"), QPoint(90, 30), release=False)
    gesture = pickup.diagram.gesture
    assert isinstance(gesture, Move)
    assert at(pickup, "M2") == before
    assert pickup.session.history == ()
    moved = pickup.diagram.scene.symbols["M2"].wire_anchors["W40", "M2.31"].at.moved(*gesture.moved_mm)
    assert gesture.points("W40")[0] == (moved.x_mm, moved.y_mm)
    pickup.diagram.grab()


def test_escape_leaves_it_where_it_was(pickup: Window) -> None:
    before, picture = at(pickup, "M2"), pickup.diagram.grab().toImage()
    drag(pickup, middle_of(pickup.diagram, "M2"), QPoint(90, 30), release=False)
    assert pickup.diagram.grab().toImage() != picture
    press(pickup, Qt.Key.Key_Escape)
    assert pickup.diagram.gesture is None
    assert at(pickup, "M2") == before
    assert not pickup.session.can_undo
    assert pickup.diagram.state.lifted == frozenset()


def test_several_move_together(pickup: Window) -> None:
    control = Qt.KeyboardModifier.ControlModifier
    click(pickup, "E5")
    click(pickup, "E6", control)
    assert pickup.session.selection == {"E5", "E6"}
    before = [at(pickup, t) for t in ("E5", "E6")]
    drag(pickup, middle_of(pickup.diagram, "E6"), QPoint(0, 50))
    steps = [
        (a[0] - b[0], a[1] - b[1]) for a, b in zip([at(pickup, t) for t in ("E5", "E6")], before, strict=True)
    ]
    assert steps[0] == steps[1] != (0, 0)
    assert pickup.session.history == ("move 2 symbols",)


def test_control_and_click_takes_away(pickup: Window) -> None:
    control = Qt.KeyboardModifier.ControlModifier
    click(pickup, "E5")
    click(pickup, "E6", control)
    click(pickup, "E5", control)
    assert pickup.session.selection == {"E6"}


def test_arrow_keys_nudge(pickup: Window) -> None:
    click(pickup, "M2")
    x, y = at(pickup, "M2")
    press(pickup, Qt.Key.Key_Right)
    press(pickup, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert at(pickup, "M2") == (x + 2, y + 10)
    assert len(pickup.session.history) == 2


def test_a_rubber_band_selects_what_it_holds(pickup: Window) -> None:
    diagram = pickup.diagram
    lamps = [diagram.scene.symbols[t].box for t in ("E5", "E6")]
    left, top = min(b.left_mm for b in lamps) - 4, min(b.top_mm for b in lamps) - 4
    right, bottom = max(b.right_mm for b in lamps) + 4, max(b.bottom_mm for b in lamps) + 4
    start = QPoint(*map(round, diagram.camera.on(type(lamps[0].centre)(left, top))))
    end = QPoint(*map(round, diagram.camera.on(type(lamps[0].centre)(right, bottom))))
    drag(pickup, start, end - start, release=False)
    assert isinstance(diagram.gesture, Band)
    assert {"E5", "E6"} <= pickup.session.selection
    press(pickup, Qt.Key.Key_Escape)
    assert pickup.session.selection == frozenset()
    drag(pickup, start, end - start)
    assert {"E5", "E6"} <= pickup.session.selection
    assert "M2" not in pickup.session.selection
    assert not pickup.session.can_undo


def test_middle_button_and_space_pan(qtbot: QtBot, pickup: Window) -> None:
    diagram = pickup.diagram
    spot = QPoint(200, 300)
    there = diagram.camera.at(200, 300)
    drag(pickup, spot, QPoint(70, -40), Qt.MouseButton.MiddleButton)
    assert diagram.camera.on(there) == pytest.approx((270, 260))
    qtbot.keyPress(diagram, Qt.Key.Key_Space)
    drag(pickup, spot, QPoint(-70, 40), release=False)
    assert isinstance(diagram.gesture, Pan)
    press(pickup, Qt.Key.Key_Escape)
    assert diagram.camera.on(there) == pytest.approx((270, 260))
    qtbot.keyRelease(diagram, Qt.Key.Key_Space)
    assert pickup.session.selection == frozenset()


def test_a_read_only_project_can_be_looked_at_and_moved(
    pickup: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(type(pickup.session.project), "read_only", property(lambda _: True))
    drag(pickup, middle_of(pickup.diagram, "M2"), QPoint(40, 0))
    pickup.refresh_foot()
    assert pickup.foot.saved.text().endswith("read only")
