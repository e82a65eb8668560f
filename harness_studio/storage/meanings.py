"""What each key of the project file means, in words: for the JSON Schema and the reference page."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from harness_studio.base import resources
from harness_studio.model.forms import (
    Fixed,
    Form,
    ListOf,
    Maybe,
    Record,
    TableOf,
    keys_of,
)
from harness_studio.model.harness import SECTIONS
from harness_studio.model.kinds import KINDS

from .nodes import Node, Scalar, Table, compose


@cache
def _words() -> dict[str, dict[str, Any]]:
    node, _ = compose(resources.text("schema", "meanings.yaml"), "meanings.yaml")
    read = _plain(node)
    records = {name: keys for group in ("sections", "values", "kinds") for name, keys in read[group].items()}
    return {"everywhere": read["everywhere"], **records}


def _plain(node: Node | None) -> Any:
    if isinstance(node, Table):
        return {key: _plain(value) for key, (_, value) in node.pairs.items()}
    return node.text if isinstance(node, Scalar) else ""


def meaning(cls: type[Any], key: str) -> str:
    """Return what a key of a record means.

    Raises
    ------
    KeyError
        If resources/schema/meanings.yaml says nothing about it.
    """
    own = _words()[cls.__name__].get(key)
    words: str = own if own is not None else _words()["everywhere"][key]
    return words


def about(cls: type[Any]) -> str:
    """Return what a record is; for the ratings of a kind an empty text."""
    words: str = _words()[cls.__name__].get("about", "")
    return words


def explained() -> dict[str, set[str]]:
    """Return the keys that have an own explanation, by the name of their record."""
    return {name: set(keys) - {"about"} for name, keys in _words().items()}


def records() -> list[type[Any]]:
    """Return every record the file can hold: those of the sections, then those inside them, then the ratings."""
    found: dict[type[Any], None] = {}
    for cls in SECTIONS.values():
        found[cls] = None
    for cls in (*SECTIONS.values(), *(kind.ratings for kind in KINDS.values())):
        found.update(dict.fromkeys(_with_inner(cls)))
    return list(found)


def _with_inner(cls: type[Any]) -> Iterator[type[Any]]:
    yield cls
    for key in keys_of(cls).values():
        yield from inner_records(key.form)


def inner_records(form: Form) -> Iterator[type[Any]]:
    """Yield the records inside a form, and those inside them."""
    if isinstance(form, Record):
        yield from _with_inner(form.cls)
    elif isinstance(form, Maybe):
        yield from inner_records(form.form)
    elif isinstance(form, ListOf):
        yield from inner_records(form.item)
    elif isinstance(form, TableOf):
        yield from inner_records(form.value)
    elif isinstance(form, Fixed):
        for item in form.items:
            yield from inner_records(item)
