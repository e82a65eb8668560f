"""Sheets bound to one document: laid out, numbered, written."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path

from harness_studio.base.errors import HarnessError
from harness_studio.drawing import fonts
from harness_studio.model.harness import Harness

from . import cover, frame, write
from .catalogue import chosen
from .job import Job, ends_by_point, solved_in
from .label_grids import grid_named
from .leaf import Leaf
from .lettering import missing, plain
from .paper import Paper


def job_of(
    harness: Harness,
    paper: Paper,
    modes: Sequence[str] | None = None,
    *,
    folder: Path | None = None,
    day: str | None = None,
    label_grid: str | None = None,
) -> Job:
    """Solve a harness for its sheets; see `job.solved_in` for the modes and `label_grids.grid_named` for the grid."""
    if label_grid is not None:
        grid_named(label_grid)
    day = day or datetime.date.today().isoformat()
    return Job(harness, paper, solved_in(harness, modes), day, folder, ends_by_point(harness), label_grid)


def leaves_of(job: Job, names: Sequence[str] = (), progress: write.Progress | None = None) -> list[Leaf]:
    """Return the numbered pages of sheets, in the order asked for; a sheet that has nothing to say has no page.

    A running QGuiApplication is needed. `progress` gets before each sheet how many are done and how many there are.

    Raises
    ------
    Stopped
        If `progress` says so.
    HarnessError
        If there is no such sheet, or none of the sheets asked for has anything to show.
    """
    fonts.family()
    sheets = chosen(names)
    made = []
    for number, sheet in enumerate(sheets):
        if progress and not progress(number, len(sheets)):
            raise write.Stopped("stopped; nothing was printed")
        made.append((sheet.name, sheet.make(job)))
    leaves = [leaf for name, some in made for leaf in (_cover(job, made) if name == "cover" else some)]
    if not leaves:
        raise HarnessError(
            f"the harness has nothing for {', '.join(s.name for s in sheets)}: nothing to print"
        )
    for number, leaf in enumerate(leaves, 1):
        frame.dress(leaf, job, number, len(leaves))
    return leaves


def letters_missing(leaves: Sequence[Leaf]) -> str:
    """Return in one line which letters of the pages no font here has; '' for none."""
    letters = missing(t.text for leaf in leaves for t in (*leaf.texts, *leaf.upwards))
    if not letters:
        return ""
    shown = " ".join(letters[:12]) + (f" and {len(letters) - 12} more" if len(letters) > 12 else "")
    return f"no font on this machine has {shown}: they are printed as boxes; install a font that has them"


def _cover(job: Job, made: Sequence[tuple[str, list[Leaf]]]) -> list[Leaf]:
    """Return the cover with the page on which each sheet begins; its own length is found by laying it out."""
    leaves = cover.alone(job)
    for _ in range(3):
        length, page = len(leaves), 1
        contents: list[tuple[str, int]] = []
        for name, some in made:
            if name != "cover" and some:
                contents.append((some[0].sheet, page))
            page += length if name == "cover" else len(some)
        leaves = cover.cover(job, contents)
        if len(leaves) == length:
            break
    return leaves


def written(job: Job, leaves: Sequence[Leaf], progress: write.Progress | None = None) -> bytes:
    """Return numbered pages as a PDF file; see `write.pdf`."""
    return write.pdf(leaves, plain(job.harness.settings.title), progress)


def document(job: Job, names: Sequence[str] = (), progress: write.Progress | None = None) -> bytes:
    """Return sheets as a PDF file."""
    return written(job, leaves_of(job, names, progress), progress)
