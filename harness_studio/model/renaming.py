"""Other ids for the things of a harness: every mention of them follows, wherever the type hints say that one stands."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from .forms import Fixed, Form, ListOf, Maybe, Record, Special, TableOf, Text, keys_of
from .harness import Harness
from .parts import Part
from .values import End, Spot

_PLACES = re.compile(r"(^|[@/])([A-Za-z0-9_-]+)")
_FREE_TEXT = frozenset({"accepted", "revisions", "settings"})
"""Sections whose keys are no ids of things."""


@dataclass(frozen=True, slots=True)
class Names:
    """What things and points are called from now on.

    Parameters
    ----------
    ids
        Old id → new id, for any section (a zone and a body of one name are renamed together).
    addresses
        Old address → new address of single points or joints, for example 'W1@GP2' → 'W7@GP2'; they come before ids.
    """

    ids: Mapping[str, str] = field(default_factory=dict)
    addresses: Mapping[str, str] = field(default_factory=dict)

    def id(self, key: str | None) -> Any:
        """Return the new id; None stays None."""
        return key if key is None else self.ids.get(key, key)

    def address(self, text: str) -> str:
        """Return the new address of a point or joint: 'GP2/W40', 'X7.3', 'W40@GP2'."""
        found = self.addresses.get(text)
        if found is not None:
            return found
        return _PLACES.sub(lambda place: place[1] + self.ids.get(place[2], place[2]), text)


def renamed(harness: Harness, ids: Mapping[str, str]) -> Harness:
    """Return a harness in which things have other ids.

    Returns
    -------
    Harness
        A new one, in the same order; points, joints, ends, stacks, modes and pages name the new ids.
    """
    names, made = Names(ids), Harness()
    for section, table in harness.tables.items():
        for key, entity in table.items():
            new_key = key if section in _FREE_TEXT else names.address(key)
            made.tables[section][new_key] = renamed_entity(entity, names, new_key)
    return made


def renamed_entity(entity: Any, names: Names, new_id: str) -> Any:
    """Return an entity under another id, with everything that it mentions by its new name."""
    fields = dict(_fields(entity, names))
    if isinstance(entity, Part):
        ratings = dict(_fields(entity.ratings, names))
        if hasattr(entity.ratings, "holds"):
            ratings["holds"] = tuple(names.id(held) for held in entity.ratings.holds)
        fields["ratings"] = replace(entity.ratings, **ratings)
    return replace(entity, id=new_id, **fields)


def _fields(value: Any, names: Names) -> Iterator[tuple[str, Any]]:
    for key in keys_of(type(value)).values():
        yield key.name, _value(getattr(value, key.name), key.form, names)


def _value(value: Any, form: Form, names: Names) -> Any:
    if value is None:
        return None
    if isinstance(form, Maybe):
        return _value(value, form.form, names)
    if isinstance(form, Text):
        return _text(value, form, names)
    if isinstance(form, ListOf):
        return tuple(_value(item, form.item, names) for item in value)
    if isinstance(form, Fixed):
        return tuple(_value(v, f, names) for v, f in zip(value, form.items, strict=True))
    if isinstance(form, TableOf):
        return {_value(k, form.key, names): _value(v, form.value, names) for k, v in value.items()}
    if isinstance(form, Record):
        return replace(value, **dict(_fields(value, names)))
    return _special(value, form.name, names) if isinstance(form, Special) else value


def _text(value: str, form: Text, names: Names) -> Any:
    if form.marker == "id":
        return names.id(value)
    if form.marker in ("point", "joint"):
        return names.address(value)
    if form.marker == "element":
        part, slash, element = value.partition("/")
        return f"{names.id(part)}{slash}{element}"
    return value


def _special(value: Any, name: str, names: Names) -> Any:
    if name == "end" and isinstance(value, End):
        return End("point", names.address(value.text)) if value.what == "point" else value
    if name == "spot" and isinstance(value, Spot):
        return replace(value, breakout=names.id(value.breakout), run=names.id(value.run))
    if name == "mates":
        return {names.id(other): pairs for other, pairs in value.items()}
    return value
