"""``sweep PROJECT``: every joint made bad, one at a time, and what each would change."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving
from harness_studio.app.output import open_or, say, say_json, table
from harness_studio.base.errors import HarnessError

if TYPE_CHECKING:
    from harness_studio.electrics.sweep_rows import SweepRow

NAME = "sweep"
HELP = "every joint made bad, one at a time: what each would change"
ABOUT = (
    "Makes every joint worse by the given milliohms, one at a time, solves the whole harness again, and ranks the "
    "joints by the most noticeable change: light of lamps, speed of motors, needles, sensors. Joints in series have "
    "the same effect and share a line in the table."
)
SEVERITIES_MOHM = (5.0, 50.0, 200.0)
SHOWN = 40


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    solving.add_mode(parser)
    parser.add_argument(
        "--joint", metavar="JOINT", action="append", help="only this joint; may be given several times"
    )
    parser.add_argument(
        "--added",
        metavar="MILLIOHMS",
        action="append",
        help="resistance on top of the present one, or 'open'; 5, 50 and 200 by default; may be given several times",
    )


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.electrics.sweep import prepare
    from harness_studio.electrics.sweep_rows import sweep_rows
    from harness_studio.network.dialling import check_joints
    from harness_studio.network.expand import expand
    from harness_studio.network.modes import default_mode

    harness = solving.read(arguments.project)
    mode = arguments.mode or default_mode(harness)
    network = expand(harness, mode)
    check_joints(arguments.joint or (), network.joints)
    added = [_added(text) for text in arguments.added or ()] or [m / 1000.0 for m in SEVERITIES_MOHM]
    only = None
    if arguments.joint:
        only = [network.branches.address[network.joints[j]] for j in arguments.joint]
    rows = sweep_rows(harness, prepare(network), added, only)
    if arguments.json:
        say_json({"mode": mode, "rows": [as_json(row) for row in rows]})
    else:
        say("\n".join(table(("joint", "in series", "added", "what changes"), _lines(rows), right=(2,))))
    return 0


def _added(text: str) -> float:
    from harness_studio.electrics.sweep_rows import added_from

    try:
        return added_from(text)
    except HarnessError as error:
        raise HarnessError(f"--added {error}") from None


def as_json(row: SweepRow) -> dict[str, Any]:
    """Return one joint at one severity."""
    return {
        "joint": row.joint,
        "added_mohm": open_or(row.added_ohm * 1e3),
        "changes": [
            {"reading": c.reading, "clean": c.clean, "bad": c.bad, "unit": c.unit} for c in row.changes
        ],
        **({"failed": True} if row.failed else {}),
    }


def _lines(rows: list[SweepRow]) -> Iterator[tuple[str, ...]]:
    """Yield a line for each chain of joints and severity, the most noticeable first."""
    from harness_studio.electrics.sweep_rows import added_words, chains, row_words

    found = chains(rows)
    for row in found[:SHOWN]:
        others = f"{len(row.in_series)} more" if row.in_series else ""
        yield row.joint, others, added_words(row.added_ohm), row_words(row)
    if len(found) > SHOWN:
        yield "...", "", "", "the rest with --json"
