"""``meter PROJECT --plus A --minus B``: what a meter shows between two points; ``--through LOAD``: step by step."""

from __future__ import annotations

import argparse
import math
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving, stairs
from harness_studio.app.output import amperes, open_or, say, say_json, volts
from harness_studio.base.errors import HarnessError
from harness_studio.base.units import number, show_mohm

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
        "--mv",
        metavar="MILLIVOLTS",
        help="millivolts read across a fuse (its two terminals as tips), in amperes",
    )
    parser.add_argument(
        "--via", metavar="JOINT", help="with --through: the way that leads through this joint"
    )
    solving.add_mode(parser)
    solving.add_joints(parser)


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.meter import meter
    from harness_studio.electrics.meter_ohms import ohms_between

    tips = arguments.plus is not None and arguments.minus is not None
    if tips == (arguments.through is not None) or (arguments.plus is None) != (arguments.minus is None):
        raise HarnessError("meter: give two points with --plus and --minus, or a load with --through")
    if arguments.through is not None:
        return _through(arguments)
    done = solving.solved(arguments.project, arguments.mode, arguments.joint)
    found = meter(done.network, done.solution, solving.clean_of(done), arguments.plus, arguments.minus)
    ohm = ohms_between(done.network, done.solution, arguments.plus, arguments.minus)
    across = _across_fuse(done, arguments)
    if arguments.json:
        more = {"power_off_ohm": open_or(ohm), **({"across_fuse": across} if across else {})}
        say_json({"mode": done.mode, **as_json(found), **more})
        return 0
    text = as_text(found, done.mode_words)
    text.append(
        "Power off: no metal joins the tips" if math.isinf(ohm) else f"Power off: {show_mohm(ohm)} of metal"
    )
    if across:
        text.append(
            f"{across['mv']:g} mV across {across['fuse']} ({show_mohm(across['cold_mohm'] / 1e3)} cold) is "
            f"{amperes(across['amperes'])}; {across['source']} ({across['sureness']})"
        )
    say("\n".join(text))
    return 0


def _across_fuse(done: solving.Solved, arguments: argparse.Namespace) -> dict[str, Any]:
    """Return what the millivolts read across a fuse mean; empty if none were given."""
    from harness_studio.electrics.meter_ohms import fuse_amperes, fuse_between

    if arguments.mv is None:
        return {}
    try:
        mv = number(arguments.mv)
    except ValueError:
        raise HarnessError(f"--mv '{arguments.mv}': write millivolts, for example 6.2") from None
    fuse = fuse_between(done.harness, done.network, done.solution, arguments.plus, arguments.minus)
    ratings = done.harness.parts[fuse].ratings if fuse is not None else None
    if fuse is None or ratings is None or not ratings.rated_a:
        raise HarnessError(
            "--mv: the tips must stand on both sides of a fuse of known rating, as F4.in and F4.out"
        )
    found = fuse_amperes(getattr(ratings, "style", None), float(ratings.rated_a), mv / 1e3)
    return {"fuse": fuse, "mv": mv, "amperes": found.amperes, "cold_mohm": found.cold_ohm * 1e3,
            "source": found.source, "sureness": found.sureness, "note": found.note}  # fmt: skip


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
