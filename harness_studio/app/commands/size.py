"""``size PROJECT``: the smallest standard size of each wire that passes, what decided, and what to change."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving
from harness_studio.app.output import say, say_json, table

from . import check

if TYPE_CHECKING:
    from harness_studio.checks.adviser import Advice
    from harness_studio.checks.finding import Finding
    from harness_studio.checks.proposals import Checked
    from harness_studio.checks.scope import Scope
    from harness_studio.checks.sizing import Size

NAME = "size"
HELP = "smallest standard wire sizes and fuses that pass drop, heat, fuse and short circuit"
ABOUT = (
    "For one wire, a circuit, or the whole harness: the smallest standard size that passes drop, heat, fuse and short "
    "circuit in every mode, the rule that decided, and what the next smaller size would do; a rating for each fuse. "
    "Joints are taken as clean. Nothing is written. What is to be changed was tried on a copy of the harness: a change "
    "that would bring a new finding is left out and named. Exit 1 when a finding of grade stop stands on what is sized."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--wire", metavar="WIRE", help="only this wire, the others as they are")
    which.add_argument("--circuit", metavar="CIRCUIT", help="only the wires of this circuit")
    check.add_judging(parser)


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.checks.adviser import chosen
    from harness_studio.checks.proposals import size

    harness = solving.read(arguments.project)
    wires = chosen(harness, arguments.wire, arguments.circuit)
    scope = check.scope_for(harness, arguments)
    done = size(scope, wires)
    stops = standing_stops(scope, done, wires)
    if arguments.json:
        say_json(as_json(scope, done, stops))
    else:
        say("\n".join(as_text(scope, done, stops)))
    return check.STANDS if stops else 0


def standing_stops(scope: Scope, done: Checked, wires: Sequence[str]) -> list[Finding]:
    """Return the findings of grade stop on the wires that are sized and on the fuses before them."""
    concerned = set(wires) | {f for wire in wires for f in scope.protection.before(wire)}
    return [f for f in done.before if f.grade == "stop" and not concerned.isdisjoint(f.ids[:1])]


def as_json(scope: Scope, done: Checked, stops: Sequence[Finding]) -> dict[str, Any]:
    """Return the advice on each wire and fuse, the changes, and what they take away."""
    from harness_studio.checks.cautions import CAUTIONS

    return {
        "wires": [
            {
                "wire": row.wire,
                "present": _size(row.present),
                "smallest": _size(row.smallest),
                "proposed": _size(row.proposed),
                "decided_by": row.decided_by or None,
                "why": row.why,
                "source": row.source or None,
                "next_smaller": row.smaller,
                "problem": row.problem,
            }
            for row in done.proposal.wires
        ],
        "fuses": [
            {
                "fuse": f.fuse,
                "present_a": f.present_a,
                "proposed_a": f.proposed_a,
                "why": f.why,
                "problem": f.problem,
            }
            for f in done.proposal.fuses
        ],
        "withdrawn": list(done.withdrawn),
        "not_by_size": list(done.proposal.beyond),
        "mends": [check.one(f) for f in done.gone],
        "findings": [check.one(f) for f in stops],
        "modes": [state.mode for state in scope.states],
        "limits": scope.limits.name,
        "method": str(scope.how),
        "cautions": list(CAUTIONS),
    }


def _size(size: Size | None) -> dict[str, Any] | None:
    return None if size is None else {"area_mm2": round(size.area_mm2, 4), "awg": size.awg, "text": str(size)}


def as_text(scope: Scope, done: Checked, stops: Sequence[Finding]) -> list[str]:
    """Return the table of wires, the fuses, and what the changes would do."""
    from harness_studio.checks.cautions import CAUTIONS

    text = check.heading(scope)
    sized = [row for row in done.proposal.wires if row.problem is None]
    if sized:
        head = ("wire", "now", "smallest", "make it", "decided by", "it", "next smaller")
        text += ["", *table(head, [_cells(row) for row in sized], right=(1, 2, 3))]
    if len(sized) == 1 and sized[0].decided_by in ("feed_drop", "return_drop", "path_drop", "path_percent"):
        text.append(
            "This wire alone, the rest of its way as it is: --circuit sizes the wires of a way together."
        )
    rests = dict.fromkeys(text for row in sized for text in row.source.split(" | ") if text)
    if rests:
        text += ["", "these numbers rest on", *(line for one in rests for line in check.wrapped(one, "  "))]
    lacking = [row for row in done.proposal.wires if row.problem is not None]
    if lacking:
        text += ["", f"no advice ({len(lacking)})", *(f"  {row.wire}: {row.problem}" for row in lacking)]
    if done.proposal.fuses:
        text += ["", *table(("fuse", "now", "make it", ""), _fuses(done), right=(1, 2))]
    changes = done.proposal.edit
    text += [
        "",
        f"{changes.words}: takes away {len(done.gone)} findings" if changes else "nothing is to be changed",
    ]
    text += [f"  {f.rule} {' '.join(f.ids[:2])}" for f in done.gone]
    if done.proposal.beyond:
        text += ["", "not mended by the size of these wires", *(f"  {what}" for what in done.proposal.beyond)]
    if done.withdrawn:
        text += ["", "left out, for what it would bring", *(f"  {why}" for why in done.withdrawn)]
    if stops:
        text += ["", f"stop: stands as it is now ({len(stops)})"]
        for found in stops:
            text += check.block(found)
    return [*text, "", *CAUTIONS]


def _cells(row: Advice) -> tuple[str, ...]:
    return (
        row.wire,
        str(row.present or "not known"),
        str(row.smallest or "-"),
        str(row.proposed or ""),
        row.decided_by or "-",
        row.why,
        row.smaller,
    )


def _fuses(done: Checked) -> Iterator[tuple[str, ...]]:
    for fuse in done.proposal.fuses:
        now = "not known" if fuse.present_a is None else f"{fuse.present_a:g} A"
        then = "" if fuse.proposed_a is None else f"{fuse.proposed_a:g} A"
        yield fuse.fuse, now, then, f"no advice: {fuse.problem}" if fuse.problem else fuse.why
