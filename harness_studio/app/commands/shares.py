"""``shares PROJECT JOINT``: the ground map of one joint; ``--common A,B,C``: what several loads share."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from harness_studio.app import common_joints, ground_map, solving
from harness_studio.app.output import say, say_json
from harness_studio.base.errors import HarnessError

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares

NAME = "shares"
HELP = "who shares a joint: circuits that return or are fed through it"
ABOUT = (
    "Lists every load that returns through a joint (or is fed through it): which share of its current passes there, "
    "whether it is its only way, its current now, and the millivolts it moves the joint by. With --common it lists "
    "the joints that all named loads pass, feed and return side apart, and those that are ruled out as the one cause."
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
    solving.add_mode(parser)


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.shares import shares

    if (arguments.joint is None) == (arguments.common is None):
        raise HarnessError("shares: name one joint, or several loads with --common E5,M2,P1")
    if arguments.common is not None:
        return _common(arguments)
    done = solving.solved(arguments.project, arguments.mode)
    found = shares(done.network, done.solution, arguments.joint)
    if arguments.json:
        say_json(as_json(found))
    else:
        say("\n".join(ground_map.lines(done.harness, found, done.mode_words)))
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


def as_json(found: Shares) -> dict[str, Any]:
    """Return all rows, the small ones too."""
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
            }
            for row in found.rows
        ],
    }
