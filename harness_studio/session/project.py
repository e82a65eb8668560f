"""A harness and the file it came from: open, save, and whether there is something to save."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.base.changes import Changes
from harness_studio.base.errors import HarnessError
from harness_studio.model.edits import Edit
from harness_studio.model.harness import Harness

from .history import History

if TYPE_CHECKING:
    from harness_studio.storage.lock import Holder, Lock
    from harness_studio.storage.project_file import Opened
    from harness_studio.storage.recovery import About

WITHOUT_CURRENT = frozenset({"origins", "cases", "accepted", "annotations", "photos", "revisions", "pages"})
"""Sections that no current depends on."""


class Project:
    """One harness with its history and its place on disk.

    Parameters
    ----------
    harness
        The harness; the project changes it from now on.
    path
        Its file; None for one that was never saved.
    opened
        What was read from the file, so that comments survive a save.
    """

    def __init__(self, harness: Harness, path: Path | None = None, opened: Opened | None = None) -> None:
        self.harness = harness
        self.history = History(harness)
        self.path = path
        self._opened = opened
        self._saved = self.history.revision
        self._lock: Lock | None = None
        self._recovered: About | None = None
        self._overruled: str | None = None
        self._holds = False
        self.held_by: Holder | None = None
        self._circuit = {self.history.revision: self.history.revision}

    @classmethod
    def open(cls, path: str | os.PathLike[str]) -> Project:
        """Read a project file.

        Raises
        ------
        InputError
            With every problem of the file.
        OSError
            If it cannot be read.
        """
        from harness_studio.storage.project_file import read_project

        opened = read_project(Path(path))
        return cls(opened.harness, Path(path), opened)

    @property
    def title(self) -> str:
        """Title of the harness."""
        return self.harness.settings.title

    @property
    def unsaved(self) -> bool:
        """Whether the harness differs from what is on disk; undoing back to the saved state counts as saved."""
        return self.history.revision != self._saved

    @property
    def read_only(self) -> bool:
        """Whether the file cannot be replaced, or is open elsewhere (without a file it can be saved somewhere)."""
        return self.held_by is not None or (self.path is not None and not can_replace(self.path))

    @property
    def recovered(self) -> About | None:
        """What the recovery copy said that this project was brought back from; all it holds counts as unsaved."""
        return self._recovered

    @recovered.setter
    def recovered(self, about: About | None) -> None:
        self._recovered = about
        self._saved = -1

    @property
    def text_on_opening(self) -> str | None:
        """What the file held when it was opened or last saved; None without a file."""
        return self._opened.text if self._opened is not None else None

    def hold(self) -> Holder | None:
        """Hold the file, now and under every name it is saved to, until `release`.

        Returns
        -------
        Who has it, if somebody else does: the project is then read-only. None if it is ours.
        """
        from harness_studio.storage.disk import sweep
        from harness_studio.storage.lock import Lock

        self.release()
        self._holds = True
        if self.path is None:
            return None
        taken = _lock_of(self.path)
        if isinstance(taken, Lock):
            self._lock = taken
            sweep(self.path)
        else:
            self.held_by = taken
        return self.held_by

    def release(self) -> None:
        """Let go of the file's lock; any number of times."""
        self.held_by, self._holds = None, False
        if self._lock is not None:
            self._lock.release()
            self._lock = None

    @property
    def circuit_revision(self) -> int:
        """Number of the state as far as currents depend on it: moving a symbol on a page leaves it as it is."""
        return self._circuit[self.history.revision]

    def apply(self, edit: Edit) -> Changes:
        """Apply an edit; see `History.apply`."""
        before = self.circuit_revision
        changes = self.history.apply(edit)
        changes_circuit = any(section not in WITHOUT_CURRENT for section, _ in changes.refs)
        self._circuit[self.history.revision] = self.history.revision if changes_circuit else before
        return changes

    def save(self, path: str | os.PathLike[str] | None = None) -> None:
        """Write the file, or another one that is this project's file from then on.

        Raises
        ------
        HarnessError
            If there is no path, the file cannot be written, it is open elsewhere, or (unless the path is given)
            somebody else changed it since it was opened; what is on disk stays as it is.
        """
        target = Path(path) if path is not None else self.path
        if target is None:
            raise HarnessError("this harness has no file yet: say where to save it")
        held_by = self._held_elsewhere(target)
        if held_by is not None:
            raise HarnessError(f"{target} is open in {held_by}: save under another name")
        if path is None and self.changed_by_others():
            raise HarnessError(
                f"{target} was changed by another program since it was opened: save under another name"
            )
        from harness_studio.storage.project_file import write_project

        moved = self.path is None or target.resolve() != self.path.resolve()
        self._opened = write_project(target, self.harness, self._opened)
        self.path, self._recovered, self._overruled = target, None, None
        self._saved = self.history.revision
        if moved and self._holds:
            self.hold()

    def _held_elsewhere(self, target: Path) -> Holder | None:
        """Return who else has the file that is to be written."""
        from harness_studio.storage.lock import Lock

        if self._lock is not None and self.path is not None and target.resolve() == self.path.resolve():
            return None
        taken = _lock_of(target)
        if not isinstance(taken, Lock):
            return taken
        taken.release()
        return None

    def changed_by_others(self) -> bool:
        """Tell whether the file holds something else than was opened, saved, or overruled; one that is gone does not.

        Raises
        ------
        InputError
            If it is there and cannot be read.
        """
        from harness_studio.storage.disk import read_bytes, text_of

        if self._opened is None or self.path is None or not self.path.exists():
            return False
        text = text_of(read_bytes(self.path, str(self.path)), str(self.path))
        return text not in (self._opened.text, self._overruled)

    def overrule(self) -> None:
        """Let the next save replace what others wrote into the file meanwhile."""
        from harness_studio.storage.disk import read_bytes, text_of

        if self.path is not None and self.path.exists():
            self._overruled = text_of(read_bytes(self.path, str(self.path)), str(self.path))

    def take_over(self) -> Changes:
        """Take over what others wrote into the file, as one step that can be undone; it counts as saved.

        Raises
        ------
        InputError
            With every problem of the file; nothing was changed.
        EditError
            If the harness cannot be made to hold it; nothing was changed.
        """
        from harness_studio.storage.project_file import read_project

        from .differences import edit_to

        if self.path is None:
            return Changes()
        opened = read_project(self.path)
        changes = self.apply(edit_to(self.harness, opened.harness, "take over the changed file"))
        self._opened = opened
        self._saved = self.history.revision
        return changes


def _lock_of(path: Path) -> Lock | Holder:
    from harness_studio.storage.lock import lock_path, take

    return take(lock_path(path))


def can_replace(path: Path) -> bool:
    """Tell whether a file may be written anew: by its own rights and its folder's, which holds the new text first."""
    folder = path.parent
    return os.access(folder, os.W_OK) and (not path.exists() or os.access(path, os.W_OK))
