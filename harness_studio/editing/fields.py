"""The fields of a thing: each key of the project file that it may have, with its words, found in the model itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from harness_studio.checks.limits import SETS, limit_set
from harness_studio.model.entities import Wire
from harness_studio.model.forms import (
    Choice,
    Fixed,
    Form,
    Key,
    ListOf,
    Maybe,
    Number,
    Record,
    Special,
    TableOf,
    keys_of,
    per_class,
    unit_in,
)
from harness_studio.model.kinds import KINDS
from harness_studio.model.parts import Part
from harness_studio.model.values import AsFound, Mount
from harness_studio.storage.meanings import meaning

from .typed import AnyForm, SizeForm

Path = tuple[str, ...]
"""Where in an entity a value stands: field names, positions in a list, keys of a table."""
MOST_ENTRIES = 24
"""Tables with more entries than this are typed as a whole only."""
_SIZED = (Wire, AsFound)
_FLATTENED_OF = {"cavities": ("function",)}
_ROW_BY_ROW = ("positions",)
"""Tables whose entries are typed one by one, beside the table as a whole."""
_ENTRIES_ONLY = ("override",)
"""Tables of which only the entries are shown: new ones are made elsewhere, with their reason."""
_ENDS = ("from", "to")


@dataclass(frozen=True, slots=True)
class Field:
    """One field: where it stands, what it is called, how it is typed, what it means, and the group it belongs to."""

    path: Path
    title: str
    form: AnyForm
    meaning: str
    group: str = ""

    @property
    def choices(self) -> tuple[str, ...]:
        """The words it may be, where only some are allowed."""
        form = self.form.form if isinstance(self.form, Maybe) else self.form
        return form.options if isinstance(form, Choice) else ()

    @property
    def ticks(self) -> tuple[str, ...]:
        """The words that are ticked or not, for a list of some words."""
        form = self.form.item if isinstance(self.form, ListOf) else None
        return form.options if isinstance(form, Choice) else ()

    @property
    def may_be_empty(self) -> bool:
        """Whether nothing may be written."""
        return isinstance(self.form, Maybe | SizeForm | ListOf | TableOf) or self.form in (
            Special("end"), Special("mates")
        )  # fmt: skip


def fields_of(entity: Any) -> list[Field]:
    """Return the fields of an entity in the order of the model; of a part its kind's ratings after its kind."""
    if not isinstance(entity, Part):
        return list(_fields(type(entity), entity, (), ""))
    common = list(_fields(Part, entity, (), ""))
    kind = next(i for i, f in enumerate(common) if f.path == ("kind",))
    ratings = list(_fields(type(entity.ratings), entity.ratings, ("ratings",), ""))
    kinds = replace(common.pop(kind), form=Choice(tuple(KINDS)))
    return [kinds, *ratings, *common]


def class_fields(cls: type[Any]) -> dict[Path, Field]:
    """Return the fields that every entity of a class has, by their paths; of a part those of every kind."""
    found = {f.path: f for f in _fields(cls, None, (), "")}
    if cls is Part:
        found["kind",] = replace(found["kind",], form=Choice(tuple(KINDS)))
    return found


@per_class
def _tables_of_records(cls: type[Any]) -> tuple[str, ...]:
    keys = keys_of(cls).values()
    return tuple(
        k.name
        for k in keys
        if isinstance(k.form, TableOf) and (isinstance(k.form.value, Record) or k.name in _ROW_BY_ROW)
    )


def entries_of(entity: Any) -> tuple[tuple[str, ...], ...]:
    """Return the names in those tables of an entity whose entries have fields of their own (cavities, filaments)."""
    own = tuple(tuple(map(str, getattr(entity, name))) for name in _tables_of_records(type(entity)))
    return own + entries_of(entity.ratings) if isinstance(entity, Part) else own


def _fields(cls: type[Any], value: Any, path: Path, group: str) -> Iterator[Field]:
    for key in keys_of(cls).values():
        if cls in _SIZED and key.name in ("area_mm2", "awg"):
            if key.name == "area_mm2":
                said = f"{meaning(cls, 'area_mm2')}: 1.5 mm² or 14 AWG"
                yield Field((*path, "size"), "size", SizeForm(), said, group)
            continue
        held = getattr(value, key.name, None) if value is not None else None
        yield from _field(cls, key, held, (*path, key.name), group)


def _field(cls: type[Any], key: Key, held: Any, path: Path, group: str) -> Iterator[Field]:
    form = key.form
    inner = form.form if isinstance(form, Maybe) else form
    title, said = title_of(key.name), meaning(cls, key.name)
    if isinstance(inner, Fixed) and inner.items == (Special("end"), Special("end")):
        for index, word in enumerate(_ENDS):
            yield Field((*path, str(index)), word, Special("end"), said, group)
        return
    if isinstance(inner, Record) and inner.cls is not Mount:
        yield from _fields(inner.cls, held, path, title)
        return
    if key.name not in _ENTRIES_ONLY:
        yield Field(path, title, form, said, group)
    if not isinstance(inner, TableOf) or not held or len(held) > MOST_ENTRIES:
        return
    if key.name in _ROW_BY_ROW:
        for name in held:
            yield Field((*path, str(name)), _entry_title(key.name, name), inner.value, said, group)
    if isinstance(inner.value, Record):
        only = _FLATTENED_OF.get(key.name)
        for name, entry in held.items():
            for field in _fields(inner.value.cls, entry, (*path, str(name)), _entry_title(key.name, name)):
                if only is None or field.path[-1] in only:
                    yield field


