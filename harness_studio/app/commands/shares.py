"""``shares PROJECT JOINT``: the ground map of one joint."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from harness_studio.app import ground_map, solving
from harness_studio.app.output import say, say_json

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares

NAME = "shares"
HELP = "who shares a joint: circuits that return or are fed through it"
ABOUT = (
    "Lists every load that returns through a joint (or is fed through it): which share of its current passes there, "
    "whether it is its only way, its current now, and the millivolts it moves the joint by."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    parser.add_argument(
        "joint",
        metavar="JOINT",
        help="a ground (GP2: stud to body), a ring on it (GP2/W40), a mated contact (X7.3), a crimp (W40@GP2), "
        "a splice (SP3), a fuse (F4), a contact (S1.30:54), a wire",
    )
    solving.add_mode(parser)


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.shares import shares

    done = solving.solved(arguments.project, arguments.mode)
    found = shares(done.network, done.solution, arguments.joint)
    if arguments.json:
        say_json(as_json(found))
    else:
        say("\n".join(ground_map.lines(done.harness, found, done.mode_words)))
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
