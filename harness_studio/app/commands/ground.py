"""``ground PROJECT``: which returns to move to other studs so that nothing sensitive rises, before and after."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving
from harness_studio.app.output import say, say_json, table

from . import check

if TYPE_CHECKING:
    from harness_studio.checks.ground_advice import GroundAdvice
    from harness_studio.checks.moves import Move
    from harness_studio.checks.scope import Scope

NAME = "ground"
HELP = "moves of returns to other studs so that no sensor or control unit rises"
ABOUT = (
    "For one ground, or all: the fewest moves of rings to other studs, or to new ones, after which no sensor's and no "
    "control unit's ground lies beyond its limit. A stud that was found poor is cleaned first. Nothing is "
    "written. The moves were tried on a copy of the harness, solved and checked in every mode, with the straps that "
    "take the moved current: what would bring a new finding is left out and named. No stud on seat belts, brakes, "
    "steering or fuel parts is used."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    parser.add_argument(
        "--ground", metavar="GROUND", help="only what returns on this ground, for example GP2"
    )
    check.add_judging(parser)


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.checks.ground_advice import advise, chosen

    harness = solving.read(arguments.project)
    grounds = chosen(harness, arguments.ground)
    scope = check.scope_for(harness, arguments)
    advice = advise(scope, grounds)
    if arguments.json:
        say_json(as_json(scope, advice))
    else:
        say("\n".join(as_text(scope, advice)))
    return 0


def as_json(scope: Scope, advice: GroundAdvice) -> dict[str, Any]:
    """Return the moves, what they are for, what they do to studs and straps, and what is left."""
    from harness_studio.checks.cautions import CAUTIONS

    return {
        "moves": [_move(scope, move) for move in advice.moves],
        "for": [check.one(found) for found in advice.targets],
        "left": [check.one(found) for found in advice.left],
        "mends": [check.one(found) for found in advice.gone],
        "grounds": [
            {
                "ground": rise.ground,
                "rise_before_v": rise.before_v,
                "rise_after_v": rise.after_v,
                "before_a": rise.before_a,
                "after_a": rise.after_a,
            }
            for rise in advice.rises
        ],
        "straps": [
            {"wire": s.wire, "before_a": s.before_a, "after_a": s.after_a, "may_a": s.may_a}
            for s in advice.straps
        ],
        "clean_first": list(advice.clean),
        "by_cleaning": [check.one(found) for found in advice.by_cleaning],
        "kept_off": list(advice.kept_off),
        "withdrawn": list(advice.withdrawn),
        "modes": [state.mode for state in scope.states],
        "limits": scope.limits.name,
        "cautions": list(CAUTIONS),
    }


def _move(scope: Scope, move: Move) -> dict[str, Any]:
    return {
        "wire": move.wire,
        "from": move.start,
        "to": move.to,
        "new_stud_beside": move.beside,
        "length": move.length,
        "text": move.words(scope.harness),
    }


def as_text(scope: Scope, advice: GroundAdvice) -> list[str]:
    """Return what stands, the moves, and before and after."""
    from harness_studio.checks.cautions import CAUTIONS

    text = check.heading(scope)
    for told in advice.clean:
        text += ["", *check.wrapped(f"first: clean it. {told}", "")]
    if advice.by_cleaning:
        text += _list(
            "that alone takes away", [f"{f.rule} {f.ids[0]}: {f.text}" for f in advice.by_cleaning], ""
        )
    text += [
        "",
        *_list(
            "for the sake of",
            [f.sentence for f in advice.targets],
            "nothing sensitive on it is beyond its limit" + (" then" if advice.clean else ""),
        ),
    ]
    if advice.targets:
        moves = [move.words(scope.harness) for move in advice.moves]
        text += ["", *_list("move", moves, "no move of these returns helps without bringing something new")]
    text += _numbers(scope, advice)
    if advice.moves:
        text += ["", *_list("takes away", [f"{f.rule} {f.ids[0]}: {f.text}" for f in advice.gone], "nothing")]
    if advice.left:
        text += ["", *_list("still stands", [f.sentence for f in advice.left], "")]
    if advice.withdrawn:
        text += ["", *_list("left out, for what it would bring", advice.withdrawn, "")]
    if advice.kept_off:
        text += ["", *_list("no stud to move anything to, by its words", advice.kept_off, "")]
    return [*text, "", *CAUTIONS]


def _list(head: str, rows: Sequence[str], nothing: str) -> list[str]:
    return (
        [f"{head} ({len(rows)})", *(line for row in rows for line in check.wrapped(row, "  "))]
        if rows
        else [nothing]
    )


def _numbers(scope: Scope, advice: GroundAdvice) -> list[str]:
    from harness_studio.checks.words import amps, volts

    if not advice.moves:
        return []
    known = scope.harness.grounds
    rows = [
        (
            scope.harness.title_of(r.ground) if r.ground in known else f"{r.ground} new",
            volts(r.before_v) if r.ground in known else "-",
            volts(r.after_v),
            amps(r.before_a) if r.ground in known else "-",
            amps(r.after_a),
        )
        for r in advice.rises
    ]
    text = (
        ["", *table(("ground", "rise", "then", "carries", "then"), rows, right=(1, 2, 3, 4))] if rows else []
    )
    straps = [(s.wire, amps(s.before_a), amps(s.after_a), s.may) for s in advice.straps]
    if straps:
        text += ["", *table(("strap", "carries", "then", "may carry"), straps, right=(1, 2, 3))]
    return text
