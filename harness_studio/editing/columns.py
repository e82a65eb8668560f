"""The tables of the lists page: which columns each section has, and what stands in a cell."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from harness_studio.base.ids import split_point
from harness_studio.model.forms import Choice, Maybe, Number, Text
from harness_studio.model.harness import SECTIONS, Harness

from .fields import Field, class_fields, unit_of, value_at
from .quantities import area_of, show_number
from .typed import SizeForm, show

Zones = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name as it is shown and filtered by; a field, or something derived that cannot be typed."""

    name: str
    field: Field | None = None
    derived: Callable[[Harness, Any], str] | None = None

    @property
    def unit(self) -> str:
        """The unit of its numbers, which stands in the head."""
        return unit_of(self.field.form) if self.field and self.is_number else ""

    @property
    def head(self) -> str:
        """What stands above the column."""
        return f"{self.name} {self.unit}".strip()

    @property
    def is_number(self) -> bool:
        """Whether it holds one number a row."""
        form = self.field.form if self.field else None
        return isinstance(form.form if isinstance(form, Maybe) else form, Number)

    def text(self, harness: Harness, entity: Any) -> str:
        """Return what stands in a cell: numbers without the unit, which stands above."""
        if self.field is None:
            return self.derived(harness, entity) if self.derived else ""
        value = value_at(entity, self.field.path)
        if value is None:
            return ""
        return show_number(value) if self.is_number else show(self.field.form, value)

    def writer(self, harness: Harness) -> Callable[[Any], str]:
        """Return `text` for many rows of one harness: the same, with what the column knows looked up once."""
        if self.field is None or len(self.field.path) > 1 or isinstance(self.field.form, SizeForm):
            return lambda entity: self.text(harness, entity)
        form = self.field.form
        inner = form.form if isinstance(form, Maybe) else form
        held = attrgetter(self.field.path[0])
        if isinstance(inner, Text | Choice):
            return lambda entity: held(entity) or ""
        if isinstance(inner, Number):
            return lambda entity: "" if (value := held(entity)) is None else show_number(value)
        return lambda entity: "" if (value := held(entity)) in (None, (), {}) else show(inner, value)

    def number(self, entity: Any) -> float | None:
        """Return a cell's number for sorting and comparing: of a size the area in mm²; None where there is none."""
        if self.field is None:
            return None
        value = value_at(entity, self.field.path)
        if isinstance(self.field.form, SizeForm):
            return None if value in (None, (None, None)) else area_of(*value)
        return float(value) if self.is_number and value is not None else None


def zones_of(harness: Harness, entity: Any) -> tuple[str, ...]:
    """Return the zones a thing lies in: its own, or those of what its ends are on."""
    if hasattr(entity, "zone"):
        return (entity.zone,) if entity.zone else ()
    found: dict[str, None] = {}
    for end in getattr(entity, "ends", ()):
        point = getattr(end, "point", None)
        if point is None or "@" in point:
            continue
        owner = split_point(point)[0]
        section = harness.section_of(owner)
        zone = getattr(harness.tables[section][owner], "zone", None) if section else None
        if zone:
            found[zone] = None
    return tuple(found)


def _zones(harness: Harness, entity: Any) -> str:
    return ", ".join(zones_of(harness, entity))


def _cavities(_: Harness, half: Any) -> str:
    return str(len(half.cavity_names()) or "")


def _ratings(_: Harness, part: Any) -> str:
    fields = class_fields(type(part.ratings)).values()
    said = [
        (f.title, show(f.form, v))
        for f in fields
        if (v := value_at(part.ratings, f.path)) not in (None, (), {})
    ]
    return ", ".join(text if text[:1].isdigit() else f"{title} {text}" for title, text in said)


_NAMES: Mapping[str, tuple[str, ...]] = {
    "wires": (
        "from", "to", "colour", "size", "length", "circuit", "insulation", "runs", "marked", "status", "done", "plan",
        "made by", "colour as found", "size as found", "tails", "slack", "material", "note",
    ),
    "halves": (
        "title", "zone", "at", "gender", "sealed", "mates", "part", "reach", "part number", "made by", "note",
    ),
    "parts": ("title", "kind", "zone", "circuit", "at", "mount", "reach", "part number", "made by", "note"),
    "grounds": ("title", "place", "zone", "at", "stud", "stack", "reach", "cleaned", "made by", "assumed", "note"),
    "splices": ("title", "zone", "at", "method", "sleeve", "reach", "made by", "note"),
    "runs": ("ends", "length", "covering", "zone", "known as"),
    "zones": ("title", "ambient", "wet", "flexes"),
    "breakouts": ("title", "zone", "known as"),
    "bodies": ("title", "places resistance", "assumed", "note"),
    "bonds": ("title", "ends", "resistance", "note"),
    "multicores": ("title", "wires", "twisted", "shield", "known as"),
    "modes": ("title", "like", "engine", "set", "loads", "senders", "ambient"),
    "joints": ("resistance", "made", "made by", "seen", "flexes", "wet", "hot", "note"),
}  # fmt: skip
_DERIVED: Mapping[str, tuple[tuple[int, Column], ...]] = {
    "wires": ((6, Column("zone", derived=_zones)),),
    "halves": ((4, Column("cavities", derived=_cavities)),),
    "parts": ((4, Column("ratings", derived=_ratings)),),
}
TABLES = tuple(_NAMES)
"""The sections that have a table, in the order of the page."""
MOST_USED = TABLES[:6]
"""The tables that are at hand; the others are chosen from a list."""


def columns_of(section: str) -> tuple[Column, ...]:
    """Return the columns of a section's table; the id stands before them."""
    known: dict[str, Field] = {}
    for field in class_fields(SECTIONS[section]).values():
        name = f"{field.title} {field.group}".strip()
        known.setdefault(name, field)
    columns = [Column(name, known[name]) for name in _NAMES[section]]
    for at, column in _DERIVED.get(section, ()):
        columns.insert(at, column)
    return tuple(columns)
