"""Moves of returns: few, tried, checked, undone as one. Constructed harnesses; what is expected was written by hand."""

from dataclasses import replace

import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.checks.ground_advice import GroundAdvice, advise, chosen
from harness_studio.checks.moves import Move, candidates, edit_of, keeps_off, new_stud
from harness_studio.checks.runner import check, standing
from harness_studio.checks.scope import scope_of
from harness_studio.model.harness import Harness
from harness_studio.model.values import End, Spot
from tests.unit.checks import harnesses as h


def sender_beside_the_lamp() -> Harness:
    """Return the sound harness with the tank sender on GP1, where lamp and motor return."""
    x = h.sound()
    x.wires["W17"] = replace(x.wires["W17"], ends=(x.wires["W17"].ends[0], End("point", "GP1")))
    return x


def advice_on(x: Harness, ground: str | None = None) -> GroundAdvice:
    return advise(scope_of(x), chosen(x, ground))


def keys(x: Harness) -> set[str]:
    return {key for f in standing(check(scope_of(x), fold=False)) for key in f.keys}


def test_a_sender_beside_a_lamp_goes_to_the_ground_of_its_gauge() -> None:
    x = sender_beside_the_lamp()
    assert keys(x) == {"fuse_missing/W1", "mixed_returns/GP1"}
    found = advice_on(x, "GP1")
    assert [f.key for f in found.targets] == ["mixed_returns/GP1"]
    assert [(m.wire, m.start, m.to, m.beside) for m in found.moves] == [("W17", "GP1", "GP2", None)]
    assert (found.left, found.withdrawn) == ((), ())


def test_the_edit_is_one_step_that_brings_nothing_new_and_comes_undone() -> None:
    x = sender_beside_the_lamp()
    h.stack(x, "GP1", [("W5",), ("W8",), ("W14",), ("W17",)])
    h.stack(x, "GP2", [("W18",), ("W15", "W20")])
    before = x.snapshot().tables
    edit = advice_on(x, "GP1").edit
    assert edit is not None
    assert edit.words == "move 1 return to other studs"
    inverse, changes = edit.apply(x)
    assert keys(x) == {"fuse_missing/W1"}
    assert changes.refs == {("wires", "W17"), ("grounds", "GP1"), ("grounds", "GP2")}
    assert x.grounds["GP1"].stack == (("W5",), ("W8",), ("W14",))
    assert ("W17",) in x.grounds["GP2"].stack
    inverse.apply(x)
    assert x.tables == before


def test_a_ground_on_which_nothing_sensitive_suffers_needs_no_move() -> None:
    found = advice_on(h.sound())
    assert (found.targets, found.moves, found.edit) == ((), (), None)


def test_a_unit_tied_to_two_studs_loses_the_wire_that_ties_it() -> None:
    x = h.sound()
    h.extra(x, "A2.31", "GP1", 1.0, 300.0, "W60")
    found = advice_on(x, "GP1")
    assert [(m.wire, m.to) for m in found.moves] == [("W60", "")]
    assert found.edit is not None
    found.edit.apply(x)
    assert "W60" not in x.wires
    assert keys(x) == {"fuse_missing/W1"}


def test_a_poor_stud_is_cleaned_first_and_its_record_stays() -> None:
    x = sender_beside_the_lamp()
    h.joint(x, "GP1", 45.0)
    found = advice_on(x, "GP1")
    assert [text.partition(",")[0] for text in found.clean] == ["joint GP1 was found 45 mΩ"]
    assert {"ground_rise/GP1", "sensor_rise/B1"} <= {f.key for f in found.by_cleaning}
    assert [f.key for f in found.targets] == ["mixed_returns/GP1"]
    assert found.edit is not None
    found.edit.apply(x)
    assert x.joints["GP1"].mohm == 45.0


