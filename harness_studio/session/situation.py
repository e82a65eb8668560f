"""What the harness is looked at in: a mode of the file, and what is set beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.base.errors import EditError, nearest
from harness_studio.model.harness import Harness

if TYPE_CHECKING:
    from harness_studio.network.network import Overrides


class Situation:
    """The mode, and the overrides: the dial, pressed positions, pulled fuses. Neither is saved nor undone.

    Each change is reported by True.
    """

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self.mode = self._first()
        self.overrides: Overrides | None = None

    def set_mode(self, mode_id: str | None) -> bool:
        """Take another mode; None is the first one of the file (None again in a harness without modes).

        Raises
        ------
        EditError
            If there is no such mode.
        """
        if mode_id is not None and mode_id not in self._harness.modes:
            near = nearest(mode_id, self._harness.modes)
            raise EditError(f"there is no mode '{mode_id}'" + (f"; nearest is '{near}'" if near else ""))
        before, self.mode = self.mode, mode_id if mode_id is not None else self._first()
        return self.mode != before

    def set_overrides(self, overrides: Overrides | None) -> bool:
        """Set what counts instead of the file, None for nothing."""
        before, self.overrides = self.overrides, overrides
        return overrides != before

    def follow(self) -> bool:
        """Leave a mode that is gone from the harness, and take the first one where there was none."""
        return self.mode not in self._harness.modes and self.set_mode(None)

    def _first(self) -> str | None:
        return next(iter(self._harness.modes), None)
