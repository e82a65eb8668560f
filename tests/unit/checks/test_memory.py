"""Findings kept between edits: the same as from nothing, with only the rules run that an edit can concern."""

from harness_studio.base.changes import Changes
from harness_studio.checks.memory import Memory
from harness_studio.checks.rules import RULES
from harness_studio.checks.runner import check
from harness_studio.checks.scope import Scope, scope_of
from harness_studio.model.edits import change
from harness_studio.model.entities import Accepted
from tests.unit.checks import harnesses as h


def kept(scope: Scope) -> Scope:
    """Return a scope of the same harness and solutions, as after an edit that no solution depends on."""
    return Scope(scope.harness, [(s.mode, s.solution) for s in scope.states])


def test_the_first_time_every_rule_is_looked_at() -> None:
    scope = scope_of(h.sound())
    memory = Memory()
    assert memory.check(scope) == check(scope)
    assert set(memory.looked) == set(RULES)


def test_an_edit_of_the_drawing_runs_no_rule() -> None:
    scope = scope_of(h.sound())
    memory = Memory()
    before = memory.check(scope)
    assert (
        memory.check(kept(scope), Changes(updated=frozenset([("pages", "p1"), ("annotations", "n1")])))
        == before
    )
    assert memory.looked == []


def test_what_is_accepted_is_told_without_running_a_rule() -> None:
    x = h.sound()
    scope = scope_of(x)
    memory = Memory()
    memory.check(scope)
    x.tables["accepted"]["fuse_missing/W1"] = Accepted("fuse_missing/W1", "short")
    found = memory.check(kept(scope), Changes(added=frozenset([("accepted", "fuse_missing/W1")])))
    assert [f.accepted for f in found] == ["short"]
    assert memory.looked == []


def test_a_wire_runs_what_reads_wires_and_no_other() -> None:
    x = h.sound()
    memory = Memory()
    memory.check(scope_of(x))
    _, changes = change(x, "wires", "W4", colour="RD").apply(x)
    scope = scope_of(x)
    assert memory.check(scope, changes) == check(scope)
    assert "colour_change" in memory.looked
    assert "fuse_rating" not in memory.looked
    assert "limit_unknown" not in memory.looked


def test_edits_one_after_another_give_what_a_check_from_nothing_gives() -> None:
    x = h.sound()
    memory = Memory()
    memory.check(scope_of(x))
    steps = (
        change(x, "wires", "W3", area_mm2=0.35, length_mm=8000.0),
        change(x, "grounds", "GP1", stack=(("W14",), ("W5",))),
        change(x, "halves", "X1", sealed=False),
        change(x, "modes", "parked", set={"S0": "off", "S1": "on"}),
        change(x, "wires", "W3", area_mm2=2.5, length_mm=900.0),
        change(x, "zones", "rear", ambient_c=130.0),
    )
    for step in steps:
        _, changes = step.apply(x)
        scope = scope_of(x)
        assert memory.check(scope, changes) == check(scope)


def test_another_solution_of_a_mode_is_looked_at_whatever_changed() -> None:
    x = h.sound()
    memory = Memory()
    memory.check(scope_of(x))
    h.joint(x, "GP1", 60.0)
    found = memory.check(scope_of(x), Changes())
    assert "ground_rise" in {f.rule for f in found}
