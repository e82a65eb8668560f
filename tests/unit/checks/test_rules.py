"""Every rule against harnesses that spoil one thing: it finds that, and nothing where all is well."""

import pytest

from harness_studio.base.changes import Changes
from harness_studio.checks.rules import RULES
from harness_studio.checks.runner import check, look, settled
from harness_studio.checks.scope import scope_of
from harness_studio.model.edits import check_changed
from tests.unit.checks.cases import CASES, W1, Case
from tests.unit.checks.harnesses import sound


def found_by(case: Case) -> set[tuple[str, str, str]]:
    """Return what the rule of a case finds."""
    harness = sound()
    case.change(harness)
    raw = look(scope_of(harness), case.rule, RULES[case.rule])
    return {(f.rule, f.grade, f.ids[0] if f.ids else "") for f in settled(raw, {})}


def test_the_sound_harness_has_one_named_exemption() -> None:
    found = check(scope_of(sound()))
    assert [(f.rule, f.grade, f.ids[0]) for f in found] == [W1]
    assert "exempt as a short lead to the first fuse" in found[0].text


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.name}")
def test_a_rule_finds_what_is_wrong_and_nothing_else(case: Case) -> None:
    assert found_by(case) == case.expected


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.name}")
def test_a_case_is_a_harness_that_edits_allow(case: Case) -> None:
    harness = sound()
    before = set(harness.refs())
    case.change(harness)
    check_changed(harness, Changes(added=frozenset(harness.refs()) - before, updated=frozenset(before)))


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_has_a_case_that_triggers_it(rule: str) -> None:
    names = {rule, *RULES[rule].also}
    assert names == {name for case in CASES if case.rule == rule for name, _, _ in case.expected}


def test_every_case_belongs_to_a_rule() -> None:
    assert {case.rule for case in CASES} == set(RULES)
