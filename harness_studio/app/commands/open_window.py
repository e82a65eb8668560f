"""``harness-studio FILE``: the window, or without a screen the ground map that tells most."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.app import ground_map, screen, solving
from harness_studio.app.output import say
from harness_studio.base.errors import AddressError, HarnessError

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares

NAME = "open"
HELP = "open a project in the window; the word 'open' may be left out"
ABOUT = (
    "Opens a project in the window. Without a screen it says so and prints the ground map of the ground that most "
    "circuits share."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "file", metavar="FILE", type=Path, nargs="?", help="project file (YAML); an empty harness by default"
    )


def run(arguments: argparse.Namespace) -> int:
    file: Path | None = arguments.file
    if file is not None and file.suffix.lower() == ".kbl":
        raise HarnessError(
            f"{file} is no project file; make one of it: harness-studio import {file} -o PROJECT.yaml"
        )
    reason = screen.why_no_screen()
    if reason is not None:
        return _without_screen(file, reason)
    screen.check_libraries()
    try:
        from harness_studio.desktop.start import run as run_window
    except ImportError as error:
        if (error.name or "").startswith("harness_studio"):
            raise
        raise screen.explained(error) from error
    code: int = run_window(file)
    return code


def _without_screen(file: Path | None, reason: str) -> int:
    if file is None:
        raise HarnessError(f"no window can be opened, {reason}; name a project file to see its ground map")
    done = solving.solved(file, None)
    say(f"No window was opened: {reason}. Here is the ground that most circuits share in {file.name}.")
    say()
    best = most_shared(done)
    if best is None:
        grounds = len(done.harness.grounds)
        what = (
            f"no load returns through any of its {grounds} grounds" if grounds else "it has no ground points"
        )
        say(f"{done.harness.settings.title}, {done.mode_words}: {what}.")
    else:
        say("\n".join(ground_map.lines(done.harness, best, done.mode_words)))
    return 0


def most_shared(done: solving.Solved) -> Shares | None:
    """Return the shares of the ground through which most circuits return.

    Of those with as many circuits it is the one that loses most volts at present.
    """
    from harness_studio.electrics.returns import metal_of
    from harness_studio.electrics.shares import shares

    metal = metal_of(done.network, done.solution.ohm)
    best: tuple[int, float] = (0, 0.0)
    found: Shares | None = None
    for ground in done.harness.grounds:
        try:
            here = shares(done.network, done.solution, ground, metal)
        except AddressError:
            continue  # a ground that stands on no body yet is no joint
        sharing = [row for row in here.rows if row.side == "return" and row.way not in ground_map.FOLDED]
        rank = (len({row.circuit or row.part for row in sharing}), abs(here.drop_v))
        if sharing and rank > best:
            best, found = rank, here
    return found
