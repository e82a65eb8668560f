"""Runs the rules, each on its own: one that breaks down becomes a finding, never a silent pass."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from harness_studio.model.entities import Accepted

from .finding import GRADES, Finding, finding
from .rules import RULES, Rule
from .scope import NothingToJudge, Scope, State

_log = logging.getLogger(__name__)


def check(scope: Scope, rules: Mapping[str, Rule] | None = None) -> tuple[Finding, ...]:
    """Return the findings of all rules in all modes of a scope, gravest first.

    One fault in several modes is one finding, told for its worst mode; several alike are told together. What the user
    accepted bears the reason.
    """
    raw: list[Finding] = []
    for name, rule in (RULES if rules is None else rules).items():
        raw.extend(look(scope, name, rule))
    return settled(raw, scope.harness.tables["accepted"])


def look(scope: Scope, name: str, rule: Rule) -> list[Finding]:
    """Return what one rule finds, in every mode where it judges modes."""
    if rule.of_harness is not None:
        return guarded(name, None, rule.of_harness(scope))
    found: list[Finding] = []
    for state in scope.states:
        found.extend(look_at(scope, name, rule, state))
    return found


def look_at(scope: Scope, name: str, rule: Rule, state: State) -> list[Finding]:
    """Return what a rule of a mode finds in one mode."""
    assert rule.of_state is not None
    return [replace(f, mode=state.mode) for f in guarded(name, state.mode, rule.of_state(scope, state))]


def guarded(name: str, mode: str | None, findings: Iterator[Finding]) -> list[Finding]:
    """Return the findings a rule yields; if it breaks down, what it had found and that it could not go on."""
    found: list[Finding] = []
    try:
        found.extend(findings)
    except NothingToJudge:
        return found
    except Exception as error:
        _log.warning("the check %s could not run", name, exc_info=True)
        where = f" in mode {mode}" if mode else ""
        found.append(
            finding(
                "check_failed",
                "mend",
                [name],
                f"this check could not run: {name}{where} ({type(error).__name__}: {error})",
                source="a defect of the program",
                method="not judged",
                remedy="judge this by hand, and report it with the file",
            )
        )
    return found


def settled(raw: Iterable[Finding], accepted: Mapping[str, Accepted]) -> tuple[Finding, ...]:
    """Return findings as they are told: accepted ones marked, one fault in several modes once, alike ones together."""
    marked = [_accepted(found, accepted) for found in raw]
    return tuple(_ordered(_together(_over_modes(marked))))


def _accepted(found: Finding, accepted: Mapping[str, Accepted]) -> Finding:
    entry = accepted.get(found.key)
    return found if entry is None else replace(found, accepted=entry.reason)


def _over_modes(findings: Iterable[Finding]) -> Iterator[Finding]:
    same: dict[tuple[str, tuple[str, ...]], list[Finding]] = {}
    for found in findings:
        same.setdefault((found.rule, found.ids or (found.text,)), []).append(found)
    for several in same.values():
        worst = min(several, key=lambda f: (GRADES.index(f.grade), -f.excess, -abs(f.value or 0.0)))
        others = dict.fromkeys(f.mode for f in several if f.mode not in (None, worst.mode))
        yield replace(worst, also_in=tuple(m for m in others if m is not None))


def _together(findings: Iterable[Finding]) -> Iterator[Finding]:
    groups: dict[tuple[str, str, str, str | None], list[Finding]] = {}
    for number, found in enumerate(findings):
        alone = "" if found.alike else str(number)
        groups.setdefault((found.rule, found.grade, found.alike + alone, found.accepted), []).append(found)
    for several in groups.values():
        yield several[0] if len(several) == 1 else _one_of(several)


def _one_of(several: list[Finding]) -> Finding:
    first = several[0]
    ids = tuple(dict.fromkeys(f.ids[0] for f in several if f.ids))
    shown = f"{', '.join(ids[:5])}{f' and {len(ids) - 5} more' if len(ids) > 5 else ''}"
    modes = dict.fromkeys(m for f in several for m in (f.mode, *f.also_in) if m is not None)
    mode = next(iter(modes), None)
    return replace(
        first,
        ids=ids,
        text=f"{first.alike}: {shown}",
        mode=mode,
        also_in=tuple(m for m in modes if m != mode),
    )


def _ordered(findings: Iterable[Finding]) -> list[Finding]:
    order = list(RULES)
    at = {name: n for n, rule in enumerate(RULES.values()) for name in (order[n], *rule.also)}
    return sorted(findings, key=lambda f: (GRADES.index(f.grade), at.get(f.rule, len(order)), -f.excess))


def standing(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings that nobody accepted."""
    return tuple(found for found in findings if found.accepted is None)
