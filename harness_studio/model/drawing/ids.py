"""The next free id of each kind of thing: the designator letters of the harness, then a number."""

from __future__ import annotations

import re
from collections.abc import Collection

from harness_studio.model.harness import Harness
from harness_studio.model.kinds import KINDS

LETTERS = {"halves": "X", "splices": "SP", "grounds": "GP", "wires": "W", "multicores": "C"}
"""Letters of what is no part; those of parts come with their kind (IEC 81346 or ASME Y14.44)."""
_NUMBERED = re.compile(r"([A-Za-z]+)(\d+)")


class FreeIds:
    """Hands out ids that are in no use, each once.

    Parameters
    ----------
    taken
        Ids that are in use; a number follows the largest one of its letters, so that gaps are left as they are.
    """

    def __init__(self, taken: Collection[str]) -> None:
        self._taken = set(taken)
        self._largest: dict[str, int] = {}
        for key in taken:
            found = _NUMBERED.fullmatch(key)
            if found:
                letters, number = found[1], int(found[2])
                self._largest[letters] = max(self._largest.get(letters, 0), number)

    def next(self, letters: str) -> str:
        """Return the next id of some letters."""
        number = self._largest.get(letters, 0) + 1
        while f"{letters}{number}" in self._taken:
            number += 1
        self._largest[letters] = number
        found = f"{letters}{number}"
        self._taken.add(found)
        return found

    def like(self, key: str) -> str:
        """Return `key` if it is free; else the next one of its letters, or with a number put to its end."""
        if key not in self._taken:
            self._taken.add(key)
            return key
        found = _NUMBERED.fullmatch(key)
        if found:
            return self.next(found[1])
        number = 2
        while f"{key}_{number}" in self._taken:
            number += 1
        self._taken.add(f"{key}_{number}")
        return f"{key}_{number}"


def free_ids(harness: Harness) -> FreeIds:
    """Return what hands out ids that this harness does not use anywhere."""
    return FreeIds({key for section, key in harness.refs() if section != "settings"})


def letters_of(harness: Harness, kind: str) -> str:
    """Return the designator letters of a kind of part, in the preset of the harness."""
    return KINDS[kind].letter[0 if harness.settings.designators == "iec" else 1]
