"""``check PROJECT``: what the rules of the trade find in a harness, gravest first."""

from __future__ import annotations

import argparse
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving
from harness_studio.app.output import say, say_json
from harness_studio.base.errors import HarnessError, nearest

if TYPE_CHECKING:
    from harness_studio.checks.finding import Finding
    from harness_studio.checks.how import How
    from harness_studio.checks.limits import LimitSet
    from harness_studio.checks.scope import Scope
    from harness_studio.model.harness import Harness

NAME = "check"
HELP = "findings: heat, drop, fuses, contacts, grounds, safety, bookkeeping"
ABOUT = (
    "Checks the harness in every mode, or in one, against the limit set of the project. Each finding has a grade "
    "(stop: not to be used like this; mend: outside a limit; note), its numbers, the limit and where that is from, and "
    "what to do. Exit 1 when a finding of grade stop stands that the file does not accept with a reason."
)
STANDS = 1
_WIDTH = 110
_WORDS = {"stop": "stop: not to be used like this", "mend": "mend: outside a limit", "note": "note"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    add_judging(parser)


def add_judging(parser: argparse.ArgumentParser) -> None:
    """Let a command take the mode that is judged, the way ampacity is found, and how it prints."""
    parser.add_argument(
        "--mode", metavar="MODE", help="only this operating mode, by its id in the file; all by default"
    )
    parser.add_argument(
        "--method",
        metavar="METHOD",
        help="how ampacity is found: 'heat-balance', 'handbook' (the first table that judges), or a table: "
        "ac_43_13_1b_11_9, cfr_33_183_425, iso_6722; by default as the project file says, else as its limit set says",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a table")


def scope_for(harness: Harness, arguments: argparse.Namespace) -> Scope:
    """Return what is judged of a harness as `add_judging` lets one ask."""
    from harness_studio.checks.scope import scope_of

    return scope_of(harness, modes_of(harness.modes, arguments.mode), method_of(arguments.method))


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.checks.runner import check, standing

    scope = scope_for(solving.read(arguments.project), arguments)
    findings = check(scope)
    if arguments.json:
        say_json(as_json(scope, findings))
    else:
        say("\n".join(as_text(scope, findings)))
    return STANDS if any(found.grade == "stop" for found in standing(findings)) else 0


def modes_of(known: Sequence[str] | Any, wanted: str | None) -> list[str | None] | None:
    """Return the modes to look at (None: all of the file), or say that there is no such mode."""
    if wanted is None:
        return None
    if wanted not in known:
        near = nearest(wanted, known)
        hint = f"nearest is '{near}'" if near else f"there are {', '.join(known) or 'none'}"
        raise HarnessError(f"there is no mode '{wanted}'; {hint}")
    return [wanted]


def method_of(text: str | None) -> How | None:
    """Read the words of --method; None takes what the file says, else its limit set."""
    from harness_studio.checks.how import named, names

    found = None if text is None else named(text)
    if text is None or found is not None:
        return found
    known = tuple(name.replace("heat_", "heat-") for name in names())
    near = nearest(text, known)
    hint = f"nearest is '{near}'" if near else f"there are {', '.join(known)}"
    raise HarnessError(f"--method: there is no way '{text}' to find ampacity; {hint}")


def as_json(scope: Scope, findings: Sequence[Finding]) -> dict[str, Any]:
    """Return every finding that stands, then those accepted with their reason, and what they were judged by."""
    from harness_studio.checks.cautions import CAUTIONS

    return {
        "findings": [one(found) for found in findings if found.accepted is None],
        "accepted": [
            {**one(found), "reason": found.accepted} for found in findings if found.accepted is not None
        ],
        "modes": [state.mode for state in scope.states],
        "limits": _limits(scope.limits),
        "method": str(scope.how),
        "cautions": list(CAUTIONS),
    }


def one(found: Finding) -> dict[str, Any]:
    """Return a finding as JSON has it; its text names the modes, its source the method and how sure it is."""
    return {
        "rule": found.rule,
        "grade": found.grade,
        "ids": list(found.ids),
        "text": found.sentence,
        "value": found.value,
        "limit": found.limit,
        "unit": found.unit,
        "source": found.backing,
        "remedy": found.remedy,
    }


def _limits(limits: LimitSet) -> dict[str, Any]:
    return {
        "set": limits.name,
        "title": limits.title,
        "overridden": [
            {"limit": own.name, "value": own.value, "unit": own.unit, "reason": own.reason}
            for own in limits.overridden
        ],
    }


def as_text(scope: Scope, findings: Sequence[Finding]) -> list[str]:
    """Return the findings grouped by grade, each with its numbers, its source and what to do."""
    from harness_studio.checks.cautions import CAUTIONS
    from harness_studio.checks.finding import GRADES

    text = heading(scope)
    stands = [found for found in findings if found.accepted is None]
    if not stands:
        text += ["", "Nothing found that stands."]
    for grade in GRADES:
        here = [found for found in stands if found.grade == grade]
        if here:
            text += ["", f"{_WORDS[grade]} ({len(here)})"]
            for found in here:
                text += block(found)
    accepted = [found for found in findings if found.accepted is not None]
    if accepted:
        text += ["", f"accepted ({len(accepted)})"]
        for found in accepted:
            text += [
                *wrapped(f"{found.key}: {found.sentence}", "  "),
                *wrapped(f"because {found.accepted}", "      "),
            ]
    return [*text, "", *CAUTIONS]


def heading(scope: Scope) -> list[str]:
    """Return what was judged by what."""
    modes = ", ".join(str(state.mode) for state in scope.states if state.mode) or "no mode"
    text = [
        f"{scope.harness.settings.title}: {modes}",
        f"limits: {scope.limits.title}; ampacity by {scope.how}{_whose(scope)}",
    ]
    for own in scope.limits.overridden:
        value = "off" if own.value is None else f"{own.value:g} {own.unit}"
        text.append(f"this project's own limit: {own.name} ({own.what}) {value}, because {own.reason}")
    return text


def _whose(scope: Scope) -> str:
    """Say where the way to find ampacity is from, unless it is the limit set's."""
    own, limits = scope.limits.own_way, scope.limits
    if own is not None and (scope.how.method, scope.how.table) == (limits.method, limits.table):
        return ", this project's own choice"
    return f", for this once; the project file says {own}" if own is not None else ""


def block(found: Finding) -> list[str]:
    """Return one finding: the sentence, its numbers and source, what to do."""
    ids = " ".join(found.ids[:4]) + (" ..." if len(found.ids) > 4 else "")
    lines = wrapped(f"{found.rule} {ids}", "  ")
    lines += wrapped(found.sentence, "    ")
    numbers = [
        f"{word} {_number(value)} {found.unit}".rstrip()
        for word, value in (("found", found.value), ("limit", found.limit))
        if value is not None
    ]
    lines += wrapped("; ".join([*numbers, found.backing]), "      ")
    return lines + (wrapped(f"do: {found.remedy}", "      ") if found.remedy else [])


def _number(value: float) -> str:
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"


def wrapped(text: str, indent: str) -> list[str]:
    """Return a text in lines of a readable width."""
    return textwrap.wrap(
        text, _WIDTH, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
    )
