"""``import F.kbl -o P.yaml``: a project from a KBL file."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from harness_studio.app.output import say, say_json, table
from harness_studio.intake.kbl_modules import MODULES_HELP

if TYPE_CHECKING:
    from harness_studio.base.errors import Problem
    from harness_studio.intake.kbl import Imported

NAME = "import"
HELP = "make a project from a KBL file (harness description list, VDA 4964)"
ABOUT = (
    "Reads a KBL file, versions 2.3 to 2.5, and writes a project file; one that is already there is kept as NAME.bak. "
    "Whatever is doubtful is told as a warning with its place in the file, and nothing is refused for it."
)
LISTED = 20


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = f"modules:\n{MODULES_HELP}"
    parser.add_argument("kbl", metavar="FILE.kbl", type=Path, help="the file to read")
    parser.add_argument(
        "-o", "--output", metavar="PROJECT", type=Path, required=True, help="project file to write (YAML)"
    )
    parser.add_argument(
        "--modules", metavar="WHICH", default="all", help="all, base, or ids with commas between (see below)"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a table")


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.intake.kbl import read_kbl
    from harness_studio.storage.project_file import write_project

    done = read_kbl(arguments.kbl, str(arguments.kbl), arguments.modules)
    write_project(arguments.output, done.harness, None)
    if arguments.json:
        say_json(as_json(done))
    else:
        say("\n".join(as_text(done, arguments.kbl, arguments.output)))
    return 0


def as_json(done: Imported) -> dict[str, Any]:
    """Return the totals and every warning, among them which modules of several were read."""
    totals = done.totals
    return {
        "halves": totals.halves - totals.rings_kept,
        "cavities": totals.cavities,
        "wires": totals.wires,
        "splices": totals.splices,
        "grounds": totals.grounds,
        "runs": totals.runs,
        "wire_length_m": totals.wire_length_m,
        "warnings": [str(warning) for warning in done.warnings],
    }


def as_text(done: Imported, source: Path, target: Path) -> Sequence[str]:
    """Return what was read, which modules, and the first warnings."""
    totals = done.totals
    rows = [
        ("connector halves", f"{totals.halves - totals.rings_kept}"),
        ("cavities", f"{totals.cavities}"),
        ("wires, cores of multicores included", f"{totals.wires}"),
        ("splices", f"{totals.splices}"),
        ("grounds", f"{totals.grounds}"),
        ("runs of the bundle", f"{totals.runs}"),
        ("wire in all", f"{totals.wire_length_m:.2f} m"),
    ]
    text = [f"{target}: '{done.harness.settings.title}', read from {source}", modules_words(done)]
    text += ["", *table(("what", "read"), rows, right=(1,))]
    if done.warnings:
        count = len(done.warnings)
        text += ["", f"{count} warning{'s' if count > 1 else ''}"]
        text += [f"  {_placed(warning)}" for warning in done.warnings[:LISTED]]
        if count > LISTED:
            text.append(f"  {count - LISTED} more, all of them with --json")
    return text


def _placed(warning: Problem) -> str:
    return f"line {warning.line}: {warning.what}" if warning.line else warning.what


def modules_words(done: Imported) -> str:
    """Return which modules were read."""
    there, chosen = len(done.modules_in_file), done.modules_chosen
    if not there:
        return "modules: the file has none"
    if there == len(chosen) == 1:
        return f"modules: the only one of the file is read, {chosen[0]}"
    names = ", ".join(str(module) for module in chosen[:6]) + (", ..." if len(chosen) > 6 else "")
    return f"modules: {len(chosen)} of {there} read" + (f": {names}" if names else "")
