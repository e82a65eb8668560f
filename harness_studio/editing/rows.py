"""The rows of one table: their texts, kept between edits, and which of them a filter leaves, in which order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from harness_studio.base.changes import Changes
from harness_studio.model.harness import Harness
from harness_studio.placing.faces import natural
from harness_studio.standards import colours

from .columns import Column, columns_of
from .filters import Filter

_FURTHER = {"wires": ("parts", "halves", "splices", "grounds")}
"""Sections whose changes can change what a table's derived columns say."""


class Rows:
    """Rows of a section. Texts are made when they are first asked for, and anew only for what an edit changed."""

    def __init__(self, harness: Harness, section: str) -> None:
        self.harness, self.section = harness, section
        self.columns = columns_of(section)
        self._writers = [column.writer(harness) for column in self.columns]
        self._zone = next((n for n, c in enumerate(self.columns) if c.name == "zone"), None)
        self._texts: dict[str, tuple[str, ...]] = {}
        self._search: dict[str, str] = {}

    @property
    def ids(self) -> list[str]:
        """Ids of all rows, in the order of the file."""
        return list(self.harness.tables[self.section])

    def entity(self, row_id: str) -> Any:
        """Return the thing of a row."""
        return self.harness.tables[self.section][row_id]

    def texts(self, row_id: str) -> tuple[str, ...]:
        """Return what stands in a row's cells."""
        found = self._texts.get(row_id)
        if found is None:
            entity = self.entity(row_id)
            found = tuple([write(entity) for write in self._writers])
            self._texts[row_id] = found
        return found

    def words(self, row_id: str) -> str:
        """Return everything a row says, in small letters, colours in words and zones by their titles, too."""
        found = self._search.get(row_id)
        if found is None:
            entity, texts = self.entity(row_id), self.texts(row_id)
            zones = texts[self._zone].split(", ") if self._zone is not None else ()
            more = [self.harness.zones[z].title or "" for z in zones
                    if z in self.harness.zones]  # fmt: skip
            colour = getattr(entity, "colour", None)
            if colour:
                more.append(colours.words(colour.split("/")))
            found = self._search[row_id] = " ".join([row_id, *texts, *more]).lower()
        return found

    def forget(self, changes: Changes) -> bool:
        """Make the texts of what changed anew; return whether this table is touched."""
        own = {key for section, key in changes.refs if section == self.section}
        if any(
            section in _FURTHER.get(self.section, ()) or section == "zones" for section, _ in changes.refs
        ):
            self._texts.clear()
            self._search.clear()
            return True
        for key in own:
            self._texts.pop(key, None)
            self._search.pop(key, None)
        return bool(own)

    def column(self, name: str) -> Column | None:
        """Return the column of a name."""
        return next((c for c in self.columns if c.name == name), None)

    def found(self, wanted: Filter) -> list[str]:
        """Return the ids of the rows that a filter leaves, in the order of the file."""
        tests = [clause.test(self) for clause in wanted.clauses]
        return [i for i in self.harness.tables[self.section] if all(test(i) for test in tests)]

    def sorted(self, ids: Iterable[str], column: int | None, descending: bool = False) -> list[str]:
        """Return ids by a column (None: by id): numbers as numbers, 2 before 10, what is empty last."""
        ids = list(ids)
        if column is None:
            return sorted(ids, key=natural, reverse=descending)
        by = self.columns[column]
        numbers = {i: by.number(self.entity(i)) for i in ids}
        if any(n is not None for n in numbers.values()):
            said = [i for i in ids if numbers[i] is not None]
            said.sort(key=lambda i: numbers[i] or 0.0, reverse=descending)
        else:
            said = [i for i in ids if self.texts(i)[column]]
            said.sort(key=lambda i: natural(self.texts(i)[column].lower()), reverse=descending)
        shown = set(said)
        return said + [i for i in ids if i not in shown]

    def table(self, ids: Sequence[str]) -> list[list[str]]:
        """Return rows with a head, ids first, as they are copied."""
        head = ["id", *(c.head for c in self.columns)]
        return [head, *([i, *self.texts(i)] for i in ids)]
