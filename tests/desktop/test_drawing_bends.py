"""A wire's ends are taken elsewhere and its stretches bent by hand; bends are kept until it is re-routed."""

from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from harness_studio.base.geometry import Point
from harness_studio.desktop.window import Window
from harness_studio.diagram import staging
from harness_studio.diagram.gestures.bend import Bend
from harness_studio.diagram.gestures.wire_end import WireEnd
from harness_studio.diagram.pointer import end_handles
from harness_studio.model.edits import change
from tests.support.drawing_hands import key, point, pull
from tests.support.pointing import drag, middle_of, on_wire, pixel

CONTROL = Qt.KeyboardModifier.ControlModifier


def ends(window: Window, wire: str) -> list[str]:
    return [str(e) for e in window.session.harness.wires[wire].ends]


def way(window: Window, wire: str) -> list[Point]:
    return list(window.diagram.scene.layout.routes[wire].points)


def bends(window: Window, wire: str) -> tuple[tuple[float, float], ...]:
    return window.session.harness.pages["rear"].wires.get(wire, ())


def level_stretch(window: Window, wire: str) -> tuple[Point, Point]:
    """Return the longest level stretch of a wire that begins and ends at corners."""
    inner = [(a, b) for a, b in list(pairwise(way(window, wire)))[1:-1] if a.x_mm == b.x_mm]
    return max(inner, key=lambda ab: abs(ab[0].y_mm - ab[1].y_mm))


def test_take_an_end_elsewhere_and_back(pickup: Window) -> None:
    pickup.session.select({"W40"})
    _, end = end_handles(pickup.diagram)
    pull(pickup, pixel(pickup.diagram, end), point(pickup, "GP5"), release=False)
    assert isinstance(pickup.diagram.gesture, WireEnd)
    pickup.diagram.grab()
    key(pickup, Qt.Key.Key_Escape)
    assert pickup.session.history == ()
    assert pickup.diagram.state.lifted == frozenset()
    pull(pickup, pixel(pickup.diagram, end), point(pickup, "GP5"))
    assert ends(pickup, "W40") == ["M2.31", "GP5"]
    assert pickup.session.harness.grounds["GP2"].stack == (("W31",), ("W41",))
    assert pickup.session.history == ("take W40 from GP2 to GP5",)
    key(pickup, Qt.Key.Key_Z, CONTROL)
    assert ends(pickup, "W40") == ["M2.31", "GP2"]
    assert pickup.session.harness.grounds["GP2"].stack == (("W31",), ("W40",), ("W41",))


def test_leave_an_end_open(pickup: Window) -> None:
    pickup.session.select({"W40"})
    _, end = end_handles(pickup.diagram)
    spot = next(
        QPoint(x, y)
        for x in range(30, pickup.diagram.width() - 30, 25)
        for y in range(30, pickup.diagram.height() - 30, 25)
        if pickup.diagram.scene.hit(pickup.diagram.camera.at(x, y), 12.0) is None
    )
    pull(pickup, pixel(pickup.diagram, end), spot)
    asked = pickup.focusWidget()
    assert asked is not None
    QTest.keyClicks(asked, "not known")
    QTest.keyClick(asked, Qt.Key.Key_Return)
    assert ends(pickup, "W40") == ["M2.31", "unknown"]


def test_both_ends_on_one_point_is_refused(pickup: Window) -> None:
    pickup.session.select({"W2"})
    start, _ = end_handles(pickup.diagram)
    pull(pickup, pixel(pickup.diagram, start), point(pickup, "GP1"))
    assert pickup.bar.text == "Both ends of W2 would be on GP1: end it on another point."
    assert pickup.session.history == ()


def test_bend_keep_and_re_route(pickup: Window) -> None:
    pickup.session.select({"W13"})
    before = way(pickup, "W13")
    a, b = level_stretch(pickup, "W13")
    middle = pixel(pickup.diagram, Point(a.x_mm, (a.y_mm + b.y_mm) / 2))
    pull(pickup, middle, middle + QPoint(30, 0), release=False)
    gesture = pickup.diagram.gesture
    assert isinstance(gesture, Bend)
    wanted = list(gesture.points)
    assert wanted != before
    QTest.mouseRelease(pickup.diagram, Qt.MouseButton.LeftButton, pos=middle + QPoint(30, 0))
    assert way(pickup, "W13") == wanted
    assert bends(pickup, "W13") == tuple((p.x_mm, p.y_mm) for p in wanted[1:-1])
    assert pickup.session.history == ("bend W13",)

    kept = bends(pickup, "W13")
    drag(pickup, middle_of(pickup.diagram, "P1"), QPoint(0, 20))
    assert bends(pickup, "W13") == kept
    run = {(p.x_mm, p.y_mm) for p in way(pickup, "W13")}
    assert kept[0] in run

    pickup.session.select({"W13"})
    key(pickup, Qt.Key.Key_R)
    assert bends(pickup, "W13") == ()
    key(pickup, Qt.Key.Key_Z, CONTROL)
    assert bends(pickup, "W13") == kept


def test_re_route_the_page(pickup: Window) -> None:
    diagram = pickup.diagram
    drag(pickup, middle_of(diagram, "M2"), QPoint(-40, 30))
    key(pickup, Qt.Key.Key_R, Qt.KeyboardModifier.ShiftModifier)
    assert pickup.session.history == ("move M2",)
    fresh = type(diagram.scene)(pickup.session.harness, diagram.scene.page)
    assert diagram.scene.layout.routes == fresh.layout.routes


@pytest.mark.parametrize("by", ["button", "key"])
def test_re_routing_a_large_page_can_be_stopped(
    pickup: Window, monkeypatch: pytest.MonkeyPatch, by: str, qtbot: QtBot
) -> None:
    diagram = pickup.diagram
    pickup.session.select({"W13"})
    monkeypatch.setattr(staging, "AT_ONCE", 3)
    page = diagram.scene.page
    bent = change(
        pickup.session.harness, "pages", page.id, "bend", wires={"W13": ((10.0, 10.0), (10.0, 60.0))}
    )
    pickup.session.apply(bent)
    qtbot.waitUntil(lambda: diagram.busy is None, timeout=10_000)
    before, here = diagram.scene.layout.routes, bends(pickup, "W13")
    key(pickup, Qt.Key.Key_R, Qt.KeyboardModifier.ShiftModifier)
    assert diagram.staging.can_stop
    assert bends(pickup, "W13") == ()
    assert pickup.foot.solved.text().startswith("laying wires, ")
    if by == "button":
        QTest.mouseClick(pickup.foot.stop, Qt.MouseButton.LeftButton)
    else:
        key(pickup, Qt.Key.Key_Escape, Qt.KeyboardModifier.ShiftModifier)
    assert bends(pickup, "W13") == here
    qtbot.waitUntil(lambda: diagram.busy is None, timeout=10_000)
    assert diagram.scene.layout.routes == before
    assert not pickup.foot.stop.isVisible()


def test_a_rubber_band_still_begins_on_a_wire_that_is_not_selected(pickup: Window) -> None:
    start = on_wire(pickup.diagram, "W4")
    pull(pickup, start, start + QPoint(40, 40))
    assert pickup.session.history == ()
