"""The runner: isolation, acceptance, one fault in several modes, several alike, order."""

import logging
from collections.abc import Iterator
from dataclasses import replace

import pytest

from harness_studio.checks.finding import GRADES, Finding, finding
from harness_studio.checks.rules import RULES, Rule
from harness_studio.checks.runner import check, settled, standing
from harness_studio.checks.scope import Scope, State, scope_of
from harness_studio.model.entities import Accepted
from tests.unit.checks import harnesses as h


def made(rule: str = "wire_drop", *ids: str, **fields: object) -> Finding:
    base = finding(rule, "mend", ids or ("W1",), "a sentence")
    return replace(base, **fields)  # type: ignore[arg-type]


def test_a_rule_that_breaks_down_is_told_and_the_others_run(expected_logs: list[logging.LogRecord]) -> None:
    def breaks(scope: Scope) -> Iterator[Finding]:
        yield made("first", "W1")
        raise ZeroDivisionError("half an ohm")

    rules = {"broken": Rule("broken", of_harness=breaks), "fuse_missing": RULES["fuse_missing"]}
    found = check(scope_of(h.sound()), rules)
    assert {f.rule for f in found} == {"check_failed", "first", "fuse_missing"}
    (failed,) = [f for f in found if f.rule == "check_failed"]
    assert (failed.grade, failed.ids) == ("mend", ("broken",))
    assert failed.text == "this check could not run: broken (ZeroDivisionError: half an ohm)"
    assert [r.getMessage() for r in expected_logs] == ["the check broken could not run"]


def test_a_rule_that_breaks_down_in_one_mode_names_it(expected_logs: list[logging.LogRecord]) -> None:
    def breaks(scope: Scope, state: State) -> Iterator[Finding]:
        if state.mode == "driving":
            raise KeyError("X")
        yield made("fine", "W1")

    found = check(scope_of(h.sound()), {"broken": Rule("broken", of_state=breaks)})
    assert {f.rule for f in found} == {"check_failed", "fine"}
    assert "broken in mode driving (KeyError: 'X')" in next(f.text for f in found if f.rule == "check_failed")
    assert len(expected_logs) == 1


def test_a_harness_that_cannot_be_expanded_is_told_once_for_each_mode() -> None:
    x = h.sound()
    h.wire(x, "W3", material="unobtainium")
    found = check(scope_of(x))
    assert {f.rule for f in found} == {"mode_not_judged"}
    assert {f.ids[0] for f in found} == {"parked", "driving"}
    assert all("no figures for conductor material 'unobtainium'" in f.text for f in found)


def test_what_is_accepted_keeps_its_reason_and_does_not_stand() -> None:
    x = h.sound()
    h.joint(x, "GP1", 5.0)  # poor, but it loses little with what flows
    before = {f.key for f in standing(check(scope_of(x)))}
    h.accept(x, "joint_poor/GP1", "to be cleaned in spring")
    after = check(scope_of(x))
    (accepted,) = [f for f in after if f.accepted is not None]
    assert (accepted.key, accepted.accepted) == ("joint_poor/GP1", "to be cleaned in spring")
    assert {f.key for f in standing(after)} == before - {"joint_poor/GP1"}


def test_one_fault_in_several_modes_is_told_for_its_worst() -> None:
    several = [
        made(mode="a", value=0.3, limit=0.2),
        made(mode="b", value=0.5, limit=0.2, text="worse"),
        made(mode="c", value=0.25, limit=0.2),
    ]
    (found,) = settled(several, {})
    assert (found.mode, found.also_in, found.text) == ("b", ("a", "c"), "worse")
    assert found.sentence == "worse (mode b; also a, c)"


def test_a_graver_grade_counts_before_a_larger_number() -> None:
    several = [made(mode="a", value=9.0, limit=0.2), made(mode="b", value=0.3, limit=0.2, grade="stop")]
    (found,) = settled(several, {})
    assert (found.grade, found.mode) == ("stop", "b")


