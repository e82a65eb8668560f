"""What is seen at a cavity of a connector on the bench becomes wires; nothing that was designed is lost."""

import pytest

from harness_studio.editing.bench import Seen, capture_edit, cavities_of, line_of, new_half, next_id, wires_at
from harness_studio.editing.quantities import Refused
from harness_studio.model.entities import Half, Splice, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import AsFound, Cavity, End, Face
from harness_studio.session.history import History


def bench() -> Harness:
    harness = Harness()
    harness.halves["X1"] = Half("X1", face=Face(rows=(("1", "2"), ("3", "4"))))
    harness.splices["SP1"] = Splice("SP1")
    harness.wires["W7"] = Wire("W7", (End("point", "X1.2"), End("point", "SP1")), area_mm2=1.5, colour="BN")
    return harness


def captured(harness: Harness, cavity: str, *seen: str) -> Harness:
    edit = capture_edit(harness, "X1", cavity, Seen(*seen))
    assert edit is not None
    History(harness).apply(edit)
    return harness


def test_an_empty_cavity_gets_a_wire_with_an_open_end() -> None:
    harness = captured(bench(), "1", "br", "ws", "1,5", "31-7")
    wire = harness.wires["W8"]
    assert (wire.colour, wire.area_mm2, wire.marked) == ("BN/WH", 1.5, "31-7")
    assert [str(end) for end in wire.ends] == ["X1.1", "unknown"]
    assert line_of(harness, "X1", "1", wires_at(harness, "X1")["1"]) == "BN/WH 1.5 mm² 31-7 W8 to unknown"


def test_a_wire_with_an_open_end_is_corrected() -> None:
    harness = captured(captured(bench(), "1", "bn", "", "1,5"), "1", "bk", "", "14 AWG")
    wire = harness.wires["W8"]
    assert (wire.colour, wire.area_mm2, wire.awg, wire.as_found) == ("BK", None, "14", None)


def test_a_designed_wire_keeps_its_design_and_what_differs_is_as_found() -> None:
    harness = captured(bench(), "2", "bk", "", "1,5", "x")
    wire = harness.wires["W7"]
    assert (wire.colour, wire.marked) == ("BN", "x")
    assert wire.as_found == AsFound(colour="BK")
    captured(harness, "2", "bn")
    assert harness.wires["W7"].as_found is None


def test_plug_and_empty_are_words_of_their_own() -> None:
    harness = captured(captured(bench(), "3", "plug"), "4", "empty")
    assert harness.halves["X1"].cavities == {"3": Cavity(plug="fitted"), "4": Cavity(plug="missing")}
    with pytest.raises(Refused, match="W7 is in cavity 2"):
        capture_edit(harness, "X1", "2", Seen("plug"))


def test_nothing_typed_is_nothing_done() -> None:
    assert capture_edit(bench(), "X1", "1", Seen()) is None


@pytest.mark.parametrize(
    ("seen", "why"),
    [
        (Seen("mud"), "is no colour"),
        (Seen("bn", "", "18"), "write 1.5 mm² or 14 AWG"),
        (Seen("", "wh"), "base colour"),
    ],
)
def test_what_cannot_be_read_is_refused(seen: Seen, why: str) -> None:
    with pytest.raises(Refused, match=why):
        capture_edit(bench(), "X1", "1", seen)


def test_a_new_half_has_its_cavities_in_order() -> None:
    harness = bench()
    harness.halves["X30"] = new_half(harness, "X30 2x6")
    assert cavities_of(harness, "X30") == [str(n) for n in range(1, 13)]
    for text in ("X30 8", "X 8 pins", "X31", "X31 0", "X31 999"):
        with pytest.raises(Refused):
            new_half(harness, text)


def test_ids_go_on_from_the_highest() -> None:
    assert next_id(bench(), "W") == "W8"
    assert next_id(bench(), "F") == "F1"
