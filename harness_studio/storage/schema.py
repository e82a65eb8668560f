"""The JSON Schema of the project file, for editors that complete and check while one types.

The program itself does not read it: its own reader says more, and knows what a schema cannot say (that an end names
something that is there). A schema sees the values as YAML 1.2 types them: what is a text for us may be a number there.
"""

from __future__ import annotations

import json
from typing import Any

from harness_studio.base import resources
from harness_studio.base.ids import ID_PATTERN
from harness_studio.model.entities import Origin, Revision, Settings
from harness_studio.model.forms import (
    Choice,
    Fixed,
    Flag,
    Form,
    Key,
    ListOf,
    Maybe,
    Number,
    Record,
    Special,
    TableOf,
    Text,
    keys_of,
)
from harness_studio.model.harness import SECTIONS
from harness_studio.model.keys import FREE_KEYS
from harness_studio.model.kinds import KINDS
from harness_studio.model.parts import Part

from .encode import VERSION
from .meanings import about, meaning, records
from .sections import DIAGRAM, VERSION_KEY

Json = dict[str, Any]
_TEXT: Json = {"type": ["string", "number", "boolean"]}
_ID: Json = {"type": ["string", "integer"], "pattern": f"^{ID_PATTERN}$"}
_NUMBER: Json = {"type": "number"}
_PATTERNS = {
    "name": r"^[^\s.@/:,\[\]{}]+$",
    "point": r"^[A-Za-z0-9_@-]+(\.[^\s.@/:,\[\]{}]+)?$",
    "joint": r"^\S+$",
    "element": r"^[A-Za-z0-9_-]+(/[^\s.@/:,\[\]{}]+)?$",
    "date": r"^\d{4}-\d{2}-\d{2}$",
    "file": r"^(?![/\\])(?!.*\.\.)[^\\]+$",
}


def schema() -> Json:
    """Return the JSON Schema (draft 2020-12)."""
    defs: Json = {}
    ratings = {kind.ratings for kind in KINDS.values()}
    for cls in records():
        if cls in ratings:
            defs[cls.__name__] = {"properties": _properties(cls)}
        elif cls not in (Settings, Part, Origin, Revision):
            defs[cls.__name__] = _closed(_properties(cls), _required(cls), about(cls))
    defs["Part"] = _part()
    properties: Json = {VERSION_KEY: {"const": VERSION, "description": "Version of the file's form"}}
    properties.update(_properties(Settings))
    for section, cls in SECTIONS.items():
        if section not in ("settings", "pages"):
            properties[section] = _section(section, cls)
    pages = {"pages": _section("pages", SECTIONS["pages"])}
    properties[DIAGRAM] = _closed(pages, [], "Drawing only: where things stand on the pages")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Harness Studio project file, version {VERSION}",
        **_closed(properties, [VERSION_KEY], "One vehicle harness"),
        "$defs": defs,
    }


