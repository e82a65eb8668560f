"""Results of ringing out are written on the wire, and join or part open ends as one step."""

from dataclasses import replace

import pytest

from harness_studio.editing.joins import join_edit, proposals
from harness_studio.editing.quantities import Refused
from harness_studio.editing.ringing import Result, log, open_wires, probed, result_edit
from harness_studio.model.edits import Edit
from harness_studio.model.entities import (
    Annotation,
    Body,
    Ground,
    Half,
    JointRecord,
    Multicore,
    Page,
    Photo,
    Splice,
    Wire,
)
from harness_studio.model.harness import Harness
from harness_studio.model.values import End, Face, Ring
from harness_studio.session.history import History

OPEN = End("unknown")
DAY = "2026-03-01"


def at(point: str) -> End:
    return End("point", point)


def harness() -> Harness:
    made = Harness()
    for half in ("X1", "X2"):
        made.halves[half] = Half(half, face=Face(rows=(("1", "2", "3", "4"),)))
    made.grounds["GP1"] = Ground("GP1", stack=(("W9",),))
    wires = [
        Wire("W1", (at("X1.1"), OPEN), area_mm2=1.5, colour="BN/WH", marked="31"),
        Wire("W2", (at("X2.4"), End("cut")), awg="16", colour="BN/WH", insulation="TXL"),
        Wire("W3", (at("X2.3"), End("words", "into the tape")), area_mm2=1.5, colour="BN"),
        Wire("W4", (at("X1.2"), OPEN), area_mm2=4.0, colour="BN"),
        Wire("W9", (at("X1.3"), at("GP1")), area_mm2=1.0, colour="BK", length_mm=500.0),
    ]
    made.wires.update({w.id: w for w in wires})
    made.multicores["C1"] = Multicore("C1", ("W1", "W2"))
    made.tables["photos"]["p1"] = Photo("p1", "a.png", ("W1", "W2"))
    made.tables["annotations"]["n1"] = Annotation("n1", "W2@X2.4", "green")
    made.joints["W2@X2.4"] = JointRecord("W2@X2.4", mohm=40.0)
    made.joints["GP1/W9"] = JointRecord("GP1/W9", mohm=90.0)
    made.pages["p"] = Page("p", wires={"W2": ((1.0, 2.0),)})
    return made


def applied(made: Harness, edit: Edit) -> History:
    history = History(made)
    history.apply(edit)
    assert len(history.done) == 1
    return history


def test_a_result_is_written_on_the_wire_and_replaces_its_opposite() -> None:
    made = harness()
    applied(made, result_edit(made, Result("W1", False, "X2.3", DAY)).edit)
    assert made.wires["W1"].rings_not == (Ring("X2.3", DAY),)
    applied(made, result_edit(made, Result("W1", True, "X2.3", "2026-03-02"), joining=False).edit)
    assert made.wires["W1"].rings_not == ()
    assert [(r.wire, r.rings, r.point, r.date) for r in log(made)] == [("W1", True, "X2.3", "2026-03-02")]


def test_two_open_ends_that_ring_through_become_one_wire_with_all_that_was_on_both() -> None:
    made = harness()
    before = {name: dict(table) for name, table in made.tables.items()}
    outcome = result_edit(made, Result("W1", True, "X2.4", DAY))
    assert outcome.words == "W2 joined to it"
    history = applied(made, outcome.edit)
    wire = made.wires["W1"]
    assert [str(end) for end in wire.ends] == ["X1.1", "X2.4"]
    assert (wire.area_mm2, wire.awg, wire.insulation, wire.marked) == (1.5, None, "TXL", "31")
    assert wire.rings_to == (Ring("X2.4", DAY),)
    assert "W2" not in made.wires
    assert made.multicores["C1"].wires == ("W1",)
    assert made.tables["photos"]["p1"].on == ("W1",)
    assert made.tables["annotations"]["n1"].on == "W1@X2.4"
    assert set(made.joints) == {"W1@X2.4", "GP1/W9"}
    assert made.pages["p"].wires == {}
    history.undo()
    assert made.tables == before


def test_ends_that_differ_are_written_down_but_not_joined() -> None:
    made = harness()
    outcome = result_edit(made, Result("W1", True, "X2.3", DAY))
    assert outcome.words == "written down only, W1 is BN/WH and W3 is BN"
    applied(made, outcome.edit)
    assert "W3" in made.wires
    assert result_edit(made, Result("W4", True, "X2.3", DAY)).words.endswith("W4 and W3 differ in size")


