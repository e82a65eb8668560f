"""Keeps a recovery copy of unsaved work, a moment behind the edits, and brings one back after a crash."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError, InputError
from harness_studio.model.harness import Harness
from harness_studio.storage.recovery import About, Copy, Record, digest, moved_on, renewed

from .differences import difference, in_words
from .project import Project
from .scheduler import Cancel, Scheduler
from .session import Session

if TYPE_CHECKING:
    from harness_studio.storage.project_file import Opened

WITHIN_MS = 1200
"""From an edit to the copy that holds it being begun; written it is well within three seconds."""


class Recovery:
    """Follows one session.

    Parameters
    ----------
    session
        Whose unsaved work is kept.
    scheduler
        Writes beside the window.
    tell
        Gets a line when no copy can be written; once.
    record
        The copy the session was brought back from.
    """

    def __init__(
        self,
        session: Session,
        scheduler: Scheduler,
        tell: Callable[[str], object],
        record: Record | None = None,
        within_ms: int = WITHIN_MS,
    ) -> None:
        self._session = session
        self._scheduler = scheduler
        self._tell = tell
        self._record = record or Record()
        self._within_ms = within_ms
        self._about = about_of(session.project)
        self._waits = False
        self._cancel: Cancel | None = None
        self._writing = False
        self._behind = False
        self._told = False
        self._ends = [session.subscribe("changes", self._edited), session.subscribe("saved", self._saved)]
        if session.project.recovered is not None:
            self._about = session.project.recovered

    @property
    def record(self) -> Record:
        """The copy."""
        return self._record

    def _edited(self, _: object) -> None:
        if not self._session.unsaved:
            self._saved(None)
            return
        now = datetime.now().isoformat(timespec="seconds")
        about = self._about
        self._about = renewed(about, since=about.since or now, until=now, edits=about.edits + 1)
        self._behind = True
        self._wait()

    def _wait(self) -> None:
        if self._waits or self._writing:
            return
        self._waits = True  # before: a scheduler may come to it at once
        self._cancel = self._scheduler.later(self._within_ms, self._write)

    def _write(self) -> None:
        self._waits = False
        if not self._behind:
            return
        self._behind, self._writing = False, True
        harness, about, state = self._session.harness.snapshot(), self._about, self._record.state
        self._scheduler.run(lambda: _written(self._record, harness, about, state), self._written)

    def _written(self, problem: str) -> None:
        self._writing = False
        if problem and not self._told:
            self._told = True
            self._tell(f"No recovery copy can be written, save more often: {problem}")
        if self._behind:
            self._wait()

    def _saved(self, _: object) -> None:
        """Forget the copy: the file holds everything."""
        self._behind = False
        self._record.drop()
        self._about = about_of(self._session.project)

    def end(self, *, left: bool) -> None:
        """Follow no more; the copy is dropped if the user left the session of their own will, and stays if not."""
        for end in self._ends:
            end()
        if self._cancel is not None:
            self._cancel()
        if left or not self._session.unsaved:
            self._record.drop()
        elif self._behind and not self._writing:
            _written(self._record, self._session.harness, self._about, self._record.state)
        self._behind = False
        self._record.let_go()


def about_of(project: Project) -> About:
    """Return what a copy of a project that has no edits yet says."""
    file = str(project.path.resolve()) if project.path is not None else ""
    text = project.text_on_opening
    return About(file, digest(text) if text is not None else "")


def _written(record: Record, harness: Harness, about: About, state: int) -> str:
    """Write a copy; return what went wrong in one line."""
    try:
        record.write(harness, about, state)
    except HarnessError as error:
        return str(error)
    return ""


def held(copy: Copy, today: datetime | None = None) -> str:
    """Return what a copy holds in one line: '14 edits since 10:42: 3 wires added, ground GP2 changed'."""
    from harness_studio.storage.project_file import parse

    about = copy.about
    count = f"{about.edits} edit{'' if about.edits == 1 else 's'}"
    said = f"{count} since {_clock(about.since, today or datetime.now())}"
    try:
        after = parse(copy.text, "the recovery copy").harness
    except InputError:
        return f"{said}; the copy cannot be read"
    before = _opened(about)
    words = in_words(difference(before.harness if before is not None else Harness(), after))
    return f"{said}: {words}" if words else said


def bring_back(copy: Copy) -> Project:
    """Return the project that a copy holds, with its edits unsaved.

    It has no file, if that cannot be read any more or was changed after the copy's edits were begun: saving must
    overwrite nothing that the edits do not know of.

    Raises
    ------
    InputError
        If the copy cannot be read.
    """
    from harness_studio.storage.project_file import parse

    harness = parse(copy.text, copy.path.name).harness
    before = _opened(copy.about)
    known = before is not None and not moved_on(copy.about, before.text)
    project = Project(harness, Path(copy.about.file) if known else None, before if known else None)
    project.recovered = copy.about
    return project


def _opened(about: About) -> Opened | None:
    from harness_studio.storage.project_file import read_project

    if not about.file:
        return None
    try:
        return read_project(about.file)
    except InputError:
        return None


def _clock(when: str, today: datetime) -> str:
    try:
        time = datetime.fromisoformat(when)
    except ValueError:
        return "the last save"
    return f"{time:%H:%M}" if time.date() == today.date() else f"{time:%Y-%m-%d %H:%M}"
