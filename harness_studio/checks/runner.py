"""Runs the rules, each on its own: one that breaks down becomes a finding, never a silent pass."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from harness_studio.model.entities import Accepted

from .finding import GRADES, Finding, finding
from .gone import FAILED, gone
from .rules import RULES, Rule
from .scope import NothingToJudge, Scope, State

_log = logging.getLogger(__name__)


def check(scope: Scope, rules: Mapping[str, Rule] | None = None, *, fold: bool = True) -> tuple[Finding, ...]:
    """Return the findings of all rules in all modes of a scope, gravest first.

    One fault in several modes is one finding, told for its worst mode; several alike are told together. What is
    explained by another finding is told with that one, unless `fold` is False. What the user accepted bears the reason;
    an acceptance that matches nothing is told, unless `fold` is False or only some `rules` are run.
    """
    raw: list[Finding] = []
    for name, rule in (RULES if rules is None else rules).items():
        raw.extend(look(scope, name, rule))
    if fold and rules is None:
        raw.extend(gone(scope, raw))
    return settled(raw, scope.harness.tables["accepted"], fold=fold)


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
                FAILED,
                "mend",
                [name],
                f"this check could not run: {name}{where} ({type(error).__name__}: {error})",
                source="a defect of the program",
                method="not judged",
                remedy="judge this by hand, and report it with the file",
            )
        )
    return found


def settled(
    raw: Iterable[Finding], accepted: Mapping[str, Accepted], *, fold: bool = True
) -> tuple[Finding, ...]:
    """Return findings as they are told.

    Accepted ones are marked, one fault in several modes is told once, what another one explains with that one, alike
    ones together.
    """
    marked = [_accepted(found, accepted) for found in (_folded(list(raw)) if fold else raw)]
    return tuple(_ordered(_together(_over_modes(marked))))


def _folded(raw: Sequence[Finding]) -> list[Finding]:
    """Return the findings that no other one explains, each with the keys of those it does."""
    told: dict[str, set[str | None]] = {}
    for found in raw:
        told.setdefault(found.key, set()).add(found.mode)

    def stands(found: Finding) -> bool:
        return not found.because or not all(
            key in told and (_same(key, found) or found.mode in told[key] or None in told[key])
            for key in found.because
        )

    left = [found for found in raw if stands(found)]
    brings: dict[str, dict[str, None]] = {}
    of = {found.key: found.because for found in raw if not stands(found)}
    for found in raw:
        if not stands(found):
            for cause in _first_causes(found.because, of):
                brings.setdefault(cause, {})[found.key] = None
    return [
        replace(found, brings=tuple(k for k in brings[found.key] if k != found.key))
        if found.key in brings
        else found
        for found in left
    ]


def _same(key: str, found: Finding) -> bool:
    """Tell whether a key is about the very thing of a finding; then it explains it whatever the mode."""
    return found.mode is None or bool(found.ids and key.partition("/")[2] == found.ids[0])


def _first_causes(because: Iterable[str], of: Mapping[str, Sequence[str]]) -> set[str]:
    """Return what stands at the beginning of a chain of causes."""
    found: set[str] = set()
    seen: set[str] = set()
    waiting = list(because)
    while waiting:
        key = waiting.pop()
        if key in seen:
            continue
        seen.add(key)
        if key in of:
            waiting.extend(of[key])
        else:
            found.add(key)
    return found


def _accepted(found: Finding, accepted: Mapping[str, Accepted]) -> Finding:
    entry = accepted.get(found.key)
    return found if entry is None else replace(found, accepted=entry.reason)


def _over_modes(findings: Iterable[Finding]) -> Iterator[Finding]:
    same: dict[tuple[str, tuple[str, ...]], list[Finding]] = {}
    for found in findings:
        same.setdefault((found.rule, found.ids or (found.text,)), []).append(found)
    for several in same.values():
        worst = _worst(several)
        others = dict.fromkeys(f.mode for f in several if f.mode not in (None, worst.mode))
        brings = tuple(dict.fromkeys(key for f in several for key in f.brings))
        yield replace(worst, also_in=tuple(m for m in others if m is not None), brings=brings)


def _worst(several: Sequence[Finding]) -> Finding:
    return min(several, key=lambda f: (GRADES.index(f.grade), -f.excess, -abs(f.value or 0.0)))


def _together(findings: Iterable[Finding]) -> Iterator[Finding]:
    groups: dict[tuple[str, str, str, str | None], list[Finding]] = {}
    for number, found in enumerate(findings):
        alone = "" if found.alike else str(number)
        groups.setdefault((found.rule, found.grade, found.alike + alone, found.accepted), []).append(found)
    for several in groups.values():
        yield several[0] if len(several) == 1 else _one_of(several)


def _one_of(several: list[Finding]) -> Finding:
    """Return several findings of one kind as one: the worst one's numbers, or what all have in common."""
    numbers = all(f.value is not None and f.limit is not None for f in several)
    first = _worst(several) if numbers else several[0]
    heads = tuple(dict.fromkeys(f.ids[0] for f in (first, *several) if f.ids))
    others = heads[1:]
    modes = dict.fromkeys(m for f in (first, *several) for m in (f.mode, *f.also_in) if m is not None)
    mode = next(iter(modes), None)
    if not numbers:
        text = f"{first.alike}: {_some(heads)}"
    else:
        like = [n for n in dict.fromkeys(_name(f) for f in several) if n != _name(first)]
        text = f"{first.text}; likewise {_some(like)}" if like else first.text
    return replace(
        first,
        ids=tuple(dict.fromkeys((*heads, *(first.ids if numbers else ())))),
        also_of=others,
        text=text,
        mode=mode,
        also_in=tuple(m for m in modes if m != mode),
        brings=tuple(dict.fromkeys(key for f in several for key in f.brings)),
    )


def _name(found: Finding) -> str:
    """Return what a finding is about, an element of a part by its own address."""
    return next((one for one in found.ids[1:2] if one.startswith(f"{found.ids[0]}/")), found.ids[0])


def _some(names: Sequence[str]) -> str:
    return f"{', '.join(names[:5])}{f' and {len(names) - 5} more' if len(names) > 5 else ''}"


def _ordered(findings: Iterable[Finding]) -> list[Finding]:
    order = list(RULES)
    at = {name: n for n, rule in enumerate(RULES.values()) for name in (order[n], *rule.also)}
    return sorted(findings, key=lambda f: (GRADES.index(f.grade), at.get(f.rule, len(order)), -f.excess))


def standing(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings that nobody accepted."""
    return tuple(found for found in findings if found.accepted is None)
