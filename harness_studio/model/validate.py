"""Whether the values of an entity are what its type hints and their markers say, before they get into a harness."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from harness_studio.base.ids import is_id

from .forms import Choice, Fixed, Flag, Form, ListOf, Maybe, Number, Record, Special, TableOf, Text, keys_of
from .parts import Part
from .texts import Wrong, text_reader, wanted_number, wanted_text
from .values import At, End, Spot


def value_problem(entity: Any) -> str | None:
    """Return the first thing that is wrong with the values of an entity, in one sentence, or None.

    What passes here can be written to a project file and reads back the same.
    """
    for where, found, wanted in _fields(entity, ()):
        return f"{' '.join(where)}: found {found!r}; wanted {wanted}"
    if isinstance(entity, Part):
        for where, found, wanted in _fields(entity.ratings, ()):
            return f"{' '.join(where)}: found {found!r}; wanted {wanted}"
    return None


Finding = tuple[tuple[str, ...], Any, str]
Where = tuple[str, ...]


def _fields(value: Any, where: Where) -> Iterator[Finding]:
    for key in keys_of(type(value)).values():
        yield from _check(getattr(value, key.name), key.form, (*where, key.name))


def _check(value: Any, form: Form, where: Where) -> Iterator[Finding]:
    if isinstance(form, Maybe):
        if value is not None:
            yield from _check(value, form.form, where)
    elif isinstance(form, Text):
        if not _is_text(value, form):
            yield where, value, wanted_text(form)
    elif isinstance(form, Number):
        if not _is_number(value, form):
            yield where, value, wanted_number(form)
    elif isinstance(form, Flag):
        if not isinstance(value, bool):
            yield where, value, "true or false"
    elif isinstance(form, Choice):
        if value not in form.options:
            yield where, value, f"one of: {', '.join(form.options)}"
    elif isinstance(form, Record):
        if isinstance(value, form.cls):
            yield from _fields(value, where)
        else:
            yield where, value, form.cls.__name__
    elif isinstance(form, Special):
        if not _is_special(value, form.name):
            yield (
                where,
                value,
                {"end": "an end", "spot": "a place", "at": "a position", "mates": "halves"}[form.name],
            )
    else:
        yield from _check_many(value, form, where)


def _check_many(value: Any, form: ListOf | Fixed | TableOf, where: Where) -> Iterator[Finding]:
    if isinstance(form, TableOf):
        if not isinstance(value, Mapping):
            yield where, value, "values by key"
            return
        for key, item in value.items():
            yield from _check(key, form.key, where)
            yield from _check(item, form.value, (*where, str(key)))
        return
    if not isinstance(value, tuple):
        yield where, value, "a tuple"
        return
    if isinstance(form, Fixed) and len(value) != len(form.items):
        yield where, value, f"{len(form.items)} values"
        return
    forms: Iterable[Form] = form.items if isinstance(form, Fixed) else [form.item] * len(value)
    for item, item_form in zip(value, forms, strict=True):
        yield from _check(item, item_form, where)


def _is_text(value: Any, form: Text) -> bool:
    if not isinstance(value, str):
        return False
    try:
        value.encode()
        return text_reader(form)(value) == value
    except (Wrong, UnicodeEncodeError):
        return False


def _is_number(value: Any, form: Number) -> bool:
    if isinstance(value, bool) or not isinstance(value, int if form.whole else int | float):
        return False
    if math.isinf(value):
        return form.marker == "mohm" and value > 0
    if math.isnan(value) or (form.marker and value < 0):
        return False
    return value > 0 or form.marker != "positive"


def _is_special(value: Any, name: str) -> bool:
    if name == "end":
        if not isinstance(value, End):
            return False
        if value.what == "point":
            return _is_text(value.text, Text("point"))
        return _is_text(value.text, Text()) if value.what == "words" else value.what in ("cut", "unknown")
    if name == "spot":
        return (
            isinstance(value, Spot)
            and all(i is None or is_id(i) for i in (value.breakout, value.run))
            and (value.mm is None or _is_number(value.mm, Number()))
            and value != Spot()
        )
    if name == "at":
        return (
            isinstance(value, At)
            and value.turn in (0, 90, 180, 270)
            and all(_is_number(n, Number()) for n in (value.x_mm, value.y_mm))
        )
    return isinstance(value, Mapping) and all(
        is_id(other)
        and (pairs is None or all(_is_text(n, Text("name")) for pair in pairs.items() for n in pair))
        for other, pairs in value.items()
    )
