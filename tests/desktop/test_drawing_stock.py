"""Things are taken from the stock by click, drag and key, and put down as one step each."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from harness_studio.desktop.drawing.stock_page import StockPage
from harness_studio.desktop.window import Window
from harness_studio.diagram.gestures.place import Place
from tests.support.drawing_hands import NONE, key, put, stock, take
from tests.support.pointing import drag, middle_of, on_wire


def page(window: Window) -> StockPage:
    found = stock(window)
    assert isinstance(found, StockPage)
    return found


def test_search_and_put_down(pickup: Window) -> None:
    before = set(pickup.session.harness.parts)
    take(pickup, "fuse 15")
    assert isinstance(pickup.diagram.gesture, Place)
    assert pickup.session.history == ()
    put(pickup, 60.7, 90.2)
    added = set(pickup.session.harness.parts) - before
    assert added == {"F6"}
    assert pickup.session.harness.parts["F6"].ratings.rated_a == 15
    at = pickup.session.harness.pages["rear"].items["F6"]
    assert (at.x_mm % 2, at.y_mm % 2) == (0, 0)
    assert abs(at.x_mm - 60.7) < 2
    assert abs(at.y_mm - 90.2) < 2
    assert pickup.session.history == ("place fuse, 15 A",)
    assert pickup.session.selection == {"F6"}
    assert pickup.drawer.page_id == "stock"
    key(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert set(pickup.session.harness.parts) == before
    assert "F6" not in pickup.session.harness.pages["rear"].items


def test_number_key_repeats_and_escape_cancels(pickup: Window) -> None:
    take(pickup, "lamp, 5 w")
    put(pickup, 60, 100)
    take(pickup, "splice")
    put(pickup, 60, 120)
    page(pickup).line.clear()
    assert page(pickup).rows[:2] == ["splice", "lamp_5w"]
    key(pickup, Qt.Key.Key_2)
    put(pickup, 80, 100)
    assert {"E7", "E8"} <= set(pickup.session.harness.parts)
    key(pickup, Qt.Key.Key_1)
    assert isinstance(pickup.diagram.gesture, Place)
    key(pickup, Qt.Key.Key_Escape)
    assert pickup.diagram.gesture is None
    assert len(pickup.session.history) == 3
    key(pickup, Qt.Key.Key_9)
    assert "9" in pickup.bar.text


def test_by_keys_alone(pickup: Window) -> None:
    take(pickup, "relay, make")
    hanging = pickup.diagram.gesture
    assert isinstance(hanging, Place)
    start = hanging.here
    key(pickup, Qt.Key.Key_Right)
    key(pickup, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    key(pickup, Qt.Key.Key_Return)
    at = pickup.session.harness.pages["rear"].items["K1"]
    assert (at.x_mm, at.y_mm) == (start.x_mm + 2, start.y_mm + 10)
    assert pickup.diagram.gesture is None


def test_pull_a_row_onto_the_paper(pickup: Window) -> None:
    pickup.drawer.open("stock")
    rows = page(pickup)
    rows.line.setText("2 x 4")
    view = rows.list.viewport()
    start = rows.list.visualRect(rows.list.model().index(0, 0)).center()
    goal = pickup.diagram.mapTo(pickup, QPoint(120, 300))
    there = view.mapFrom(pickup, goal)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, NONE, start)
    QTest.mouseMove(view, start + QPoint(-30, 5))
    QTest.mouseMove(view, there)
    assert isinstance(pickup.diagram.gesture, Place)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, NONE, there)
    half = pickup.session.harness.halves["X9"]
    assert half.cavity_names() == tuple("12345678")
    at = pickup.session.harness.pages["rear"].items["X9"]
    place = pickup.diagram.camera.at(120, 300)
    assert abs(at.x_mm - place.x_mm) <= 1.01
    assert pickup.session.history == ("place connector, 2 × 4",)


def test_pulled_beside_the_paper_nothing_happens(pickup: Window) -> None:
    pickup.drawer.open("stock")
    view = page(pickup).list.viewport()
    start = page(pickup).list.visualRect(page(pickup).list.model().index(0, 0)).center()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, NONE, start)
    QTest.mouseMove(view, start + QPoint(0, 40))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, NONE, start + QPoint(0, 60))
    assert pickup.diagram.gesture is None
    assert pickup.session.history == ()


def test_a_fuse_goes_into_a_wire(pickup: Window) -> None:
    take(pickup, "fuse, 10")
    spot = on_wire(pickup.diagram, "W4")
    QTest.mouseMove(pickup.diagram, spot)
    QTest.mouseClick(pickup.diagram, Qt.MouseButton.LeftButton, NONE, spot)
    wires = pickup.session.harness.wires
    assert [str(e) for e in wires["W4"].ends] == ["G1.B+", "F6.in"]
    assert [str(e) for e in wires["W42"].ends] == ["F6.out", "A9.30"]
    assert wires["W4"].length_mm + wires["W42"].length_mm == 1300
    assert (wires["W42"].colour, wires["W42"].area_mm2, wires["W42"].circuit) == ("RD", 10, "Charging")
    assert pickup.session.history == ("place fuse, 10 A into W4",)


def test_an_in_line_connector_goes_into_a_wire(pickup: Window) -> None:
    take(pickup, "in-line 1 x 2")
    spot = on_wire(pickup.diagram, "W24")
    QTest.mouseMove(pickup.diagram, spot)
    QTest.mouseClick(pickup.diagram, Qt.MouseButton.LeftButton, NONE, spot)
    wires = pickup.session.harness.wires
    assert [str(e) for e in wires["W24"].ends] == ["X8.2", "X9.1"]
    assert [str(e) for e in wires["W42"].ends] == ["X10.1", "M2.15"]
    assert len(pickup.session.history) == 1


def test_a_ground_put_down_close_above_a_body_stands_on_it(pickup: Window) -> None:
    bar = pickup.diagram.scene.place_of("shell")
    assert bar is not None
    take(pickup, "ground point, m6")
    put(pickup, bar.left_mm + 8, bar.top_mm - 6)
    (added,) = pickup.session.selection
    assert pickup.session.harness.grounds[added].place == f"shell.{added.lower()}"


def test_a_ground_dragged_onto_a_body_stands_on_it(pickup: Window) -> None:
    bar = pickup.diagram.scene.place_of("shell")
    assert bar is not None
    take(pickup, "ground point, m6")
    put(pickup, bar.left_mm + 8, bar.top_mm - 34)
    (added,) = pickup.session.selection
    assert pickup.session.harness.grounds[added].place is None
    start = middle_of(pickup.diagram, added)
    drag(pickup, start, QPoint(0, round(32 * pickup.diagram.camera.px_per_mm)))
    ground = pickup.session.harness.grounds[added]
    assert ground.place == f"shell.{added.lower()}"
    assert added.lower() in pickup.session.harness.bodies["shell"].places_mohm
    assert pickup.session.history[-1] == f"put {added} on shell"
    key(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert pickup.session.harness.grounds[added].place is None
    assert added.lower() not in pickup.session.harness.bodies["shell"].places_mohm