def schema_text() -> str:
    """Return the schema as it is kept in resources/schema/."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


def _closed(properties: Json, required: list[str], description: str) -> Json:
    found: Json = {"type": "object", "properties": properties, "additionalProperties": False}
    if required:
        found["required"] = required
    return {"description": description, **found} if description else found


def _properties(cls: type[Any]) -> Json:
    return {key.name: _described(key, cls) for key in keys_of(cls).values()}


def _required(cls: type[Any]) -> list[str]:
    return [key.name for key in keys_of(cls).values() if key.required]


def _part() -> Json:
    # What a kind adds is evaluated in its branch; anything else is a key that this part cannot have.
    kinds = [
        {
            "if": {"properties": {"kind": {"const": kind.name}}},
            "then": {"$ref": f"#/$defs/{kind.ratings.__name__}"},
        }
        for kind in KINDS.values()
    ]
    properties = _properties(Part)
    properties["kind"] = {"description": properties["kind"]["description"], "enum": list(KINDS)}
    return {
        "description": about(Part),
        "type": "object",
        "required": ["kind"],
        "properties": properties,
        "allOf": kinds,
        "unevaluatedProperties": False,
    }


def _section(section: str, cls: type[Any]) -> Json:
    description = about(cls)
    if section == "revisions":
        key = {"id": {"description": "Its letter or number", **_TEXT}}
        item = _closed({**key, **_properties(cls)}, ["id"], "")
        return {"description": description, "type": ["array", "null"], "items": item}
    value = of_form(keys_of(Origin)["ids"].form) if cls is Origin else {"$ref": f"#/$defs/{cls.__name__}"}
    if cls is not Origin and not any(key.required for key in keys_of(cls).values()):
        value = {"anyOf": [value, {"type": "null"}]}
    found: Json = {"description": description, "type": ["object", "null"], "additionalProperties": value}
    if section not in FREE_KEYS:
        found["propertyNames"] = {"pattern": f"^{ID_PATTERN}$"}
    return found


def _described(key: Key, cls: type[Any]) -> Json:
    unit = getattr(key.form.form if isinstance(key.form, Maybe) else key.form, "unit", "")
    words = meaning(cls, key.name) + (f" ({unit})" if unit else "")
    return {"description": words, **of_form(key.form)}


def of_form(form: Form) -> Json:
    """Return the schema of one form."""
    if isinstance(form, Maybe):
        return _or_null(of_form(form.form))
    if isinstance(form, Text):
        return _text(form)
    if isinstance(form, Number):
        return _number(form)
    if isinstance(form, Choice):
        return {"enum": list(form.options)}
    if isinstance(form, Flag):
        return {"type": "boolean"}
    if isinstance(form, ListOf):
        many = {"type": ["array", "null"], "items": of_form(form.item)}
        return {"anyOf": [many, of_form(form.item)]} if form.or_one else many
    if isinstance(form, Fixed):
        return _array([of_form(f) for f in form.items], len(form.items))
    if isinstance(form, TableOf):
        return {"type": ["object", "null"], "additionalProperties": of_form(form.value)}
    if isinstance(form, Record):
        return {"$ref": f"#/$defs/{form.cls.__name__}"}
    return _special(form)


def _or_null(found: Json) -> Json:
    if isinstance(found.get("type"), str):
        return {**found, "type": [found["type"], "null"]}
    if isinstance(found.get("type"), list):
        return {**found, "type": list(dict.fromkeys([*found["type"], "null"]))}
    if "enum" in found:
        return {"enum": [*found["enum"], None]}
    return {"anyOf": [found, {"type": "null"}]}


def _text(form: Text) -> Json:
    if form.marker == "id":
        return _ID
    pattern = _PATTERNS.get(form.marker)
    return {**_TEXT, "pattern": pattern} if pattern else _TEXT


def _number(form: Number) -> Json:
    found: Json = {"type": "integer" if form.whole else "number"}
    if form.marker == "positive":
        found["exclusiveMinimum"] = 0
    elif form.marker:
        found["minimum"] = 0
    return {"anyOf": [found, {"const": "open"}]} if form.marker == "mohm" else found


def _array(items: list[Json], least: int) -> Json:
    return {"type": "array", "prefixItems": items, "items": False, "minItems": least}


def _special(form: Special) -> Json:
    if form.name == "end":
        words = _closed({"words": {**_TEXT, "description": "Where it goes, in words"}}, ["words"], "")
        return {"anyOf": [_text(Text("point")), words]}
    if form.name == "spot":
        keys = {
            "breakout": {"description": "The breakout", **_ID},
            "run": {"description": "The run", **_ID},
            "mm": {"description": "Distance from its first end (mm)", **_NUMBER},
        }
        along = _closed(keys, [], "A place along a run")
        return {"anyOf": [_ID, along]}
    if form.name == "at":
        return _array([_NUMBER, _NUMBER, {"enum": [0, 90, 180, 270]}, {"const": "mirror"}], 2)
    pairs = {"type": ["object", "null"], "additionalProperties": _text(Text("name"))}
    table = {"type": "object", "additionalProperties": pairs}
    return {"anyOf": [_ID, {"type": "array", "items": _ID, "uniqueItems": True}, table, {"type": "null"}]}


def main() -> None:
    """Write the schema to its place in a checkout: ``python -m harness_studio.storage.schema``."""
    folder = resources.path("schema")
    (folder / f"harness-{VERSION}.schema.json").write_text(schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
