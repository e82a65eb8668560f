"""What the commands that compute have in common: a project file, a mode, and the solved network."""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.base.units import number
from harness_studio.model.harness import Harness

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution
    from harness_studio.network.network import Network, Overrides


@dataclass(frozen=True, slots=True)
class Solved:
    """A harness, the mode it is looked at in, and its solution."""

    harness: Harness
    mode: str | None
    network: Network
    solution: Solution
    overrides: Overrides

    @property
    def mode_words(self) -> str:
        """The mode as a heading names it."""
        return mode_words(self.harness, self.mode)


def mode_words(harness: Harness, mode: str | None) -> str:
    """Return a mode as a heading names it."""
    if mode is None:
        return "no mode: switches in their first position, engine off"
    title = harness.modes[mode].title
    return f"mode {mode}" + (f" ({title})" if title else "")


def add_project(parser: argparse.ArgumentParser) -> None:
    """Let a command take a project file."""
    parser.add_argument("project", metavar="PROJECT", type=Path, help="project file (YAML)")


def add_mode(parser: argparse.ArgumentParser) -> None:
    """Let a command take a mode, and print JSON."""
    parser.add_argument(
        "--mode",
        metavar="MODE",
        help="operating mode by its id in the file; the first one of the file by default",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a table")


def read(path: Path) -> Harness:
    """Read a project file."""
    from harness_studio.storage.project_file import read_project

    return read_project(path).harness


def solved(path: Path, mode: str | None, joints: Sequence[str] = ()) -> Solved:
    """Read a project file and solve it in a mode (None: the first one of the file); `joints` are JOINT=MILLIOHMS."""
    from harness_studio.electrics.solve import solve
    from harness_studio.network.expand import expand
    from harness_studio.network.modes import default_mode
    from harness_studio.network.network import Overrides

    harness = read(path)
    mode = default_mode(harness) if mode is None else mode
    overrides = Overrides(joint_ohm=tuple(set_joint(text) for text in joints))
    network = expand(harness, mode, overrides)
    return Solved(harness, mode, network, solve(network), overrides)


def clean_of(done: Solved) -> Solution:
    """Return the solution of the same harness with every joint clean."""
    from harness_studio.electrics.solve import solve
    from harness_studio.network.expand import expand

    if not done.overrides.joint_ohm and not any(j.mohm is not None for j in done.harness.joints.values()):
        return done.solution
    return solve(expand(done.harness, done.mode, done.overrides, clean=True))


def add_joints(parser: argparse.ArgumentParser) -> None:
    """Let a command take joints to be set to a resistance."""
    parser.add_argument(
        "--joint",
        metavar="JOINT=MILLIOHMS",
        action="append",
        default=[],
        help="take a joint at this total resistance, or 'open', for example GP2=180; may be given several times",
    )


def set_joint(text: str) -> tuple[str, float]:
    """Read JOINT=MILLIOHMS into (joint, ohms)."""
    joint, sign, value = text.rpartition("=")
    if sign and value.strip() == "open":
        return joint.strip(), math.inf
    try:
        mohm = number(value)
    except ValueError:
        mohm = -1.0
    if not sign or not joint or mohm < 0.0:
        raise HarnessError(
            f"--joint '{text}': write JOINT=MILLIOHMS with 0 or more, or JOINT=open, for example GP2=180"
        )
    return joint.strip(), mohm / 1000.0
