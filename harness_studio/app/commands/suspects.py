"""``suspects PROJECT --case ID``: what a case points at, and where to measure next."""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving
from harness_studio.app.output import complain, open_or, say, say_json, table
from harness_studio.base.errors import HarnessError

if TYPE_CHECKING:
    from harness_studio.casebook.next_reading import Proposal
    from harness_studio.casebook.pairs import Pair
    from harness_studio.casebook.provoke import Provoke
    from harness_studio.casebook.summary import Suspect
    from harness_studio.casebook.suspects import Suspects
    from harness_studio.model.cases import Case
    from harness_studio.model.harness import Harness

NAME = "suspects"
HELP = "what a case points at, how sure that is, and where to measure next"
ABOUT = (
    "Holds every joint and wire, at every added resistance, against the sightings and readings of a case. Joints that "
    "no permitted pair of points can tell apart share a line. Then proposes the readings that tell most for their "
    "trouble; no tip goes where a tip cannot go, and nothing is pierced."
)
OPEN_FROM_OHM = 1e5


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    parser.add_argument("--case", metavar="CASE", required=True, help="id of the case in the file")
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a table")


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.casebook.argument import argument
    from harness_studio.casebook.before import as_known_before
    from harness_studio.casebook.next_reading import Proposal, next_steps, verdict
    from harness_studio.casebook.summary import LIKELY, POSSIBLE, summary
    from harness_studio.casebook.suspects import suspects

    harness = solving.read(arguments.project)
    case = _case(harness, arguments.case)
    harness, since = as_known_before(harness, case)
    found = suspects(harness, case)
    groups = summary(harness, found)
    steps = next_steps(harness, found)
    proposals = [s for s in steps if isinstance(s, Proposal)]
    stop = verdict(found, proposals)
    notes = [*found.observed.notes, *since]
    for note in notes:
        complain(note)
    if arguments.json:
        say_json(
            {
                "case": case.id,
                "groups": [_group(g, proposals) for g in groups],
                "next": [_proposal(s) if isinstance(s, Proposal) else _provocation(s) for s in steps],
                "none_fits": found.none_fits,
                "two_at_once": [_pair(found, p) for p in found.pairs],
                "verdict": {"word": stop.word, "stop": stop.stop, "words": stop.words},
                "notes": notes,
            }
        )
        return 0
    say(f"{case.id}: {case.complaint}" if case.complaint else case.id)
    say(argument(harness, case).words)
    say("\n".join(table(("suspects", "how sure", "added", "explains", "misses"), _lines(groups))))
    for pair in found.pairs:
        if pair.probability >= POSSIBLE:
            names = " and ".join(found.groups[g].joint for g in pair.groups)
            say(f"two at once: {names}, {'likely' if pair.probability >= LIKELY else 'possible'}")
    say(f"none of these fits: {'likely' if found.none_fits >= 0.5 else 'not likely'}")
    say("\n".join(table(("measure next", "mode", "reach", "expected"), _next_lines(proposals))))
    for step in steps:
        if not isinstance(step, Proposal):
            say(f"or {step.means} at {step.at} and watch {step.watch}")
    for words in dict.fromkeys(p.caution for p in proposals if p.caution):
        say(f"mind: {words}")
    say(stop.words)
    return 0


def _case(harness: Harness, case_id: str) -> Case:
    cases: dict[str, Case] = harness.tables["cases"]
    if case_id not in cases:
        known = ", ".join(cases) or "the file has none"
        raise HarnessError(f"there is no case '{case_id}'; known: {known}")
    return cases[case_id]


def _mohm(ohm: float) -> float | str:
    return open_or(math.inf if ohm >= OPEN_FROM_OHM else ohm * 1e3)


def _pair(found: Suspects, pair: Pair) -> dict[str, Any]:
    return {
        "joints": [found.groups[g].joint for g in pair.groups],
        "probability": pair.probability,
        "added_mohm": [_mohm(ohm) for ohm in pair.added_ohm],
    }


def _group(group: Suspect, proposals: Sequence[Proposal]) -> dict[str, Any]:
    return {
        "members": [{"address": address, "fault": fault} for address, fault in group.members],
        "probability": group.probability,
        "added_mohm": _mohm(group.added_ohm),
        "range": [_mohm(ohm) for ohm in group.range_ohm],
        "explains": list(group.explains),
        "misses": list(group.misses),
        "predicts": {
            f"{p.plus} to {p.minus}": p.expected[group.joint] for p in proposals if group.joint in p.expected
        },
    }


def _proposal(proposal: Proposal) -> dict[str, Any]:
    return {
        "kind": "reading",
        "plus": proposal.plus,
        "minus": proposal.minus,
        "mode": proposal.mode,
        "reach": proposal.reach,
        "what": proposal.what,
        "expected": {**proposal.expected, "none fits": proposal.if_none_fits},
        "caution": proposal.caution,
    }


def _provocation(step: Provoke) -> dict[str, Any]:
    return {
        "kind": step.kind,
        "plus": None,
        "minus": None,
        "mode": None,
        "reach": None,
        "what": step.means,
        "expected": {step.group: f"{step.watch} changes"},
        "at": step.at,
    }


def _lines(groups: Sequence[Suspect]) -> Iterator[tuple[str, ...]]:
    for group in groups:
        names = ", ".join(address for address, _ in group.members)
        added = _mohm(group.added_ohm)
        words = "open" if isinstance(added, str) else f"{added:.3g} mΩ"
        yield names, group.word, words, str(len(group.explains)), str(len(group.misses))


def _next_lines(proposals: Sequence[Proposal]) -> Iterator[tuple[str, ...]]:
    for one in proposals:
        expected = "; ".join(f"{joint} {volts:.3f} V" for joint, volts in list(one.expected.items())[:3])
        words = f"{expected}; none fits {one.if_none_fits:.3f} V"
        yield f"{one.plus} to {one.minus}", one.mode or "-", one.reach, words
