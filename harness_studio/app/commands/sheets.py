"""``sheets PROJECT -o FILE.pdf``: sheets to print, pin up and hand over."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from harness_studio.app import screen, solving
from harness_studio.app.output import complain, say, say_json
from harness_studio.base.errors import HarnessError

NAME = "sheets"
HELP = "print sheets to a PDF file: pinouts, grounds, lists"
ABOUT = (
    "Lays the sheets of a harness out for printing and writes them to one PDF file, with expected volts in up to three "
    "modes. The file is replaced as a whole or not at all; what it held before is kept as FILE.bak."
)
_qt: list[object] = []
PAPERS = ("A4", "A3", "Letter", "Tabloid")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        type=Path,
        help="PDF file to write; asked for unless --list is given",
    )
    parser.add_argument(
        "--sheet",
        metavar="NAME",
        action="append",
        default=[],
        help="sheet to print, may be given several times and in any order; --list names them; "
        "all but the 1:1 build board by default",
    )
    parser.add_argument("--paper", metavar="SIZE", default="A4", help=f"{', '.join(PAPERS)}; A4 by default")
    parser.add_argument("--landscape", action="store_true", help="turn the paper's long side level")
    parser.add_argument(
        "--mode",
        metavar="MODE",
        action="append",
        help="operating mode to give expected volts for, up to three times; the first ones of the file by default",
    )
    parser.add_argument(
        "--labels",
        metavar="GRID",
        help="label grid by name, or by its measures, like 'A4, 3 x 8, 70 x 37 mm, from 0 x 0.5, every 70 x 37'; "
        "the first one of the paper by default",
    )
    parser.add_argument("--list", action="store_true", help="name the sheets and what each holds")
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a line")


def run(arguments: argparse.Namespace) -> int:
    _without_a_screen()
    try:
        from PySide6.QtGui import QGuiApplication

        from harness_studio.sheets import binding, catalogue, paper
    except ImportError as error:
        raise screen.explained(error) from None
    if arguments.list:
        _list(arguments.json, {s.name: s.holds for s in catalogue.SHEETS.values()})
        return 0
    if arguments.output is None:
        raise HarnessError("sheets: name the PDF file to write with -o FILE.pdf")
    size = paper.paper(arguments.paper, landscape=arguments.landscape)
    catalogue.chosen(arguments.sheet)
    harness = solving.read(arguments.project)
    # Fonts that were measured belong to it, so it lives as long as the process.
    _qt.append(QGuiApplication.instance() or QGuiApplication(["harness-studio"]))
    folder = arguments.project.resolve().parent
    job = binding.job_of(harness, size, arguments.mode, folder=folder, label_grid=arguments.labels)
    leaves = binding.leaves_of(job, arguments.sheet)
    _write(arguments.output, binding.written(job, leaves))
    if lacking := binding.letters_missing(leaves):
        complain(lacking)
    printed = list(dict.fromkeys(leaf.sheet for leaf in leaves))
    if arguments.json:
        say_json({"file": str(arguments.output), "pages": len(leaves), "sheets": printed})
    else:
        say(
            f"{arguments.output}: {len(leaves)} {'page' if len(leaves) == 1 else 'pages'} ({', '.join(printed)})"
        )
    return 0


def _without_a_screen() -> None:
    """Have Qt draw without a screen unless a program around this one has chosen otherwise."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    screen.check_libraries()


def _list(as_json: bool, names: dict[str, str]) -> None:
    if as_json:
        say_json({"sheets": names})
        return
    wide = max(len(name) for name in names)
    for name, holds in names.items():
        say(f"{name.ljust(wide)}  {holds}")


def _write(path: Path, content: bytes) -> None:
    from harness_studio.storage.disk import replace_file

    if path.is_dir():
        raise HarnessError(f"{path} is a folder; name the PDF file in it")
    replace_file(path, content)
