"""Edits: the only way a harness changes. Each checks itself, applies, and returns its inverse and what changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from harness_studio.base.changes import Changes, Ref, merge
from harness_studio.base.errors import EditError

from .conflicts import conflicts
from .harness import SECTIONS, SHARED_IDS, Harness
from .keys import key_problem
from .references import problem_with, references
from .validate import value_problem


class Edit(Protocol):
    """One step. `words` is how the history names it."""

    @property
    def words(self) -> str:
        """What was done, as the history lists it."""
        ...

    def apply(self, harness: Harness) -> tuple[Edit, Changes]:
        """Change the harness and return (inverse, changes); raise EditError and change nothing if not allowed."""
        ...


@dataclass(frozen=True, slots=True)
class Put:
    """Add an entity, or replace the one with its id.

    `position` is where in the section's order a new one goes; at the end by default.
    """

    section: str
    entity: Any
    words: str = ""
    position: int | None = None

    def apply(self, harness: Harness) -> tuple[Edit, Changes]:
        """Put the entity into its section."""
        key = self.entity.id
        table = _table(harness, self.section)
        ref: Ref = (self.section, key)
        if key in table:
            old = table[key]
            table[key] = self.entity
            changes = Changes(updated=frozenset([ref])) if old != self.entity else Changes()
            return Put(self.section, old, self.words), changes
        _check_new(harness, self.section, key)
        if self.position is None or self.position >= len(table):
            table[key] = self.entity
        else:
            items = list(table.items())
            items.insert(self.position, (key, self.entity))
            table.clear()
            table.update(items)
        return Remove(self.section, key, self.words), Changes(added=frozenset([ref]))


@dataclass(frozen=True, slots=True)
class Remove:
    """Take an entity out."""

    section: str
    key: str
    words: str = ""

    def apply(self, harness: Harness) -> tuple[Edit, Changes]:
        """Take the entity out of its section."""
        table = _table(harness, self.section)
        if self.key not in table:
            raise EditError(f"{self.key} is not in {self.section}")
        if self.section == "settings":
            raise EditError("the settings of a harness cannot be taken out")
        position = list(table).index(self.key)
        old = table.pop(self.key)
        return Put(self.section, old, self.words, position), Changes(
            removed=frozenset([(self.section, self.key)])
        )


@dataclass(frozen=True, slots=True)
class Reorder:
    """Take an entity to another place in its section's order; 0 is the first."""

    section: str
    key: str
    position: int
    words: str = ""

    def apply(self, harness: Harness) -> tuple[Edit, Changes]:
        """Take the entity there."""
        table = _table(harness, self.section)
        if self.key not in table:
            raise EditError(f"{self.key} is not in {self.section}")
        if not 0 <= self.position < len(table):
            raise EditError(f"{self.section} have no place {self.position + 1}: there are {len(table)}")
        keys = list(table)
        before = keys.index(self.key)
        keys.insert(self.position, keys.pop(before))
        items = [(key, table[key]) for key in keys]
        table.clear()
        table.update(items)
        changes = (
            Changes(updated=frozenset([(self.section, self.key)])) if before != self.position else Changes()
        )
        return Reorder(self.section, self.key, before, self.words), changes


@dataclass(frozen=True, slots=True)
class Together:
    """Several edits as one step: all of them or none, and what changed is sound afterwards.

    An inverse is not checked: it brings back what was there.
    """

    edits: tuple[Edit, ...]
    words: str = ""
    checked: bool = True

    def apply(self, harness: Harness) -> tuple[Edit, Changes]:
        """Apply all edits in order; on any error undo those already made and raise it."""
        inverses: list[Edit] = []
        steps: list[Changes] = []
        try:
            for edit in self.edits:
                inverse, changes = edit.apply(harness)
                inverses.append(inverse)
                steps.append(changes)
            total = merge(steps)
            if self.checked:
                check_changed(harness, total)
        except Exception:
            for inverse in reversed(inverses):
                inverse.apply(harness)
            raise
        return Together(tuple(reversed(inverses)), self.words, checked=False), total


def _table(harness: Harness, section: str) -> dict[str, Any]:
    if section not in SECTIONS:
        raise EditError(f"there is no section '{section}'")
    return harness.tables[section]


def _check_new(harness: Harness, section: str, key: str) -> None:
    problem = key_problem(section, key)
    if problem:
        raise EditError(problem)
    if section in SHARED_IDS:
        other = harness.section_of(key)
        if other:
            raise EditError(f"the id {key} is already used in {other}")


def check_changed(harness: Harness, changes: Changes) -> None:
    """Check the values of what changed, that all it names is there, and that nothing contradicts itself.

    Raises
    ------
    EditError
        With the first thing that is wrong.
    """
    for section, key in sorted(changes.added | changes.updated):
        problem = value_problem(harness.tables[section][key])
        if problem:
            raise EditError(f"{key} {problem}".strip())
    check_references(harness, changes)
    touched = {section for section, _ in changes.added | changes.updated}
    ids = {key for _, key in changes.added | changes.updated}
    for conflict in conflicts(harness, sorted(touched)):
        if conflict.key in ids or ids.intersection(conflict.others):
            raise EditError(conflict.text)


def check_references(harness: Harness, changes: Changes) -> None:
    """Check that what changed refers to things that are there, and that nothing refers to what was removed.

    Raises
    ------
    EditError
        With the first thing that is wrong.
    """
    for section, key in sorted(changes.added | changes.updated):
        for reference in references(section, harness.tables[section][key]):
            problem = problem_with(harness, reference)
            if problem:
                raise EditError(f"{key}: {problem}")
    gone = {key for _, key in changes.removed}
    names = {key for section, key in changes.updated if section in ("parts", "halves", "bodies", "wires")}
    if gone or names:
        _check_referrers(harness, gone | names)


def _check_referrers(harness: Harness, ids: set[str]) -> None:
    for section, table in harness.tables.items():
        for key, entity in table.items():
            for reference in references(section, entity):
                if reference.target in ids:
                    problem = problem_with(harness, reference)
                    if problem:
                        raise EditError(f"{key} in {section} still refers to it: {problem}")


def together(edits: Iterable[Edit], words: str) -> Together:
    """Return several edits as one checked step."""
    return Together(tuple(edits), words)


def put(section: str, *entities: Any, words: str = "") -> Together:
    """Return the checked step that adds or replaces entities of one section."""
    return Together(tuple(Put(section, e) for e in entities), words or f"change {section}")


def change(harness: Harness, section: str, key: str, words: str = "", /, **fields: Any) -> Together:
    """Return the checked step that sets fields of one entity.

    Raises
    ------
    EditError
        If the entity is not there.
    """
    if key not in harness.tables[section]:
        raise EditError(f"{key} is not in {section}")
    return put(section, replace(harness.tables[section][key], **fields), words=words or f"change {key}")


def remove_with_wires(harness: Harness, refs: Sequence[Ref], words: str = "remove") -> Together:
    """Return the step that removes things, opens the wires that ended there, and drops what else names them."""
    from .removal import removal_edits

    return Together(tuple(removal_edits(harness, refs)), words)
