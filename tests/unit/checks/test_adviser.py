"""Advice on sizes: what decided, what the next smaller would do; one edit, tried before it is proposed."""

from collections.abc import Callable, Sequence
from typing import Any

import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.checks import proposals
from harness_studio.checks.adviser import Advice, Proposal, chosen
from harness_studio.checks.proposals import Checked, size
from harness_studio.checks.runner import check, standing
from harness_studio.checks.scope import Scope, scope_of
from harness_studio.electrics.heat.ampacity import free_air
from harness_studio.electrics.heat.cable import Cable
from harness_studio.model.harness import Harness
from harness_studio.model.values import Contact
from harness_studio.standards.figures import Figure
from harness_studio.standards.wires import standard_sizes_mm2
from tests.support.vehicle import vehicle
from tests.unit.checks import harnesses as h
from tests.unit.checks.cases_protection import link


def sized(change: Callable[[Harness], None] | None = None, *wires: str) -> tuple[Harness, Checked]:
    x = h.sound()
    if change:
        change(x)
    return x, size(scope_of(x), wires or chosen(x))


def row(done: Checked, wire: str) -> Advice:
    return next(r for r in done.proposal.wires if r.wire == wire)


def fuse(done: Checked, name: str) -> tuple[float | None, float | None, str | None]:
    found = next(f for f in done.proposal.fuses if f.fuse == name)
    return found.present_a, found.proposed_a, found.problem


def changed(x: Harness, done: Checked) -> Harness:
    assert done.proposal.edit is not None
    after = x.snapshot()
    done.proposal.edit.apply(after)
    return after


def test_a_sound_harness_is_left_as_it_is() -> None:
    _, done = sized()
    assert done.proposal.edit is None
    assert all(r.proposed is None and r.problem is None for r in done.proposal.wires)
    assert all(f.proposed_a is None for f in done.proposal.fuses)


def test_a_wire_is_sized_by_its_drop() -> None:
    # About 4 A over 6 m, 0.2 V: 8.3 mΩ/m at most. ISO 6722: 2.5 mm² has 7.6, 2 mm² 9.4.
    x, done = sized(lambda x: h.wire(x, "W3", area_mm2=0.35, length_mm=6000.0), "W3")
    found = row(done, "W3")
    assert (str(found.present), str(found.smallest), str(found.proposed)) == (
        "0.35 mm²",
        "2.5 mm²",
        "2.5 mm²",
    )
    assert found.decided_by == "wire_drop"
    assert found.smaller.startswith("2 mm² loses 0.2")
    assert changed(x, done).wires["W3"].area_mm2 == 2.5
    assert ("wire_drop", "W3") in {(f.rule, f.ids[0]) for f in done.gone}


def test_a_wire_is_sized_by_its_heat() -> None:
    # A short feed of some 40 A behind a link without a rating: cross-linked 2 mm² carries about 41 A, 1.5 mm² 35 A.
    x = h.sound()
    link(x, 2.5)
    h.part(x, "E9", rated_w=560.0)
    h.wire(x, "W71", area_mm2=6.0, length_mm=100.0)
    h.wire(x, "W72", area_mm2=16.0, length_mm=100.0)
    (state,) = scope_of(x, ["driving"]).states
    amperes = abs(state.wires["W71"].amperes)
    found = row(size(scope_of(x), ["W71"]), "W71")
    assert found.decided_by == "wire_ampacity"
    assert found.smallest is not None
    carries = {a: free_air(Cable(a, "TXL"), 20.0) for a in standard_sizes_mm2()}
    fitting = [a for a, f in carries.items() if isinstance(f, Figure) and f.value >= amperes]
    assert found.smallest.area_mm2 == fitting[0]


def test_a_wire_is_sized_for_its_fuse() -> None:
    # F2 has 15 A. ISO 6722 0.35 mm² cross-linked carries less, 0.5 mm² more, in air of 30 °C.
    _, done = sized(None, "W4")
    found = row(done, "W4")
    assert str(found.smallest) in ("0.5 mm²", "0.75 mm²")
    assert found.decided_by in ("fuse_withstand", "fuse_wire", "least_area")
    assert found.proposed is None


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        (lambda x: h.wire(x, "W3", length_mm=None), "its length is not known"),
        (lambda x: h.wire(x, "W3", insulation=None), "its insulation is not said"),
        (lambda x: h.wire(x, "W3", insulation="mystery"), "insulation 'mystery' is not known"),
        (
            lambda x: h.wire(x, "W2", length_mm=None),
            "the way to E1 passes W2, of which length or size is not known",
        ),
        (
            lambda x: h.wire(x, "W2", area_mm2=None),
            "the way to E1 passes W2, of which length or size is not known",
        ),
    ],
)
def test_nothing_passes_on_an_assumption(change: Callable[[Harness], None], problem: str) -> None:
    _, done = sized(change, "W3")
    found = row(done, "W3")
    assert (found.smallest, found.proposed, found.problem) == (None, None, problem)
    assert done.proposal.edit is None


