"""``meter PROJECT --plus A --minus B``: what a meter shows between two points; ``--through LOAD``: step by step."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving, stairs
from harness_studio.app.output import say, say_json, volts
from harness_studio.base.errors import HarnessError

if TYPE_CHECKING:
    from harness_studio.electrics.meter import MeterReading

NAME = "meter"
HELP = "what a meter shows between two points, now and in a clean harness"
ABOUT = (
    "Gives the volts from the plus tip to the minus tip, the same in a harness with clean joints, and whether current "
    "flows between the tips: without current a reading of nothing says nothing. With --through it walks from the "
    "battery's positive post through a load to its grounded post and gives what is lost at every joint and wire."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    parser.add_argument("--plus", metavar="POINT", help="point of the plus tip, for example W31@GP2")
    parser.add_argument("--minus", metavar="POINT", help="point of the minus tip, for example GB1.31")
    parser.add_argument(
        "--through", metavar="LOAD", help="the voltage staircase of a load, for example M2 or E5/stop"
    )
    parser.add_argument(
        "--via", metavar="JOINT", help="with --through: the way that leads through this joint"
    )
    solving.add_mode(parser)
    solving.add_joints(parser)


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.meter import meter

    tips = arguments.plus is not None and arguments.minus is not None
    if tips == (arguments.through is not None) or (arguments.plus is None) != (arguments.minus is None):
        raise HarnessError("meter: give two points with --plus and --minus, or a load with --through")
    if arguments.through is not None:
        return _through(arguments)
    done = solving.solved(arguments.project, arguments.mode, arguments.joint)
    found = meter(done.network, done.solution, solving.clean_of(done), arguments.plus, arguments.minus)
    if arguments.json:
        say_json({"mode": done.mode, **as_json(found)})
    else:
        say("\n".join(as_text(found, done.mode_words)))
    return 0


def _through(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.staircase import staircase

    done = solving.solved(arguments.project, arguments.mode, arguments.joint)
    steps = staircase(done.network, done.solution, arguments.through, arguments.via)
    clean = solving.clean_of(done)
    if arguments.json:
        say_json({"mode": done.mode, "load": arguments.through, "steps": stairs.as_json(steps, clean)})
    else:
        say("\n".join(stairs.lines(done, arguments.through, steps, clean)))
    return 0


def as_json(found: MeterReading) -> dict[str, Any]:
    """Return the reading; `current_flows` is false where only a load or a source lies between the tips."""
    return {
        "plus": found.plus,
        "minus": found.minus,
        "volts": found.volts,
        "clean_volts": found.clean_volts,
        "between": found.between,
        "amperes": found.amperes,
        "current_flows": found.current_flows,
    }


def as_text(found: MeterReading, mode: str) -> list[str]:
    """Return the reading in words."""
    lines = [
        f"+ on {found.plus}, - on {found.minus}; {mode}",
        f"now    {_shown(found.volts)}",
        f"clean  {_shown(found.clean_volts)}",
    ]
    if found.between == "one point":
        return [*lines, "Both tips are on one point."]
    if found.between == "a load or a source":
        return [*lines, "A load or a source lies between the tips: this is its voltage, not a drop."]
    if found.current_flows:
        return [*lines, f"{found.amperes:.2f} A flow between the tips: the reading is the drop they cause."]
    return [
        *lines,
        "No current flows between the tips: a reading of 0 V says nothing about the metal between them.",
    ]


def _shown(value: float | None) -> str:
    return "no reading: a tip is on a floating part" if value is None else volts(value)
