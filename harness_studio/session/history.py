"""Undo and redo: what was done to a harness, and the way back and forth. All of a step happens, or nothing of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from harness_studio.base.changes import Changes
from harness_studio.base.errors import EditError
from harness_studio.model.edits import Edit, Together
from harness_studio.model.harness import Harness


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the edit that leaves the present state through it, and the states on both sides.

    `edit` of a step that was done leads back, that of an undone step leads forward again.
    """

    words: str
    edit: Edit
    before: int
    after: int


class History:
    """What was done to one harness.

    Every state has a number of its own, and undo and redo come back to the number of the state they restore: two
    moments with one `revision` hold the same harness, the order within its sections included.
    """

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._revision = 0
        self._newest = 0

    @property
    def revision(self) -> int:
        """Number of the present state."""
        return self._revision

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to undo."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to do again."""
        return bool(self._undone)

    @property
    def done(self) -> tuple[str, ...]:
        """Words of the steps that led here, the latest last."""
        return tuple(step.words for step in self._done)

    @property
    def undone(self) -> tuple[str, ...]:
        """Words of the steps that can be done again, the next one last."""
        return tuple(step.words for step in self._undone)

    def apply(self, edit: Edit) -> Changes:
        """Apply an edit as one checked step; one that changes nothing leaves no trace.

        Raises
        ------
        EditError
            If the harness does not allow it; nothing was changed.
        """
        # A bare Put or Remove does not look at references; as one of several it is checked like every other step.
        whole = edit if isinstance(edit, Together) else Together((edit,), edit.words)
        with _all_or_nothing(self._harness):
            inverse, changes = whole.apply(self._harness)
        if not changes:
            return changes
        self._newest += 1
        self._done.append(Step(edit.words, inverse, self._revision, self._newest))
        self._undone.clear()
        self._revision = self._newest
        return changes

    def undo(self) -> Changes:
        """Undo the latest step; without one nothing happens.

        Raises
        ------
        EditError
            If the way back is barred; the harness and the history stay as they are.
        """
        return self._cross(self._done, self._undone, "undone", lambda step: step.before)

    def redo(self) -> Changes:
        """Do the step again that was undone last; without one nothing happens.

        Raises
        ------
        EditError
            If the way forward is barred; the harness and the history stay as they are.
        """
        return self._cross(self._undone, self._done, "done again", lambda step: step.after)

    def _cross(self, here: list[Step], there: list[Step], how: str, to: Callable[[Step], int]) -> Changes:
        if not here:
            return Changes()
        step = here[-1]
        try:
            with _all_or_nothing(self._harness):
                inverse, changes = step.edit.apply(self._harness)
        except EditError as error:
            raise EditError(f"'{step.words}' cannot be {how}, nothing was changed: {error}") from error
        here.pop()
        there.append(Step(step.words, inverse, step.before, step.after))
        self._revision = to(step)
        return changes


@contextmanager
def _all_or_nothing(harness: Harness) -> Iterator[None]:
    """Put the harness back as it was if anything at all goes wrong, an error in the program included."""
    saved = harness.snapshot()
    try:
        yield
    except BaseException:
        for name, table in harness.tables.items():
            table.clear()
            table.update(saved.tables[name])
        raise