def test_a_size_that_is_not_known_is_advised() -> None:
    x, done = sized(lambda x: h.wire(x, "W3", area_mm2=None), "W3")
    found = row(done, "W3")
    assert found.present is None
    assert found.proposed == found.smallest
    assert changed(x, done).wires["W3"].area_mm2 == found.smallest.area_mm2 if found.smallest else False


def test_a_wire_by_gauge_stays_by_gauge() -> None:
    def by_gauge(x: Harness) -> None:
        h.wire(x, "W3", area_mm2=None, awg="20", length_mm=6000.0)
        h.cavity(x, "X1", "1", contact=Contact(tab_mm=2.8, plating="tin", crimp_mm2=(0.5, 4.0)))

    x, done = sized(by_gauge, "W3")
    found = row(done, "W3")
    assert str(found.present) == "AWG 20"
    # 8.3 mΩ/m at most: AWG 14 has about 8.7, AWG 12 about 5.5 (ASTM B258 area, stranding 1.05).
    assert str(found.proposed) == "AWG 12"
    after = changed(x, done).wires["W3"]
    assert (after.area_mm2, after.awg) == (None, "12")


def test_a_fuse_is_raised_with_its_wires() -> None:
    # 12 A of motor need 15 A; W13 has 0.35 mm² and is sized with it.
    def more(x: Harness) -> None:
        h.part(x, "M1", rated_a=12.0, stall_a=16.0)
        h.wire(x, "W13", area_mm2=0.35)

    x, done = sized(more)
    present, proposed, problem = fuse(done, "F4")
    assert (present, proposed, problem) == (10.0, 15.0, None)
    after = changed(x, done)
    assert after.parts["F4"].ratings.rated_a == 15.0
    assert (after.wires["W13"].area_mm2 or 0.0) > 0.35
    assert {f.rule for f in standing(check(scope_of(after)))}.isdisjoint(
        {"fuse_load", "fuse_wire", "fuse_withstand"}
    )


def test_a_fuse_is_never_raised_for_one_wire_of_several() -> None:
    def more(x: Harness) -> None:
        h.part(x, "M1", rated_a=12.0, stall_a=16.0)
        h.wire(x, "W13", area_mm2=0.22)

    _, done = sized(more, "W7")
    present, proposed, problem = fuse(done, "F4")
    assert (present, proposed) == (10.0, None)
    assert problem == "it needs 15 A, but W13 may not carry that: size them together"


def test_a_smaller_fuse_is_proposed_before_a_thicker_wire() -> None:
    # The lamp's 4 A and their switch-on take 10 A; 0.35 mm² bears that as it is.
    x, done = sized(lambda x: h.wire(x, "W4", area_mm2=0.35), "W2", "W3", "W4")
    present, proposed, _ = fuse(done, "F2")
    assert (present, proposed) == (15.0, 10.0)
    assert row(done, "W4").proposed is None
    assert ("fuse_wire", "W4") in {(f.rule, f.ids[0]) for f in done.gone}
    assert changed(x, done).parts["F2"].ratings.rated_a == proposed


def test_what_would_bring_a_new_finding_is_taken_back() -> None:
    # 12 m need 6 mm², which the contacts of X1 do not take.
    x, done = sized(lambda x: h.wire(x, "W3", length_mm=14000.0), "W3")
    assert done.proposal.edit is None
    assert row(done, "W3").proposed is None
    assert str(row(done, "W3").smallest) == "6 mm²"
    assert any("the contact takes 0.35 to 2.5 mm²" in why for why in done.withdrawn)
    assert x.wires["W3"].area_mm2 == 2.5


