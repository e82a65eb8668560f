"""The sections of the project file → the tables of the harness."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from harness_studio.base.errors import nearest
from harness_studio.model.entities import Origin, Settings
from harness_studio.model.forms import Key, Text, keys_of
from harness_studio.model.harness import SECTIONS, SHARED_IDS, Harness
from harness_studio.model.keys import key_problem
from harness_studio.model.kinds import KINDS
from harness_studio.model.parts import Part
from harness_studio.model.texts import Wrong, text_reader, wanted_text

from .decode import fields_decoder, keys_decoder
from .nodes import Listing, Node, Scalar, Table, line_of
from .reading import BAD, Decoder, Reader, suggestion

VERSION_KEY = "harness_studio"
DIAGRAM = "diagram"
"""The section of drawing only; it holds `pages`."""
_JOINT = Text("joint")


@dataclass(slots=True)
class Read:
    """A harness as far as it could be read; `failed` are the entries that could not, `nodes` all by section and key."""

    harness: Harness
    nodes: dict[str, dict[str, tuple[Node, Node]]]
    failed: set[tuple[str, str]]


def read_sections(root: Table, reader: Reader) -> Read:
    """Read everything under the top level of the file; problems are noted in the reader."""
    read = Read(Harness(), {name: {} for name in SECTIONS}, set())
    known = [*keys_of(Settings), *(s for s in SECTIONS if s not in ("settings", "pages")), DIAGRAM]
    settings = keys_decoder(
        tuple(keys_of(Settings).values()), skip=frozenset(root.pairs) - set(keys_of(Settings))
    )
    values = settings(root, reader)
    if values is not BAD:
        read.harness.tables["settings"][""] = Settings(**values)
    for name, (key, node) in root.pairs.items():
        if name == VERSION_KEY or name in keys_of(Settings):
            continue
        reader.path = [name]
        if name == DIAGRAM:
            _read_diagram(node, reader, read)
        elif name == "revisions":
            _read_revisions(node, reader, read)
        elif name in known:
            _read_section(name, node, reader, read)
        else:
            reader.path = []
            near = nearest(name, known)
            end = f"; nearest known: {near}" if near else f"; known at the top: {', '.join(known)}"
            reader.note(key, f"unknown section or key '{name}'{end}")
    reader.path = []
    _ids_used_twice(read, reader)
    return read


def _read_section(section: str, node: Node, reader: Reader, read: Read) -> None:
    if isinstance(node, Scalar) and node.is_nothing:
        return
    if not isinstance(node, Table):
        reader.wanted(node, "entries by id")
        return
    decode = entity_decoder(section)
    table = read.harness.tables[section]
    nodes = read.nodes[section]
    path = reader.path
    for key, (key_node, value_node) in node.pairs.items():
        path.append(key)
        entity = _read_entry(section, key, key_node, value_node, decode, reader)
        path.pop()
        nodes[key] = (key_node, value_node)
        if entity is BAD:
            read.failed.add((section, key))
        else:
            table[key] = entity


def _read_entry(section: str, key: str, key_node: Scalar, node: Node, decode: Decoder, reader: Reader) -> Any:
    problem = key_problem(section, key)
    if section == "joints":
        try:
            text_reader(_JOINT)(key)
        except Wrong:
            problem = f"'{key}' is not {wanted_text(_JOINT)}"
    values = decode(node, reader)
    if problem:
        return reader.note(key_node, problem, reader.path[:-1])
    if values is BAD:
        return BAD
    if section == "parts":
        kind = values.pop("kind")
        common = {name: values.pop(name) for name in _common_names() if name in values}
        return Part(id=key, kind=kind, ratings=KINDS[kind].ratings(**values), **common)
    return SECTIONS[section](id=key, **values)


@cache
def entity_decoder(section: str) -> Decoder:
    """Return the function that reads an entry's value into the keyword arguments of its entity."""
    if section == "parts":
        return _read_part
    if section == "origins":
        return _read_origin
    return fields_decoder(SECTIONS[section])


def _read_origin(node: Node, reader: Reader) -> Any:
    inner = fields_decoder(Origin)
    wrapped = Table(flow=True, mark=node.mark)
    wrapped.pairs["ids"] = (Scalar("ids", True, node.mark, node.mark), node)
    return inner(wrapped, reader)


@cache
def _common_names() -> frozenset[str]:
    return frozenset(keys_of(Part)) - {"kind"}


@cache
def part_keys(kind: str) -> tuple[Key, ...]:
    """Return the keys that a part of a kind may have: kind, its ratings, and what every part has."""
    common = keys_of(Part)
    ratings = keys_of(KINDS[kind].ratings)
    return (common["kind"], *(k for n, k in common.items() if n != "kind"), *ratings.values())


@cache
def _part_decoder(kind: str) -> Decoder:
    return keys_decoder(part_keys(kind))


def _read_part(node: Node, reader: Reader) -> Any:
    if not isinstance(node, Table):
        return reader.wanted(node, "keys and values: {kind: ..., ...}")
    kind = node.get("kind")
    if kind is None:
        return reader.note(node, f"the key 'kind' is missing; one of: {', '.join(KINDS)}")
    if not isinstance(kind, Scalar) or kind.text not in KINDS:
        end = (
            suggestion(kind.text, list(KINDS))
            if isinstance(kind, Scalar)
            else f"; one of: {', '.join(KINDS)}"
        )
        found = f"unknown kind '{kind.text}'" if isinstance(kind, Scalar) else "the kind is one word"
        return reader.note(kind, found + end)
    return _part_decoder(kind.text)(node, reader)


def _read_revisions(node: Node, reader: Reader, read: Read) -> None:
    if isinstance(node, Scalar) and node.is_nothing:
        return
    if not isinstance(node, Listing):
        reader.wanted(node, "a list: - {id: A, date: ..., author: ..., note: ...}")
        return
    id_key = Key("id", Text(), keys_of(SECTIONS["pages"])["title"].default)
    decode = keys_decoder((id_key, *keys_of(SECTIONS["revisions"]).values()))
    for item in node.items:
        values = decode(item, reader)
        if values is BAD:
            continue
        key = values.get("id")
        if not key:
            reader.note(item, "the key 'id' is missing")
            continue
        first = read.nodes["revisions"].get(key)
        if first:
            reader.note(
                item, f"revision '{key}' stands here a second time; the first is on line {line_of(first[0])}"
            )
            continue
        read.nodes["revisions"][key] = (item, item)
        read.harness.tables["revisions"][key] = SECTIONS["revisions"](**values)


def _read_diagram(node: Node, reader: Reader, read: Read) -> None:
    if isinstance(node, Scalar) and node.is_nothing:
        return
    if not isinstance(node, Table):
        reader.wanted(node, "pages: {PAGE: {items: ..., wires: ...}}")
        return
    for name, (key, value) in node.pairs.items():
        if name == "pages":
            reader.path = [DIAGRAM, "pages"]
            _read_section("pages", value, reader, read)
            reader.path = [DIAGRAM]
        else:
            reader.unknown_key(key, ["pages"])


def _ids_used_twice(read: Read, reader: Reader) -> None:
    first: dict[str, tuple[str, Node]] = {}
    for section in SHARED_IDS:
        for key, (key_node, _) in read.nodes[section].items():
            if key in first:
                other, other_node = first[key]
                what = f"the id {key} is already used in {other} on line {line_of(other_node)}"
                reader.note(key_node, what, [section])
            else:
                first[key] = (section, key_node)
