"""Acceptances that match no finding any more: told once, never where the finding could not have come, removable."""

import logging
from collections.abc import Iterator
from dataclasses import replace

from harness_studio.base.changes import Changes
from harness_studio.checks import accepting, runner
from harness_studio.checks.finding import Finding
from harness_studio.checks.memory import Memory
from harness_studio.checks.proposals import new_findings, size
from harness_studio.checks.rules import RULES, Rule
from harness_studio.checks.runner import check, standing
from harness_studio.checks.scope import Scope, scope_of
from harness_studio.model.entities import Accepted
from harness_studio.model.harness import Harness
from tests.unit.checks import harnesses as h

REASON = "in a conduit"


def told(x: Harness, *modes: str) -> list[Finding]:
    found = check(scope_of(x, list(modes) or None))
    return [f for f in found if f.rule == "accepted_gone"]


def test_a_reason_whose_finding_is_gone_is_told_with_what_to_do() -> None:
    x = h.sound()
    x.tables["accepted"]["ground_rise/GP1"] = Accepted("ground_rise/GP1", REASON, "2026-11-25")
    (one,) = told(x)
    assert (one.grade, one.ids) == ("note", ("ground_rise/GP1", "GP1"))
    assert one.text == (
        "ground_rise/GP1 was accepted because in a conduit, 2026-11-25, but 'ground stud rises' is not found there "
        "any more"
    )
    assert one.remedy.startswith("remove it")


def test_one_whose_finding_stands_there_is_not() -> None:
    x = h.sound()
    h.accept(x, "fuse_missing/W1", REASON)
    assert told(x) == []
    assert standing(check(scope_of(x))) == ()


def test_one_that_is_told_with_another_finding_is_not_gone() -> None:
    # A poor stud explains what the loads on it lose: those findings are there, but told with the stud's.
    x = h.sound()
    h.joint(x, "GP1", 45.0)
    (stud,) = [f for f in check(scope_of(x)) if f.rule == "ground_rise"]
    for key in stud.brings:
        h.accept(x, key, REASON)
    assert stud.brings
    assert told(x) == []


def test_a_rule_that_is_not_there_is_named_with_the_nearest() -> None:
    x = h.sound()
    h.accept(x, "fuse_mising/W1", REASON)
    (one,) = told(x)
    assert one.text.endswith("but there is no rule 'fuse_mising'; nearest is 'fuse_missing'")


def test_nothing_is_said_where_not_every_mode_was_looked_at() -> None:
    x = h.sound()
    x.modes["parked"] = replace(x.modes["parked"], set={"S0": "off", "S1": "on"})
    h.accept(x, "on_with_key_off/E1", REASON)
    assert told(x) == []
    assert told(x, "driving") == []


def test_nothing_is_said_where_a_mode_has_no_solution() -> None:
    x = h.sound()
    h.accept(x, "ground_rise/GP1", REASON)
    h.wire(x, "W3", material="unobtainium")
    assert told(x) == []


def test_nothing_is_said_of_a_rule_that_broke_down(
    monkeypatch, expected_logs: list[logging.LogRecord]
) -> None:
    def breaks(scope: Scope) -> Iterator[Finding]:
        yield from ()
        raise ZeroDivisionError

    x = h.sound()
    for key in ("stack_order/GP1", "stud_rings/GP1"):
        h.accept(x, key, REASON)
    monkeypatch.setitem(RULES, "stack_order", Rule("broken", of_harness=breaks))
    assert [f.ids[0] for f in told(x)] == ["stud_rings/GP1"]
    assert expected_logs


def test_only_some_rules_say_nothing_of_the_others() -> None:
    x = h.sound()
    h.accept(x, "ground_rise/GP1", REASON)
    assert runner.check(scope_of(x), {"fuse_missing": RULES["fuse_missing"]})[0].rule == "fuse_missing"


def test_it_is_removed_in_one_step_and_comes_back_with_undo() -> None:
    x = h.sound()
    for key in ("ground_rise/GP1", "ground_rise/GP2", "fuse_missing/W1"):
        h.accept(x, key, REASON)
    first, second = told(x)
    edit = accepting.forget(x, [first.ids[0], second.ids[0]])
    assert edit is not None
    assert edit.words == "remove 2 acceptances"
    inverse, _ = edit.apply(x)
    assert list(x.tables["accepted"]) == ["fuse_missing/W1"]
    assert told(x) == []
    inverse.apply(x)
    assert len(told(x)) == 2
    one = accepting.forget(x, first.ids[:1])
    assert one is not None
    assert one.words == "remove acceptance of ground_rise/GP1"
    assert accepting.forget(x, ["nothing/W1"]) is None


def test_findings_kept_between_edits_tell_it_too() -> None:
    x = h.sound()
    scope, memory = scope_of(x), Memory()
    memory.check(scope)
    h.accept(x, "ground_rise/GP1", REASON)
    again = Scope(x, [(s.mode, s.solution) for s in scope.states])
    found = memory.check(again, Changes(added=frozenset([("accepted", "ground_rise/GP1")])))
    assert found == check(scope_of(x))
    assert [f.key for f in found if f.rule == "accepted_gone"] == ["accepted_gone/ground_rise/GP1"]
    assert memory.looked == []


def test_advice_that_mends_what_was_accepted_is_not_taken_back_for_it() -> None:
    x = h.sound()
    h.wire(x, "W3", area_mm2=0.75, length_mm=6000.0)
    h.accept(x, "wire_drop/W3", REASON)
    assert size(scope_of(x), ["W3"]).proposal.edit is not None


def test_a_mended_fault_that_was_accepted_is_nothing_new() -> None:
    x = h.sound()
    h.joint(x, "GP1", 45.0)
    for key in ("ground_rise/GP1", "return_drop/E1"):
        h.accept(x, key, REASON)
    before = standing(check(scope_of(x)))
    h.joint(x, "GP1", 0.3)
    after = standing(check(scope_of(x)))
    assert {f.rule for f in after} >= {"accepted_gone"}
    assert new_findings(before, after) == []
