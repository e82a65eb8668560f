"""Wires are laid by dragging and by typing, with the size and colour of the last one; what cannot be is told."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from harness_studio.diagram.gestures.lay import Lay
from harness_studio.diagram.wire_points import terminals_of
from harness_studio.model.drawing.laying import Pen
from harness_studio.model.edits import change
from tests.support.drawing_hands import handle, key, point, pull, put, take
from tests.support.pointing import click, middle_of, on_wire, pixel


def ends(window: Window, wire: str) -> list[str]:
    return [str(e) for e in window.session.harness.wires[wire].ends]


def free_spot(window: Window) -> QPoint:
    """Return a pixel on empty paper."""
    diagram = window.diagram
    for x in range(30, diagram.width() - 30, 25):
        for y in range(30, diagram.height() - 30, 25):
            if diagram.scene.hit(diagram.camera.at(x, y), 12.0) is None:
                return QPoint(x, y)
    raise AssertionError("no empty paper in view")


def test_drag_from_terminal_to_splice_and_undo(pickup: Window) -> None:
    pull(pickup, point(pickup, "S1.54"), point(pickup, "SP3"), release=False)
    assert isinstance(pickup.diagram.gesture, Lay)
    pickup.diagram.grab()
    key(pickup, Qt.Key.Key_Escape)
    assert pickup.session.history == ()
    pull(pickup, point(pickup, "S1.54"), point(pickup, "SP3"))
    assert ends(pickup, "W42") == ["S1.54", "SP3"]
    assert pickup.session.history == ("lay W42 from S1.54 to SP3",)
    assert "W42" in pickup.diagram.scene.layout.routes
    key(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert "W42" not in pickup.session.harness.wires


def test_from_a_cavity_and_from_handles(pickup: Window) -> None:
    take(pickup, "connector, 1 × 2")
    put(pickup, 60, 100)
    pull(pickup, point(pickup, "X9.2"), point(pickup, "M2.15"))
    assert ends(pickup, "W42") == ["X9.2", "M2.15"]
    pull(pickup, handle(pickup, "GP5"), point(pickup, "X9.1"))
    assert ends(pickup, "W43") == ["GP5", "X9.1"]
    pull(pickup, handle(pickup, "shell"), point(pickup, "SP3"))
    assert ends(pickup, "W44") == ["shell.wing", "SP3"]


def test_size_and_colour_of_the_last_one(pickup: Window) -> None:
    pull(pickup, point(pickup, "S1.54"), point(pickup, "SP3"))
    pickup.session.apply(
        change(pickup.session.harness, "wires", "W42", area_mm2=1.5, colour="GN/YE", insulation="TXL")
    )
    pull(pickup, point(pickup, "S1.30"), point(pickup, "GP1"))
    wire = pickup.session.harness.wires["W43"]
    assert (wire.area_mm2, wire.colour, wire.insulation) == (1.5, "GN/YE", "TXL")


@pytest.mark.parametrize(
    ("typed", "made", "wired"),
    [
        ("", ("splices", "SP4"), "SP4"),
        ("ground m6", ("grounds", "GP6"), "GP6"),
        ("lamp, 21", ("parts", "E7"), "E7.1"),
        ("2 x 2", ("halves", "X9"), "X9.1"),
    ],
)
def test_onto_empty_paper(pickup: Window, typed: str, made: tuple[str, str], wired: str) -> None:
    pull(pickup, point(pickup, "S1.54"), free_spot(pickup))
    asked = pickup.focusWidget()
    assert asked is not None
    assert asked.accessibleName() == "What goes here?"
    QTest.keyClicks(asked, typed)
    QTest.keyClick(asked, Qt.Key.Key_Return)
    assert made[1] in pickup.session.harness.tables[made[0]]
    assert made[1] in pickup.session.harness.pages["rear"].items
    assert ends(pickup, "W42") == ["S1.54", wired]
    assert len(pickup.session.history) == 1
    key(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert made[1] not in pickup.session.harness.tables[made[0]]
    assert "W42" not in pickup.session.harness.wires


@pytest.mark.parametrize(("typed", "what"), [("leave cut", "cut"), ("not known", "unknown")])
def test_leave_the_end_open(pickup: Window, typed: str, what: str) -> None:
    pull(pickup, point(pickup, "S1.54"), free_spot(pickup))
    asked = pickup.focusWidget()
    assert asked is not None
    QTest.keyClicks(asked, typed)
    QTest.keyClick(asked, Qt.Key.Key_Return)
    assert ends(pickup, "W42") == ["S1.54", what]


def test_escape_lays_nothing(pickup: Window) -> None:
    pull(pickup, point(pickup, "S1.54"), free_spot(pickup))
    asked = pickup.focusWidget()
    assert asked is not None
    QTest.keyClick(asked, Qt.Key.Key_Escape)
    assert pickup.session.history == ()
    assert pickup.diagram.hasFocus()


def test_onto_another_wire(pickup: Window) -> None:
    pull(pickup, point(pickup, "P1.S"), on_wire(pickup.diagram, "W4"))
    assert ends(pickup, "W4") == ["G1.B+", "SP4"]
    assert ends(pickup, "W42") == ["SP4", "A9.30"]
    assert ends(pickup, "W43") == ["P1.S", "SP4"]
    assert len(pickup.session.history) == 1


def test_refusals_say_what_and_why(pickup: Window) -> None:
    pull(pickup, point(pickup, "S1.54"), point(pickup, "X7.4"))
    assert pickup.bar.text == "X7.4 has a blanking plug fitted: take the plug out before a wire goes in."
    assert pickup.session.history == ()


def test_by_typing_both_ends(qtbot: QtBot, pickup: Window) -> None:
    click(pickup, "M2")
    key(pickup, Qt.Key.Key_W)
    first = pickup.focusWidget()
    assert first is not None
    assert first.accessibleName() == "Lay a wire from"
    QTest.keyClicks(first, "M2.31")
    QTest.keyClick(first, Qt.Key.Key_Return)
    second = pickup.focusWidget()
    assert second is not None
    assert second.accessibleName() == "Lay it to"
    QTest.keyClicks(second, "right rear corner")
    QTest.keyClick(second, Qt.Key.Key_Return)
    assert ends(pickup, "W42") == ["M2.31", "GP5"]


def test_take_out_with_and_without_wires(pickup: Window) -> None:
    click(pickup, "M2")
    key(pickup, Qt.Key.Key_Delete)
    harness = pickup.session.harness
    assert "M2" not in harness.parts
    assert not {"W24", "W40"} & set(harness.wires)
    assert harness.grounds["GP2"].stack == (("W31",), ("W41",))
    key(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert {"W24", "W40"} <= set(harness.wires)
    click(pickup, "M2")
    key(pickup, Qt.Key.Key_Delete, Qt.KeyboardModifier.ShiftModifier)
    assert ends(pickup, "W40") == ["unknown", "GP2"]


def test_extend_a_connector_with_its_mate(pickup: Window) -> None:
    pickup.session.select({"X7"})
    key(pickup, Qt.Key.Key_X)
    halves = pickup.session.harness.halves
    assert "7" in halves["X7"].cavity_names()
    assert "7" in halves["X8"].cavity_names()
    assert pickup.session.history == ("extend X7 by cavity 7",)


def test_keys_do_not_fire_while_one_types(pickup: Window) -> None:
    pickup.session.select({"M2"})
    key(pickup, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    line = pickup.focusWidget()
    assert line is not None
    QTest.keyClicks(line, "wnx1")
    QTest.keyClick(line, Qt.Key.Key_Delete)
    assert pickup.session.history == ()
    assert pickup.diagram.gesture is None


def test_the_pen_is_plain_at_first(pickup: Window) -> None:
    assert pickup.diagram.pens.now(pickup.session.harness) == Pen()


def test_terminals_show_under_the_pointer(pickup: Window) -> None:
    shown = [(p.point, p.at) for p in terminals_of(pickup.diagram.scene, "S1")]
    assert [name for name, _ in shown] == ["S1.30", "S1.54"]
    QTest.mouseMove(pickup.diagram, free_spot(pickup))
    plain = pickup.diagram.grab().toImage()
    QTest.mouseMove(pickup.diagram, middle_of(pickup.diagram, "S1"))
    assert pickup.diagram.state.hovered == "S1"
    assert pickup.diagram.grab().toImage() != plain


def test_wires_on_a_body_take_its_places_in_turn(pickup: Window) -> None:
    take(pickup, "shell or cab")
    put(pickup, 100, 110)
    bar = middle_of(pickup.diagram, "shell_2")
    pull(pickup, point(pickup, "S1.54"), bar)
    pull(pickup, point(pickup, "S1.30"), bar + QPoint(-60, 0))
    pull(pickup, handle(pickup, "shell_2"), point(pickup, "P1.S"))
    found = [pickup.session.harness.wires[w].ends for w in ("W42", "W43", "W44")]
    assert {str(e) for ends_ in found for e in ends_} == {
        "S1.54", "S1.30", "P1.S", "shell_2.front", "shell_2.middle", "shell_2.rear",
    }  # fmt: skip


def test_the_handle_goes_with_its_thing(pickup: Window) -> None:
    before = handle(pickup, "GP5")
    pickup.session.select({"GP5"})
    key(pickup, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    pickup.diagram.grab()
    moved = pickup.diagram.handle
    assert moved is not None
    assert pixel(pickup.diagram, moved.at).x() < before.x()
    pickup.session.select({"GP5"})
    key(pickup, Qt.Key.Key_Delete)
    assert "GP5" not in pickup.session.harness.grounds
    pickup.diagram.grab()
    assert pickup.diagram.handle is None
