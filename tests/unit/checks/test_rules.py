"""Every rule against harnesses that spoil one thing: it finds that, and nothing where all is well."""

import re
from functools import cache

import pytest

from harness_studio.base.changes import Changes
from harness_studio.checks.faults import FAULTS, fault
from harness_studio.checks.finding import Finding
from harness_studio.checks.rules import RULES
from harness_studio.checks.runner import check
from harness_studio.checks.scope import scope_of
from harness_studio.model.edits import check_changed
from harness_studio.standards.provenance import SURENESS
from tests.unit.checks.all_cases import CASES, W1, Case
from tests.unit.checks.harnesses import sound


@cache
def everything(case: Case) -> tuple[Finding, ...]:
    """Return all findings of a case's harness."""
    harness = sound()
    case.change(harness)
    return check(scope_of(harness), fold=False)


def test_the_sound_harness_has_one_named_exemption() -> None:
    found = check(scope_of(sound()))
    assert [(f.rule, f.grade, f.ids[0]) for f in found] == [W1]
    assert "exempt as a short lead to the first fuse" in found[0].text


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.name}")
def test_a_rule_finds_what_is_wrong_and_nothing_else(case: Case) -> None:
    family = {case.rule, *RULES[case.rule].also}
    found = [f for f in everything(case) if f.rule in family]
    assert {(f.rule, f.grade, f.ids[0] if f.ids else "") for f in found} == case.expected
    assert case.content(found), [f.sentence for f in found]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.name}")
def test_every_finding_says_what_it_rests_on_and_what_to_do(case: Case) -> None:
    for found in everything(case):
        assert all((found.text, found.source, found.method, found.remedy)), found
        assert found.sureness in SURENESS
        assert not re.search(r"None|nan|inf\b|[<>]", found.sentence + found.remedy), found
        assert found.rule != "check_failed"


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.name}")
def test_a_case_is_a_harness_that_edits_allow(case: Case) -> None:
    harness = sound()
    before = set(harness.refs())
    case.change(harness)
    after = set(harness.refs())
    check_changed(
        harness, Changes(frozenset(after - before), frozenset(before - after), frozenset(before & after))
    )


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_has_a_case_that_triggers_it(rule: str) -> None:
    names = {rule, *RULES[rule].also}
    assert names == {name for case in CASES if case.rule == rule for name, _, _ in case.expected}


def test_every_case_belongs_to_a_rule() -> None:
    assert {case.rule for case in CASES} == set(RULES)


def test_every_finding_has_words_for_what_is_wrong() -> None:
    assert set(FAULTS) == {name for rule in RULES for name in (rule, *RULES[rule].also)} | {
        "check_failed",
        "accepted_gone",
    }
    assert len(set(FAULTS.values())) == len(FAULTS)
    assert fault("of_a_later_version") == "of a later version"