def test_a_free_cavity_takes_the_open_end() -> None:
    made = harness()
    applied(made, result_edit(made, Result("W1", True, "X2.1", DAY)).edit)
    assert str(made.wires["W1"].ends[1]) == "X2.1"


def test_a_ground_takes_it_beside_others_and_names_what_would_ring_too() -> None:
    made = harness()
    made.bodies["shell"] = Body("shell", places_mohm={"wing": 0.1, "rear": 0.1})
    made.grounds["GP1"] = replace(made.grounds["GP1"], place="shell.wing")
    made.grounds["GP5"] = Ground("GP5", place="shell.rear")
    outcome = result_edit(made, Result("W4", True, "GP1", DAY))
    assert outcome.words == "its open end is at GP1; GP5 on the same metal would ring as well"
    history = applied(made, outcome.edit)
    assert [str(end) for end in made.wires["W4"].ends] == ["X1.2", "GP1"]
    assert made.wires["W4"].rings_to == (Ring("GP1", DAY),)
    history.undo()
    assert made.wires["W4"].ends[1] == OPEN


def test_a_splice_takes_it_unless_a_way_there_is_known() -> None:
    made = harness()
    made.splices["SP1"] = Splice("SP1")
    made.wires["W20"] = Wire("W20", (at("SP1"), at("X2.2")))
    assert result_edit(made, Result("W4", True, "SP1", DAY)).words == "its open end is at SP1"
    made.halves["X1"] = replace(made.halves["X1"], mates={"X2": None})
    made.halves["X2"] = replace(made.halves["X2"], mates={"X1": None})
    outcome = result_edit(made, Result("W4", True, "SP1", DAY))
    assert "by another way that is known" in outcome.words
    applied(made, outcome.edit)
    assert made.wires["W4"].ends[1] == OPEN
    assert made.wires["W4"].rings_to == (Ring("SP1", DAY),)


def test_a_body_takes_no_end() -> None:
    made = harness()
    made.bodies["shell"] = Body("shell", places_mohm={"wing": 0.1})
    outcome = result_edit(made, Result("W4", True, "shell.wing", DAY))
    assert "more than this wire may lie between" in outcome.words


def test_a_wire_that_does_not_ring_to_its_own_end_is_parted() -> None:
    made = harness()
    before = {name: dict(table) for name, table in made.tables.items()}
    outcome = result_edit(made, Result("W9", False, "GP1", DAY))
    history = applied(made, outcome.edit)
    assert [str(end) for end in made.wires["W9"].ends] == ["X1.3", "unknown"]
    assert made.wires["W9"].rings_not == (Ring("GP1", DAY),)
    stub = made.wires["W10"]
    assert [str(end) for end in stub.ends] == ["GP1", "unknown"]
    assert (stub.colour, stub.area_mm2) == ("BK", 1.0)
    assert made.grounds["GP1"].stack == (("W10",),)
    assert set(made.joints) == {"W2@X2.4", "GP1/W10"}
    history.undo()
    assert made.tables == before


def test_proposals_are_ranked_with_their_reasons() -> None:
    made = harness()
    found = proposals(made)
    assert [(j.wire, j.other) for j in found] == [("W1", "W2")]
    assert found[0].reason == (
        "both are brown with white tracer, 1.5 mm² and 16 AWG are near, no other open end has this colour"
    )
    made.wires["W5"] = Wire("W5", (at("X2.2"), OPEN), area_mm2=1.5, colour="BN/WH", marked="31")
    found = proposals(made, "W1")
    assert [(j.wire, j.other) for j in found] == [("W1", "W5"), ("W1", "W2")]
    assert found[0].reason.startswith(
        "both are marked 31, both are brown with white tracer, both are 1.5 mm²"
    )
    applied(made, result_edit(made, Result("W1", False, "X2.2", DAY)).edit)
    assert [(j.wire, j.other) for j in proposals(made, "W1")] == [("W1", "W2")]
    applied(made, join_edit(made, proposals(made, "W1")[0]))
    assert [str(end) for end in made.wires["W1"].ends] == ["X1.1", "X2.4"]


def test_a_wire_is_found_by_its_id_or_by_where_it_is() -> None:
    made = harness()
    assert probed(made, "W9").id == "W9"
    assert probed(made, "X2.4").id == "W2"
    with pytest.raises(Refused, match="no wire is on it"):
        probed(made, "X2.1")
    assert [(w.id, p) for w, p in open_wires(made)] == [
        ("W1", "X1.1"),
        ("W2", "X2.4"),
        ("W3", "X2.3"),
        ("W4", "X1.2"),
    ]
