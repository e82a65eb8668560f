"""The harness → trees: only what was said, nothing that is a default, in the order of the model."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from functools import cache
from typing import Any

from harness_studio.model.entities import Origin, Revision, Settings
from harness_studio.model.forms import (
    Fixed,
    Flag,
    Form,
    ListOf,
    Maybe,
    Number,
    Record,
    Special,
    TableOf,
    keys_of,
    per_class,
)
from harness_studio.model.harness import SECTIONS, Harness
from harness_studio.model.parts import Part

from .sections import DIAGRAM, VERSION_KEY, part_keys
from .shapes import WRITE
from .trees import Fields, Tree, number_text

VERSION = 1
Encoder = Callable[[Any], Tree]


ALWAYS = frozenset({"system_v", "grounded", "view", "torque", "movement", "contacts"})
"""Keys that are written even where they hold their default: a person who reads the file needs them."""


def tree_of(harness: Harness) -> Fields:
    """Return the harness as the tree that the file shows. Empty sections are left out."""
    tree = Fields({VERSION_KEY: str(VERSION)})
    tree.update(record_encoder(Settings)(harness.settings))  # type: ignore[arg-type]
    for section in SECTIONS:
        table = harness.tables[section]
        if section in ("settings", "pages") or not table:
            continue
        if section == "revisions":
            tree[section] = [_revision(r) for r in table.values()]
        else:
            tree[section] = _section(section, table)
    if harness.pages:
        tree[DIAGRAM] = Fields(pages=_section("pages", harness.pages))
    return tree


def _section(section: str, table: Mapping[str, Any]) -> Tree:
    if section == "parts":
        return {key: _part(part) for key, part in table.items()}
    if section == "origins":
        encode = encoder_of(keys_of(Origin)["ids"].form)
        return {key: encode(origin.ids) for key, origin in table.items()}
    encode = record_encoder(SECTIONS[section])
    return {key: encode(entity) for key, entity in table.items()}


def _revision(revision: Revision) -> Tree:
    return Fields({"id": revision.id, **record_encoder(Revision)(revision)})  # type: ignore[dict-item]


def _part(part: Part) -> Tree:
    tree = Fields()
    for name, encode, default, in_ratings in _part_encoders(part.kind):
        value = getattr(part.ratings if in_ratings else part, name)
        if name in ALWAYS or (value is not default and (default is MISSING or value != default)):
            tree[name] = encode(value)
    return tree


@cache
def _part_encoders(kind: str) -> tuple[tuple[str, Encoder, Any, bool], ...]:
    own = {f.name for f in fields(Part)}
    title_first = sorted(
        part_keys(kind), key=lambda key: _RANK.get(key.name, 2 if key.name not in own else 3)
    )
    return tuple((k.name, encoder_of(k.form), k.default, k.name not in own) for k in title_first)


# A part's line reads: what it is, where it is, its ratings, and the rest.
_RANK = {"kind": 0, "title": 1, "zone": 1}


@per_class
def record_encoder(cls: type[Any]) -> Encoder:
    """Return the function that writes a dataclass: keys that hold their default are left out."""
    encoders = tuple((key.name, encoder_of(key.form), key.default) for key in keys_of(cls).values())

    def encode(value: Any) -> Tree:
        tree = Fields()
        for name, encode_field, default in encoders:
            held = getattr(value, name)
            if name in ALWAYS or (held is not default and (default is MISSING or held != default)):
                tree[name] = encode_field(held)
        return tree

    return encode


def encoder_of(form: Form) -> Encoder:
    """Return the function that writes a form."""
    if isinstance(form, Maybe):
        inner = encoder_of(form.form)
        return lambda value: None if value is None else inner(value)
    if isinstance(form, Number):
        return number_text
    if isinstance(form, Flag):
        return lambda value: "true" if value else "false"
    if isinstance(form, ListOf):
        return _list(encoder_of(form.item), form.or_one)
    if isinstance(form, Fixed):
        encoders = [encoder_of(f) for f in form.items]
        return lambda value: [encode(v) for encode, v in zip(encoders, value, strict=True)]
    if isinstance(form, TableOf):
        return _table(encoder_of(form.key), encoder_of(form.value))
    if isinstance(form, Record):
        return record_encoder(form.cls)
    if isinstance(form, Special):
        write: Encoder = WRITE[form.name]
        return write
    return str


def _list(item: Encoder, or_one: bool) -> Encoder:
    def encode(value: Any) -> Tree:
        items = [item(v) for v in value]
        return items[0] if or_one and len(items) == 1 else items

    return encode


def _table(key: Encoder, value: Encoder) -> Encoder:
    return lambda table: {str(key(k)): value(v) for k, v in table.items()}
