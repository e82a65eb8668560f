"""One typed text → one edit of one field, of one thing or of many."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from harness_studio.base.changes import Ref
from harness_studio.base.errors import EditError
from harness_studio.model.edits import Edit, Put, Remove, Together
from harness_studio.model.entities import JointRecord
from harness_studio.model.harness import Harness

from .fields import Field, entries_of, fields_of, value_at, with_value
from .quantities import Refused
from .typed import read, show

SEVERAL: Final = "several"
WORD = {
    "bodies": "body", "bonds": "stray bond", "zones": "zone", "breakouts": "breakout", "runs": "run",
    "parts": "part", "halves": "connector half", "splices": "splice", "grounds": "ground", "wires": "wire",
    "multicores": "multicore", "modes": "mode", "joints": "joint", "settings": "harness",
}  # fmt: skip
"""What one thing of a section is called."""
_MANY = {"bodies": "bodies", "halves": "connector halves"}


def counted(section: str, count: int) -> str:
    """Return '1 wire', '12 wires', '2 connector halves'."""
    word = WORD.get(section, section)
    return f"{count} {word if count == 1 else _MANY.get(section, word + 's')}"


def entity_of(harness: Harness, ref: Ref) -> Any | None:
    """Return the thing itself; of a joint of which nothing is written an empty record."""
    section, key = ref
    found = harness.tables[section].get(key)
    return JointRecord(key) if found is None and section == "joints" else found


def common_fields(harness: Harness, refs: Sequence[Ref]) -> list[Field]:
    """Return the fields that all these things have, in the order of the first."""
    entities = [e for e in (entity_of(harness, ref) for ref in refs) if e is not None]
    if not entities:
        return []
    first = fields_of(entities[0])
    if len(entities) == 1:
        return first
    made: dict[Any, dict[Any, Any]] = {}
    for entity in entities[1:]:
        shape = (type(entity), getattr(entity, "kind", None), entries_of(entity))
        if shape not in made:
            made[shape] = {f.path: f.form for f in fields_of(entity)}
            first = [f for f in first if made[shape].get(f.path) == f.form]
    return first


def common_text(harness: Harness, refs: Sequence[Ref], field: Field) -> str | None:
    """Return what the field holds, as it is typed; None where the things differ."""
    held = value_at(entity_of(harness, refs[0]), field.path)
    if any(value_at(entity_of(harness, ref), field.path) != held for ref in refs[1:]):
        return None
    return show(field.form, held)


def field_edit(harness: Harness, refs: Sequence[Ref], field: Field, text: str) -> Edit:
    """Return the one edit that writes a text into a field of all these things.

    Raises
    ------
    Refused
        If the text cannot be read.
    EditError
        If one of the things is not there.
    """
    return value_edit(harness, refs, field, read_field(field, text))


def read_field(field: Field, text: str) -> Any:
    """Read what was typed for a field; a required text that is empty is refused by name."""
    if not text.strip() and not field.may_be_empty and not field.choices:
        raise Refused(f"{field.title} cannot be empty")
    return read(field.form, text)


def value_edit(harness: Harness, refs: Sequence[Ref], field: Field, value: Any) -> Edit:
    """Return the one edit that sets a field of all these things."""
    steps: list[Edit] = []
    for ref in refs:
        entity = entity_of(harness, ref)
        if entity is None:
            raise EditError(f"{ref[1]} is not in {ref[0]}")
        if value_at(entity, field.path) != value:
            steps.append(_step(harness, ref, with_value(entity, field.path, value)))
    return Together(tuple(steps), _words(refs, field, value))


def tick_edit(harness: Harness, refs: Sequence[Ref], field: Field, word: str, on: bool) -> Edit:
    """Return the one edit that sets or takes away one tick of all these things; their other ticks stay."""
    steps: list[Edit] = []
    for ref in refs:
        entity = entity_of(harness, ref)
        held = value_at(entity, field.path) or ()
        if entity is not None and (word in held) != on:
            ticks = tuple(t for t in field.ticks if (t in held or t == word) and (on or t != word))
            steps.append(_step(harness, ref, with_value(entity, field.path, ticks)))
    on_what = refs[0][1] if len(refs) == 1 else counted(refs[0][0], len(refs))
    return Together(tuple(steps), f"{word} of {on_what}: {'yes' if on else 'no'}")


def ticks_of(harness: Harness, refs: Sequence[Ref], field: Field) -> dict[str, bool | None]:
    """Return each tick: set on all of these things, on none, or (None) on some."""
    held = [value_at(entity_of(harness, ref), field.path) or () for ref in refs]
    found: dict[str, bool | None] = {}
    for word in field.ticks:
        states = {word in ticks for ticks in held}
        found[word] = states.pop() if len(states) == 1 else None
    return found


def _step(harness: Harness, ref: Ref, entity: Any) -> Edit:
    section, key = ref
    if section == "joints" and entity == JointRecord(key) and key in harness.joints:
        return Remove(section, key)
    return Put(section, entity)


def _words(refs: Sequence[Ref], field: Field, value: Any) -> str:
    section = refs[0][0] if refs else ""
    on = (refs[0][1] or "the harness") if len(refs) == 1 else counted(section, len(refs))
    name = f"{field.group} {field.title}".strip()
    said = " ".join(show(field.form, value).split())
    said = said if len(said) <= 40 else f"{said[:39]}…"
    return f"{name} of {on}: {said}" if said else f"{name} of {on} left open"
