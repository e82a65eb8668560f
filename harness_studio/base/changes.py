"""What an edit changed: ids only, never the things themselves."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

Ref = tuple[str, str]
"""(section, id), for example ("wires", "W31")."""

_NONE: frozenset[Ref] = frozenset()


@dataclass(frozen=True, slots=True)
class Changes:
    """Ids that were added, removed and updated by one step."""

    added: frozenset[Ref] = _NONE
    removed: frozenset[Ref] = _NONE
    updated: frozenset[Ref] = _NONE

    def __bool__(self) -> bool:
        return bool(self.added or self.removed or self.updated)

    @property
    def refs(self) -> frozenset[Ref]:
        """Every id that is touched."""
        return self.added | self.removed | self.updated

    def then(self, later: Changes) -> Changes:
        """Return the sum of this step and a later one."""
        added = (self.added - later.removed) | (later.added - self.removed)
        removed = (self.removed - later.added) | (later.removed - self.added)
        back = (self.removed & later.added) | self.updated | later.updated
        return Changes(added, removed, back - added - removed)


def merge(steps: Iterable[Changes]) -> Changes:
    """Return the sum of several steps in order."""
    total = Changes()
    for step in steps:
        total = total.then(step)
    return total