def test_no_return_goes_to_brakes_steering_belts_or_fuel() -> None:
    x = sender_beside_the_lamp()
    x.grounds["GP2"] = replace(x.grounds["GP2"], title="bracket of the brake pedal")
    assert keeps_off(x, x.grounds["GP2"]) == "brake"
    found = advice_on(x, "GP1")
    assert found.kept_off == ("GP2 bracket of the brake pedal: 'brake'",)
    assert "GP2" not in {g for m in found.moves for g in (m.to, m.beside)}
    for words in (
        "seat belts", "seatbelt anchor", "brake caliper", "steering column", "fuel filler", "tank strap", "petrol pump",
    ):  # fmt: skip
        assert keeps_off(x, replace(x.grounds["GP1"], note=words)), words
    assert keeps_off(x, x.grounds["GP1"]) is None


def test_what_brings_a_new_finding_is_left_out_and_named() -> None:
    x = sender_beside_the_lamp()
    h.limit(x, "rings_per_stud", 3.0)  # GP2 holds three already
    before = keys(x)
    found = advice_on(x, "GP1")
    assert any(
        text.startswith("W17 from GP1 to GP2") and "4 ring terminals" in text for text in found.withdrawn
    )
    assert all(m.to != "GP2" for m in found.moves)
    if found.edit is not None:
        found.edit.apply(x)
        assert keys(x) <= before


def test_a_new_stud_stands_on_the_metal_it_is_beside_and_is_drawn_next_to_it() -> None:
    x = sender_beside_the_lamp()
    (move,) = [m for m in candidates(x, ["W17"], "GP1", ["GP2"]) if m.beside]
    assert (move.to, move.beside, new_stud(x)) == ("GP3", "GP2", "GP3")
    edit = edit_of(x, [move])
    assert edit is not None
    edit.apply(x)
    assert (x.grounds["GP3"].place, x.grounds["GP3"].title) == ("shell.dash", "beside GP2")
    assert x.wires["W17"].ends[1] == End("point", "GP3")


def test_a_new_length_follows_the_runs_and_a_hot_way_takes_another_insulation() -> None:
    x = sender_beside_the_lamp()
    s = h.grown(x)
    for name, zone in (("b1", "rear"), ("b2", "rear"), ("b3", "bay")):
        s.breakout(name, zone)
    s.run("r1", "b1", "b2", 800.0)
    s.run("r2", "b2", "b3", 500.0)
    x.parts["B1"] = replace(x.parts["B1"], at=Spot("b1"))
    x.grounds["GP2"] = replace(x.grounds["GP2"], at=Spot("b3"))
    h.wire(x, "W17", insulation="GPT", slack_mm=50.0, ends=x.wires["W17"].ends[::-1])  # the ring first
    (move,) = [m for m in candidates(x, ["W17"], "GP1") if m.to == "GP2"]
    assert (move.length, move.insulation) == ("by its runs", None)
    x.zones["bay"] = replace(x.zones["bay"], ambient_c=95.0)
    (move,) = [m for m in candidates(x, ["W17"], "GP1") if m.to == "GP2"]
    assert move.insulation == "TXL"
    edit = edit_of(x, [move])
    assert edit is not None
    edit.apply(x)
    wire = x.wires["W17"]
    # 800 + 500 along the runs, 100 at each end, 50 in reserve.
    assert (wire.runs, wire.length_mm, wire.insulation) == (("r1", "r2"), 1550.0, "TXL")


def test_without_runs_the_length_is_to_be_measured() -> None:
    x = sender_beside_the_lamp()
    move = Move("W17", "GP1", "GP2")
    assert move.words(x) == "W17 from GP1 to GP2; its length is taken as before: measure it"


def test_a_ground_that_is_not_there_is_named_with_the_nearest() -> None:
    with pytest.raises(HarnessError, match="there is no ground 'GP22'; nearest is 'GP2'"):
        chosen(h.sound(), "GP22")


def test_the_straps_that_take_moved_current_are_named() -> None:
    x = sender_beside_the_lamp()
    h.extra(x, "GP1", "GP2", 4.0, 500.0, "W60")
    h.extra(x, "A2.31", "GP1", 1.0, 300.0, "W61")
    found = advice_on(x)
    assert all(s.may_a is None or s.after_a <= s.may_a for s in found.straps)
    assert {r.ground for r in found.rises} <= {"GP0", "GP1", "GP2", "GP3"}