def test_what_no_contact_takes_is_not_solved_for_and_not_tried_with_more_reserve(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    reserves: list[float] = []
    advise = proposals.advise

    def counted(scope: Scope, wires: Sequence[str], reserve: float, *more: Any) -> Proposal:
        reserves.append(reserve)
        return advise(scope, wires, reserve, *more)

    def solved(*_: object) -> Scope:
        raise AssertionError("no mode is to be solved for a crimp that is out of range")

    monkeypatch.setattr(proposals, "advise", counted)
    monkeypatch.setattr(proposals, "scope_of", solved)
    _, done = sized(lambda x: h.wire(x, "W3", length_mm=14000.0), "W3")
    assert any("the contact takes 0.35 to 2.5 mm²" in why for why in done.withdrawn)
    assert reserves == [0.0]


def test_a_stack_is_kept_in_order() -> None:
    def long_return(x: Harness) -> None:
        h.wire(x, "W5", length_mm=4500.0)
        h.stack(x, "GP1", [("W8",), ("W5",), ("W14",)])

    x, done = sized(long_return, "W5")
    after = changed(x, done)
    assert (after.wires["W5"].area_mm2 or 0.0) > 2.5
    assert after.grounds["GP1"].stack == (("W5",), ("W8",), ("W14",))


def test_a_poor_joint_makes_no_wire_thicker() -> None:
    _, clean = sized()
    _, done = sized(lambda x: h.joint(x, "GP1", 60.0))
    assert [(r.wire, r.smallest, r.proposed) for r in done.proposal.wires] == [
        (r.wire, r.smallest, r.proposed) for r in clean.proposal.wires
    ]


def test_a_way_that_no_size_mends_is_named() -> None:
    _, done = sized(lambda x: h.wire(x, "W3", area_mm2=0.5, length_mm=9000.0), "W4")
    assert any(
        what.startswith("E1 loses") and "with the thickest of these wires" in what
        for what in done.proposal.beyond
    )
    assert row(done, "W4").proposed is None


def test_the_edit_can_be_taken_back() -> None:
    x, done = sized(lambda x: h.wire(x, "W3", area_mm2=0.35, length_mm=6000.0))
    assert done.proposal.edit is not None
    before = {name: dict(table) for name, table in x.tables.items()}
    inverse, _ = done.proposal.edit.apply(x)
    assert x.tables != before
    inverse.apply(x)
    assert x.tables == before


def test_the_harness_is_not_touched() -> None:
    x = h.sound()
    h.wire(x, "W3", area_mm2=0.35, length_mm=6000.0)
    before = {name: dict(table) for name, table in x.tables.items()}
    size(scope_of(x), chosen(x))
    assert x.tables == before


def test_wires_are_chosen_by_id_by_circuit_or_all() -> None:
    x = h.sound()
    assert chosen(x, wire="W3") == ("W3",)
    assert chosen(x, circuit="Lamp") == ("W2", "W3", "W4", "W5")
    assert chosen(x) == tuple(x.wires)
    with pytest.raises(HarnessError, match="there is no wire 'W33'; nearest is 'W3'"):
        chosen(x, wire="W33")
    with pytest.raises(HarnessError, match="there is no circuit 'Lamps'; nearest is 'Lamp'"):
        chosen(x, circuit="Lamps")


@pytest.mark.parametrize("seed", [1, 2])
def test_a_proposal_brings_no_new_finding_and_leaves_no_fuse_above_its_wires(seed: int) -> None:
    # Constructed: an invented vehicle; what is proposed is applied and checked again from nothing.
    x = vehicle(seed, 40)
    modes = ["running_lamps"]
    before = {(f.rule, f.ids[:1]) for f in standing(check(scope_of(x, modes))) if not f.alike}
    done = size(scope_of(x, modes), chosen(x))
    assert done.proposal.edit is not None
    after = changed(x, done)
    scope = scope_of(after, modes)
    left = {(f.rule, f.ids[:1]) for f in standing(check(scope)) if not f.alike}
    assert left <= before
    assert len(left) < len(before)
    for found in done.proposal.fuses:
        if found.proposed_a is not None and found.proposed_a > (found.present_a or 0.0):
            for wire in scope.protection.wires_of(found.fuse):
                assert ("fuse_wire", (wire,)) not in left


def test_joints_found_worse_are_taken_as_clean_and_those_measured_better_stay() -> None:
    x = h.sound()
    h.joint(x, "GP1", 45.0)
    h.joint(x, "X1.1", 0.2)
    clean = proposals._clean(scope_of(x))
    assert list(clean.harness.joints) == ["X1.1"]
    assert set(x.joints) == {"GP1", "X1.1"}
