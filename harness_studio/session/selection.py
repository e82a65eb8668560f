"""What the user has selected, and the joint whose ground map is shown."""

from __future__ import annotations

import re
from collections.abc import Iterable

from harness_studio.base.changes import Changes

_SEPARATORS = re.compile(r"[./@:]")


class Selection:
    """Selected ids, and one chosen joint or none. Each change is reported by True."""

    def __init__(self) -> None:
        self._ids: frozenset[str] = frozenset()
        self._chosen: str | None = None

    @property
    def ids(self) -> frozenset[str]:
        """Selected ids."""
        return self._ids

    @property
    def chosen(self) -> str | None:
        """Address of the chosen joint."""
        return self._chosen

    def select(self, ids: Iterable[str]) -> bool:
        """Select exactly these ids."""
        before, self._ids = self._ids, frozenset(ids)
        return self._ids != before

    def choose(self, joint: str | None) -> bool:
        """Choose a joint, or none."""
        before, self._chosen = self._chosen, joint
        return joint != before

    def forget(self, changes: Changes) -> tuple[bool, bool]:
        """Let go of what was removed; return whether the selection and whether the chosen joint changed."""
        gone = {key for _, key in changes.removed}
        selected = self.select(self._ids - gone)
        lost = self._chosen is not None and not gone.isdisjoint(_SEPARATORS.split(self._chosen))
        return selected, lost and self.choose(None)
