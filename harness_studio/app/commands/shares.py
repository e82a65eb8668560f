"""``shares PROJECT JOINT``: the ground map of one joint; ``--common A,B,C``: what several loads share."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from harness_studio.app import common_joints, ground_map, solving
from harness_studio.app.output import say, say_json
from harness_studio.base.errors import HarnessError

if TYPE_CHECKING:
    from harness_studio.electrics.pulled import Pulled
    from harness_studio.electrics.shares import Shares

NAME = "shares"
HELP = "who shares a joint: circuits that return or are fed through it"
ABOUT = (
    "Lists every load that returns through a joint (or is fed through it): which share of its current passes there, "
    "whether it is its only way, its current now, and the millivolts it moves the joint by. With --common it lists "
    "the joints that all named loads pass, feed and return side apart, and those that are ruled out as the one cause; "
    "with --move it tells what putting a return on another ground would change."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    parser.add_argument(
        "joint",
        metavar="JOINT",
        nargs="?",
        help="a ground (GP2: stud to body), a ring on it (GP2/W40), a mated contact (X7.3), a crimp (W40@GP2), "
        "a splice (SP3), a fuse (F4), a contact (S1.30:54), a wire",
    )
    parser.add_argument(
        "--common",
        metavar="LOADS",
        help="loads with commas between them, for example E5,M2,P1: the joints that all of them pass",
    )
    parser.add_argument(
        "--move",
        metavar="WIRE=GROUND",
        help="what it would change to put a return on another ground, for example W40=GP5; the file stays as it is",
    )
    solving.add_mode(parser)


def run(arguments: argparse.Namespace) -> int:
    if sum(a is not None for a in (arguments.joint, arguments.common, arguments.move)) != 1:
        raise HarnessError(
            "shares: name one joint, or several loads with --common E5,M2,P1, or --move W40=GP5"
        )
    if arguments.common is not None:
        return _common(arguments)
    return _moved(arguments) if arguments.move is not None else _shares(arguments)


def _shares(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.other_grounds import also_by
    from harness_studio.electrics.pulled import if_pulled
    from harness_studio.electrics.shares import shares

    done = solving.solved(arguments.project, arguments.mode)
    found = shares(done.network, done.solution, arguments.joint)
    also = also_by(done.harness, done.network, done.solution, found)
    gone = if_pulled(done.harness, done.network, found.joint)
    if arguments.json:
        say_json(as_json(found, also, gone))
        return 0
    text = ground_map.lines(done.harness, found, done.mode_words, also)
    if gone is not None:
        text += ["", ground_map.pulled_line(done.harness, gone, found.joint)]
    say("\n".join(text))
    return 0


def _moved(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.what_if import what_if
    from harness_studio.model.returns import move_return
    from harness_studio.network.modes import default_mode

    wire, sign, ground = (text.strip() for text in arguments.move.partition("="))
    if not (wire and sign and ground):
        raise HarnessError(f"--move '{arguments.move}': write WIRE=GROUND, for example W40=GP5")
    harness = solving.read(arguments.project)
    mode = arguments.mode or default_mode(harness)
    edit = move_return(harness, wire, ground)
    found = what_if(harness, edit, mode)
    if arguments.json:
        say_json({
            "move": {"wire": wire, "to": ground},
            "mode": mode,
            "changes": [
                {"reading": c.reading, "before": c.clean, "after": c.bad, "unit": c.unit} for c in found.changes
            ],
            "grounds": [
                {"ground": g.ground, "before_a": g.before_a, "after_a": g.after_a, "before_v": g.before_v,
                 "after_v": g.after_v}
                for g in found.grounds
            ],
        })  # fmt: skip
    else:
        words = solving.mode_words(harness, mode)
        say("\n".join(ground_map.moved_lines(harness, found, edit.words, words)))
    return 0


def _common(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.common import common_joints as found_in

    names = common_joints.named(arguments.common)
    done = solving.solved(arguments.project, arguments.mode)
    found = found_in(done.network, done.solution, names)
    if arguments.json:
        say_json(common_joints.as_json(done, found))
    else:
        say("\n".join(common_joints.lines(done, found)))
    return 0


def as_json(
    found: Shares, also: Mapping[str, tuple[str, ...]] | None = None, gone: Pulled | None = None
) -> dict[str, Any]:
    """Return all rows, the small ones too."""
    more = {}
    if gone is not None:
        changed = list(dict.fromkeys(c.reading.partition(" ")[0].partition("/")[0] for c in gone.changed))
        more = {"if_open": {"dead": list(gone.dead_parts), "changed": changed}}
    return {
        "joint": found.joint,
        "mode": found.mode,
        "sink": found.sink,
        "rise_v": found.rise_v,
        "shares": [
            {
                "point": row.point,
                "part": row.part,
                "element": row.element,
                "side": row.side,
                "circuit": row.circuit,
                "share": row.share,
                "way": row.way,
                "amperes": row.amperes,
                "moved_mv": row.moved_mv,
                "also_by": list((also or {}).get(row.point, ())),
            }
            for row in found.rows
        ],
        **more,
    }
