"""What the commands that compute have in common: a project file, a mode, and the solved network."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution
    from harness_studio.network.network import Network


@dataclass(frozen=True, slots=True)
class Solved:
    """A harness, the mode it is looked at in, and its solution."""

    harness: Harness
    mode: str | None
    network: Network
    solution: Solution

    @property
    def mode_words(self) -> str:
        """The mode as a heading names it."""
        if self.mode is None:
            return "no mode: switches in their first position, engine off"
        title = self.harness.modes[self.mode].title
        return f"mode {self.mode}" + (f" ({title})" if title else "")


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


def solved(path: Path, mode: str | None) -> Solved:
    """Read a project file and solve it in a mode (None: the first one of the file)."""
    from harness_studio.electrics.solve import solve
    from harness_studio.network.expand import expand
    from harness_studio.network.modes import default_mode

    harness = read(path)
    mode = default_mode(harness) if mode is None else mode
    network = expand(harness, mode)
    return Solved(harness, mode, network, solve(network))