def test_several_alike_are_told_together_and_others_are_not() -> None:
    several = [made("seal", f"X{n}.1", alike="seals not recorded") for n in range(7)]
    other = made("seal", "X9.1", alike="plugs not recorded")
    found = settled([*several, other], {})
    assert [f.ids for f in found] == [tuple(f"X{n}.1" for n in range(7)), ("X9.1",)]
    assert found[0].text == "seals not recorded: X0.1, X1.1, X2.1, X3.1, X4.1 and 2 more"
    assert found[1].text == "a sentence"


def test_one_of_several_alike_can_be_accepted() -> None:
    several = [made("seal", f"X{n}.1", alike="seals not recorded") for n in range(3)]
    found = settled(several, {"seal/X1.1": Accepted("seal/X1.1", "dry place")})
    assert {f.ids: f.accepted for f in found} == {("X0.1", "X2.1"): None, ("X1.1",): "dry place"}


def test_findings_come_gravest_first() -> None:
    x = h.sound()
    h.limit(x, "no_such_limit", 1.0)
    h.wire(x, "W3", area_mm2=0.35, length_mm=8000.0)
    h.wire(x, "W4", area_mm2=0.22)
    grades = [GRADES.index(f.grade) for f in check(scope_of(x))]
    assert grades == sorted(grades)
    assert set(grades) == {0, 1, 2}


@pytest.mark.parametrize("mode", ["parked", "driving"])
def test_one_mode_alone_can_be_checked(mode: str) -> None:
    x = h.sound()
    h.joint(x, "GP1", 50.0)
    rules = {f.rule for f in check(scope_of(x, [mode]))}
    assert ("ground_rise" in rules) == (mode == "driving")
    assert ("joint_poor" in rules) == (mode == "parked")  # in the other one its loss tells it


def test_what_another_finding_explains_is_told_with_it() -> None:
    found = settled(
        [
            made("ground_rise", "GP1", mode="a"),
            made("return_drop", "E1", mode="a", because=("ground_rise/GP1",)),
            made("path_drop", "E1", mode="a", because=("return_drop/E1",)),
            made("return_drop", "E2", mode="a", because=("joint_drop/X1",)),
        ],
        {},
    )
    assert [f.key for f in found] == ["return_drop/E2", "ground_rise/GP1"]
    assert found[1].brings == ("return_drop/E1", "path_drop/E1")
    assert found[1].sentence == (
        "a sentence (mode a). From it come: load loses too much on its return (E1); "
        "load loses too much, there and back (E1)"
    )


def test_what_comes_of_a_finding_in_another_mode_stands_by_itself() -> None:
    cause = made("ground_rise", "GP1", mode="a")
    effect = made("return_drop", "E1", mode="b", because=("ground_rise/GP1",))
    assert {f.key for f in settled([cause, effect], {})} == {"ground_rise/GP1", "return_drop/E1"}
    own = made("joint_drop", "GP1", mode="b", because=("ground_rise/GP1",))
    assert {f.key for f in settled([cause, own], {})} == {"ground_rise/GP1"}


def test_several_alike_with_numbers_are_told_by_the_worst() -> None:
    several = [
        made("fuse_wire", "W1", "F1", value=30.0, limit=18.0, alike="behind F1", text="W1 may carry 18 A"),
        made("fuse_wire", "W2", "F1", value=30.0, limit=16.0, alike="behind F1", text="W2 may carry 16 A"),
    ]
    (found,) = settled(several, {})
    assert (found.ids, found.also_of) == (("W2", "W1", "F1"), ("W1",))
    assert found.text == "W2 may carry 16 A; likewise W1"
    assert found.keys == ("fuse_wire/W2", "fuse_wire/W1")


def test_a_poor_stud_is_one_finding_and_names_the_loads_that_lose_by_it() -> None:
    x = h.sound()
    h.joint(x, "GP1", 45.0)
    everything = {f.key for f in check(scope_of(x), fold=False)}
    told = check(scope_of(x))
    (stud,) = [f for f in told if f.grade == "mend"]
    assert stud.key == "ground_rise/GP1"
    assert {"return_drop/E1", "return_drop/M1", "joint_poor/GP1"} <= set(stud.brings)
    assert everything == {key for f in told for key in (*f.keys, *f.brings)}
