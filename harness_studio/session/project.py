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
    from harness_studio.storage.project_file import Opened

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
        """Whether the file cannot be replaced (a project without a file can always be saved somewhere)."""
        return self.path is not None and not can_replace(self.path)

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
            If there is no path, the file cannot be written, or (unless the path is given) somebody else changed it
            since it was opened; what is on disk stays as it is.
        """
        target = Path(path) if path is not None else self.path
        if target is None:
            raise HarnessError("this harness has no file yet: say where to save it")
        if path is None and self._changed_by_others(target):
            raise HarnessError(
                f"{target} was changed by another program since it was opened: save under another name"
            )
        from harness_studio.storage.project_file import write_project

        self._opened = write_project(target, self.harness, self._opened)
        self.path = target
        self._saved = self.history.revision

    def _changed_by_others(self, target: Path) -> bool:
        from harness_studio.storage.disk import read_bytes, text_of

        if self._opened is None or not target.exists():
            return False
        return text_of(read_bytes(target, str(target)), str(target)) != self._opened.text


def can_replace(path: Path) -> bool:
    """Tell whether a file may be written anew: by its own rights and its folder's, which holds the new text first."""
    folder = path.parent
    return os.access(folder, os.W_OK) and (not path.exists() or os.access(path, os.W_OK))