def _entry_title(key: str, name: object) -> str:
    if key == "override":
        known = limit_set(SETS[0]).limits.get(str(name))
        return f"own limit: {known.what}, {known.unit}" if known is not None else f"own limit {name}"
    one = {"cavities": "cavity"}.get(key, key.removesuffix("s"))
    return f"{one} {name}".replace("_", " ")


_QUANTITIES = {
    "V": "volts",
    "A": "amperes",
    "mA": "amperes",
    "W": "watts",
    "Ω": "resistance",
    "mΩ": "resistance",
}


def title_of(name: str) -> str:
    """Return what a key is called: its words, with the quantity for the unit that ends it where that is not plain."""
    words, unit = name.split("_"), unit_in(name)
    if unit in ("1/K", "mm per pixel") or not unit:
        return " ".join(words)
    if len(words) == 1:
        return _QUANTITIES.get(unit, name)
    quantity = _QUANTITIES.get(unit)
    return " ".join([*words[:-1], *([quantity] if quantity else [])])


def value_at(entity: Any, path: Path) -> Any:
    """Return the value at a path; of a size (area, AWG number); None where something on the way is not there."""
    value = entity
    for step in path:
        if value is None:
            return None
        if step == "size" and isinstance(value, _SIZED):
            value = (value.area_mm2, value.awg)
        elif isinstance(value, tuple):
            value = value[int(step)]
        elif isinstance(value, Mapping):
            value = value.get(step)
        else:
            value = getattr(value, step, None)
    return value


def with_value(entity: Any, path: Path, value: Any) -> Any:
    """Return an entity with another value at a path.

    A record on the way is made where there is none, and left out again when nothing of it is left.
    """
    if path == ("kind",) and isinstance(entity, Part):
        return of_kind(entity, value)
    return _with(entity, path, value, None)


def _with(held: Any, path: Path, value: Any, form: Form | None) -> Any:
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(held, tuple):
        items = list(held)
        items[int(step)] = _with(items[int(step)], rest, value, None)
        return tuple(items)
    if isinstance(held, Mapping):
        return {**held, step: _with(held[step], rest, value, None)}
    if step == "size" and isinstance(held, _SIZED):
        area, awg = value if value else (None, None)
        return replace(held, area_mm2=area, awg=awg)
    hint = _form_of_step(type(held), step)
    inner = hint.form if isinstance(hint, Maybe) else hint
    now = getattr(held, step)
    if rest and now is None and isinstance(inner, Record):
        now = inner.cls()
    if rest and now is None and isinstance(inner, Fixed):
        now = _unknown_ends(held)
    new = _with(now, rest, value, None)
    if rest and isinstance(hint, Maybe) and isinstance(inner, Record) and new == inner.cls():
        new = None
    return replace(held, **{step: new})


def _form_of_step(cls: type[Any], step: str) -> Form | None:
    key = keys_of(cls).get(step)
    return key.form if key else None


def _unknown_ends(held: Any) -> tuple[Any, ...]:
    from harness_studio.model.values import End

    return (End("unknown"), End("unknown"))


def of_kind(part: Part, kind: str) -> Part:
    """Return a part as another kind; ratings that both kinds have in the same form are kept."""
    before, after = keys_of(type(part.ratings)), keys_of(KINDS[kind].ratings)
    kept = {
        name: getattr(part.ratings, name)
        for name, key in after.items()
        if name in before and before[name].form == key.form
    }
    return replace(part, kind=kind, ratings=KINDS[kind].ratings(**kept))


def is_default(entity: Any, path: Path) -> bool:
    """Tell whether nothing was said at a path: it holds what a new entity would hold."""
    value = value_at(entity, path)
    if value in (None, (), "", (None, None)) or (isinstance(value, Mapping) and not value):
        return True
    holder = value_at(entity, path[:-1]) if len(path) > 1 else entity
    if holder is None or not hasattr(holder, "__dataclass_fields__"):
        return False
    field = next((f for f in fields(holder) if f.name == path[-1]), None)
    return field is not None and value == field.default


_SECTIONS_OF_KEY = {
    "zone": ("zones",), "part": ("parts",), "runs": ("runs",), "wires": ("wires",), "shield": ("wires",),
    "holds": ("parts",), "like": ("modes",), "at": ("breakouts", "runs"), "mates": ("halves",),
}  # fmt: skip


def sections_named(field: Field) -> tuple[str, ...]:
    """Return the sections whose ids the field may hold, for completing what is typed."""
    return _SECTIONS_OF_KEY.get(field.path[-1], ())


def unit_of(form: AnyForm) -> str:
    """Return the unit of a number, or of the numbers of a list."""
    if isinstance(form, Maybe):
        return unit_of(form.form)
    if isinstance(form, Number):
        return form.unit
    if isinstance(form, Fixed):
        return unit_of(form.items[0])
    return ""


def is_number(form: AnyForm) -> bool:
    """Tell whether a field holds one number."""
    inner = form.form if isinstance(form, Maybe) else form
    return isinstance(inner, Number)
