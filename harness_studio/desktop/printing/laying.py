"""Laying sheets out and writing them beside the window, with progress, and an end when it is no longer wanted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.drawing import fonts
from harness_studio.session.attempt import attempt
from harness_studio.session.scheduler import Scheduler

if TYPE_CHECKING:
    from harness_studio.model.harness import Harness
    from harness_studio.sheets.leaf import Leaf

POLL_MS = 100


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be printed.

    `modes` None takes the first ones of the file; `file` None only lays out; `halves` are those that a pinout is
    wanted of, empty for all.
    """

    harness: Harness
    sheets: tuple[str, ...]
    paper: str
    landscape: bool
    modes: tuple[str, ...] | None
    grid: str | None
    folder: Path | None
    file: Path | None = None
    halves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Printed:
    """Pages that were laid out, or why there are none; `stopped` when it was no longer wanted.

    `lacking` says which letters no font has.
    """

    wanted: Wanted
    leaves: Sequence[Leaf] = ()
    problem: str = ""
    lacking: str = ""
    stopped: bool = False


class Laying:
    """One piece of work at a time. `told` gets what is being done, `done` what came of it."""

    def __init__(
        self, scheduler: Scheduler, told: Callable[[str, int, int], None], done: Callable[[Printed], None]
    ) -> None:
        self._scheduler = scheduler
        self._told = told
        self._done = done
        self._progress: list[tuple[str, int, int]] = []
        self._end = False
        self.busy = False

    def begin(self, wanted: Wanted) -> None:
        """Lay out, and write where a file is named."""
        if self.busy:
            return
        fonts.family()  # registered on the thread of the window
        self.busy, self._end, self._progress = True, False, [("Solving", 0, 0)]
        self._scheduler.run(lambda: self._work(wanted), self._arrived)
        self._poll()

    def stop(self) -> None:
        """Let the work end at its next page; nothing is written then."""
        self._end = True

    def _poll(self) -> None:
        if self.busy:
            self._told(*self._progress[-1])
            self._scheduler.later(POLL_MS, self._poll)

    def _arrived(self, printed: Printed) -> None:
        self.busy = False
        self._done(printed)

    def _note(self, what: str) -> Callable[[int, int], bool]:
        def note(number: int, of: int) -> bool:
            self._progress.append((what, number, of))
            return not self._end

        return note

    def _work(self, wanted: Wanted) -> Printed:
        """Do the work, on another thread; nothing escapes."""
        printed, problem = attempt("printing", lambda: self._printed(wanted))
        return printed or Printed(wanted, problem=problem or "")

    def _printed(self, wanted: Wanted) -> Printed:
        from harness_studio.sheets import binding, paper
        from harness_studio.sheets.write import Stopped
        from harness_studio.storage.disk import replace_file

        try:
            size = paper.paper(wanted.paper, landscape=wanted.landscape)
            job = binding.job_of(
                wanted.harness, size, wanted.modes, folder=wanted.folder, label_grid=wanted.grid
            )
            job = replace(job, halves=wanted.halves)
            leaves = binding.leaves_of(job, wanted.sheets, self._note("Laying out sheet"))
            if wanted.file is not None:
                content = binding.written(job, leaves, self._note("Writing page"))
                replace_file(wanted.file, content)
        except Stopped:
            return Printed(wanted, stopped=True)
        return Printed(wanted, leaves, lacking=binding.letters_missing(leaves))
