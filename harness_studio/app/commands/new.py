"""``new FILE``: an empty project."""

from __future__ import annotations

import argparse
from pathlib import Path

from harness_studio.app.output import say
from harness_studio.base.errors import HarnessError
from harness_studio.model.entities import Settings
from harness_studio.model.harness import Harness

NAME = "new"
HELP = "start an empty project"
ABOUT = "Writes an empty project file. A file that is already there is left alone."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", type=Path, help="project file to write (YAML)")
    parser.add_argument("--title", metavar="TITLE", help="title of the harness; the file's name by default")


def run(arguments: argparse.Namespace) -> int:
    from harness_studio.storage.project_file import write_project

    file: Path = arguments.file
    if file.exists():
        raise HarnessError(f"{file}: there is such a file already; open it, or give another name")
    title = " ".join((arguments.title or "").split()) or " ".join(file.stem.replace("_", " ").split())
    harness = Harness()
    harness.tables["settings"][""] = Settings(title=title)
    write_project(file, harness, None)
    say(f"{file}: an empty harness, '{title}'")
    return 0
