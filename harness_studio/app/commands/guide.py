"""``guide PROJECT TEST``: a ready-made test as a short list of readings, with what to expect and what is allowed."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from harness_studio.app import solving
from harness_studio.app.output import complain, say, say_json, table

if TYPE_CHECKING:
    from harness_studio.casebook.ready_made import Guide

NAME = "guide"
HELP = "a ready-made test (cranking, charging, key-off drain) as a list of readings"
ABOUT = (
    "Lists the readings of a test in the order they are taken, with the value that this harness should give when it is "
    "clean and the limit of the set in force."
)
TESTS = {"cranking": "cranking", "charging": "charging", "drain": "key-off drain"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    parser.add_argument("test", choices=tuple(TESTS), help="which test")
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a table")


def run(arguments: argparse.Namespace) -> int:
    from dataclasses import asdict

    from harness_studio.session.ready_tests import guide_of

    found = guide_of(solving.read(arguments.project), TESTS[arguments.test])  # type: ignore[arg-type]
    for words in found.missing:
        complain(words)
    if arguments.json:
        say_json({"test": found.test, "mode": found.mode, "steps": [asdict(s) for s in found.steps]})
        return 0
    say(f"{found.test}, mode {found.mode}")
    say("\n".join(table(("reading", "where", "expected", "at most"), _lines(found))))
    for words in dict.fromkeys(s.caution for s in found.steps if s.caution):
        say(f"mind: {words}")
    return 0


def _lines(found: Guide) -> Iterator[tuple[str, ...]]:
    for step in found.steps:
        where = step.at if step.kind == "amperes" else f"{step.plus} to {step.minus}"
        expected = "-" if step.expected is None else f"{step.expected:.3f} {step.unit}"
        yield step.what, where, expected, "-" if step.limit is None else f"{step.limit:g} {step.unit}"
