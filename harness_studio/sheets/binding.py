"""Sheets bound to one document: laid out, numbered, written."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path

from harness_studio.base.errors import HarnessError
from harness_studio.drawing import fonts
from harness_studio.model.harness import Harness

from . import frame, write
from .catalogue import chosen
from .job import Job, ends_by_point, solved_in
from .leaf import Leaf
from .lettering import plain
from .paper import Paper


def job_of(
    harness: Harness,
    paper: Paper,
    modes: Sequence[str] | None = None,
    *,
    folder: Path | None = None,
    day: str | None = None,
) -> Job:
    """Solve a harness for its sheets; see `job.solved_in` for the modes."""
    day = day or datetime.date.today().isoformat()
    return Job(harness, paper, solved_in(harness, modes), day, folder, ends_by_point(harness))


def leaves_of(job: Job, names: Sequence[str] = ()) -> list[Leaf]:
    """Return the numbered pages of sheets, in the order asked for; a sheet that has nothing to say has no page.

    A running QGuiApplication is needed.

    Raises
    ------
    HarnessError
        If there is no such sheet, or none of the sheets asked for has anything to show.
    """
    fonts.family()
    sheets = chosen(names)
    leaves = [leaf for sheet in sheets for leaf in sheet.make(job)]
    if not leaves:
        raise HarnessError(
            f"the harness has nothing for {', '.join(s.name for s in sheets)}: nothing to print"
        )
    for number, leaf in enumerate(leaves, 1):
        frame.dress(leaf, job, number, len(leaves))
    return leaves


def written(job: Job, leaves: Sequence[Leaf], progress: write.Progress | None = None) -> bytes:
    """Return numbered pages as a PDF file; see `write.pdf`."""
    return write.pdf(leaves, plain(job.harness.settings.title), progress)


def document(job: Job, names: Sequence[str] = (), progress: write.Progress | None = None) -> bytes:
    """Return sheets as a PDF file."""
    return written(job, leaves_of(job, names), progress)
