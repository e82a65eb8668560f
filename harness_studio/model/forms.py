"""What each key of the project file holds, found in the type hints of the model.

Reading, writing, checking edits, the JSON Schema and the reference page all follow these forms, so a key that is added
to an entity is known to all of them.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass, replace
from functools import wraps
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from .values import At, End, Spot

Made = TypeVar("Made")
_SPECIAL_CLASSES: dict[type, str] = {End: "end", Spot: "spot", At: "at"}
_SPECIAL_MARKERS = ("mates",)
_UNITS = {
    "mm2": "mm²", "mm": "mm", "v": "V", "a": "A", "ah": "Ah", "ma": "mA", "w": "W", "ohm": "Ω", "mohm": "mΩ",
    "c": "°C", "k": "K", "km": "km", "s": "s",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Text:
    """A text; the marker says which: point, joint, id, name, colour, awg, date, file, or any."""

    marker: str = ""


@dataclass(frozen=True, slots=True)
class Number:
    """A finite number; the marker says which: positive, not_negative, mohm, or any; `whole` allows no fraction."""

    marker: str = ""
    unit: str = ""
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One of some words."""

    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list; `or_one` lets a single value stand for a list of one."""

    item: Form
    or_one: bool = False


@dataclass(frozen=True, slots=True)
class Fixed:
    """A list of exactly these."""

    items: tuple[Form, ...]


@dataclass(frozen=True, slots=True)
class TableOf:
    """Values by key, in an order that matters."""

    key: Text | Number
    value: Form


@dataclass(frozen=True, slots=True)
class Record:
    """The keys of a dataclass."""

    cls: type[Any]


@dataclass(frozen=True, slots=True)
class Special:
    """A shape of its own: end, spot, at, mates."""

    name: str


@dataclass(frozen=True, slots=True)
class Maybe:
    """A form, or nothing."""

    form: Form


Form = Text | Number | Flag | Choice | ListOf | Fixed | TableOf | Record | Special | Maybe


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record. `default` is a value of the model, MISSING where the key must be there."""

    name: str
    form: Form
    default: Any

    @property
    def required(self) -> bool:
        """Whether the key must be there."""
        return self.default is MISSING


def per_class(make: Callable[[type[Any]], Made]) -> Callable[[type[Any]], Made]:
    """Let a function of a class do its work once per class (`functools.cache` does not take classes when typed)."""
    made: dict[type[Any], Made] = {}

    @wraps(make)
    def remembered(cls: type[Any]) -> Made:
        if cls not in made:
            made[cls] = make(cls)
        return made[cls]

    return remembered


@per_class
def keys_of(cls: type[Any]) -> dict[str, Key]:
    """Return the keys of a dataclass by name, in order.

    `id` is left out, it is the key of the entry itself; so is what the hints leave open (a part's ratings).
    """
    hints = get_type_hints(cls, include_extras=True)
    found = {}
    for item in fields(cls):
        if item.name == "id" or hints[item.name] is Any:
            continue
        default = item.default if item.default_factory is MISSING else item.default_factory()
        found[item.name] = Key(item.name, form_of(hints[item.name], unit_in(item.name)), default)
    return found


def unit_in(name: str) -> str:
    """Return the unit that a key's name ends with, or an empty text."""
    last = name.rpartition("_")[2] if "_" in name else name
    if name.endswith("_per_px"):
        return "mm per pixel"
    if name.endswith("_per_k"):
        return "1/K"
    return _UNITS.get(last, "") if "_" in name or name in ("mohm", "ohm", "mm") else ""


def form_of(hint: Any, unit: str = "") -> Form:
    """Return the form of a type hint.

    Raises
    ------
    TypeError
        If the model uses a hint that the project file has no form for.
    """
    origin = get_origin(hint)
    if origin is Annotated:
        base, marker = get_args(hint)[:2]
        return _marked(base, marker, unit)
    if origin in (Union, types.UnionType):
        inner = [a for a in get_args(hint) if a is not type(None)]
        if len(inner) != 1:
            raise TypeError(f"a key cannot hold {hint}")
        return Maybe(form_of(inner[0], unit))
    if origin is Literal:
        return Choice(get_args(hint))
    if origin is tuple:
        args = get_args(hint)
        if args[-1] is Ellipsis:
            return ListOf(form_of(args[0], unit))
        return Fixed(tuple(form_of(a, unit) for a in args))
    if origin is Mapping:
        key, value = get_args(hint)
        key_form = form_of(key)
        if isinstance(key_form, Number):  # ohm: {240: 0} tells what stands at 240 Ω
            return TableOf(replace(key_form, unit=unit), form_of(value))
        if not isinstance(key_form, Text):
            raise TypeError(f"a table cannot have keys of {key}")
        return TableOf(key_form, form_of(value, unit))
    return _plain(hint, unit)


def _plain(hint: Any, unit: str) -> Form:
    if hint in _SPECIAL_CLASSES:
        return Special(_SPECIAL_CLASSES[hint])
    if hint is str:
        return Text()
    if hint is float or hint is int:
        return Number(unit=unit, whole=hint is int)
    if hint is bool:
        return Flag()
    if is_dataclass(hint) and isinstance(hint, type):
        return Record(hint)
    raise TypeError(f"a key cannot hold {hint}")


def _marked(base: Any, marker: str, unit: str) -> Form:
    if marker in _SPECIAL_MARKERS:
        return Special(marker)
    form = form_of(base, unit)
    if marker == "one_or_more" and isinstance(form, ListOf):
        return ListOf(form.item, or_one=True)
    if isinstance(form, Text):
        return Text(marker)
    if isinstance(form, Number):
        return Number(marker, unit, form.whole)
    return form
