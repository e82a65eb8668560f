"""The JSON Schema: the one that ships is the one the model makes, it is valid, and it judges as our reader does."""

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from harness_studio.base import resources
from harness_studio.base.errors import InputError
from harness_studio.storage.nodes import Listing, Node, Scalar, Table, compose
from harness_studio.storage.project_file import parse
from harness_studio.storage.schema import schema, schema_text

EXAMPLE = Path(__file__).with_name("example.yaml").read_text(encoding="utf-8")
VALIDATOR = jsonschema.Draft202012Validator(schema())


def as_yaml_12_types_it(node: Node | None) -> Any:
    """Return what an editor makes of a file: the core schema of YAML 1.2.2, section 10.3.2 (dates stay texts)."""
    if isinstance(node, Table):
        return {key: as_yaml_12_types_it(value) for key, (_, value) in node.pairs.items()}
    if isinstance(node, Listing):
        return [as_yaml_12_types_it(item) for item in node.items]
    assert isinstance(node, Scalar)
    if not node.plain:
        return node.text
    if node.text in ("", "~", "null", "Null", "NULL"):
        return None
    if node.text.lower() in ("true", "false"):
        return node.text.lower() == "true"
    if re.fullmatch(r"[-+]?[0-9]+", node.text):
        return int(node.text)
    if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", node.text):
        return float(node.text)
    return node.text


def complaints(text: str) -> list[str]:
    found = VALIDATOR.iter_errors(as_yaml_12_types_it(compose(text)[0]))
    return [f"{error.json_path}: {error.message}" for error in found]


def test_the_schema_that_ships_is_the_one_the_model_makes() -> None:
    # If this fails: python -m harness_studio.storage.schema
    assert resources.text("schema", "harness-1.schema.json") == schema_text()


def test_it_is_a_schema_of_draft_2020_12() -> None:
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema())


def test_every_reference_in_it_leads_somewhere() -> None:
    text = json.dumps(schema())
    assert set(re.findall(r'"#/\$defs/(\w+)"', text)) == set(schema()["$defs"])


def test_every_key_is_described() -> None:
    def undescribed(part: Any, path: str) -> list[str]:
        if isinstance(part, list):
            return [found for item in part for found in undescribed(item, path)]
        if not isinstance(part, dict):
            return []
        keys = part.get("properties", {})
        own = [f"{path} {name}" for name, value in keys.items() if not value.get("description")]
        inner = {name: value for name, value in part.items() if name not in ("if", "description")}
        return own + [
            found for name, value in inner.items() for found in undescribed(value, f"{path}/{name}")
        ]

    assert undescribed(schema(), "") == []


def test_it_accepts_the_example() -> None:
    assert complaints(EXAMPLE) == []


@pytest.mark.parametrize(
    "lines",
    [
        "titel: x\n",
        "system_v: -12\n",
        "system_v: twelve\n",
        "grounded: yes\n",
        "wires:\n  W1: {colour: RD}\n",
        "wires:\n  W1: {ends: [cut]}\n",
        "wires:\n  W1: {ends: [cut, cut, cut]}\n",
        "wires:\n  W1: {ends: [cut, {word: x}]}\n",
        "wires:\n  W1: {ends: [cut, a b]}\n",
        "wires:\n  W1: {ends: [cut, cut], size: 1.5}\n",
        "wires:\n  W1: {ends: [cut, cut], area_mm2: 0}\n",
        "wires:\n  W1: {ends: [cut, cut], done: [boiled]}\n",
        "wires:\n  W.1: {ends: [cut, cut]}\n",
        "parts:\n  E1: {title: x}\n",
        "parts:\n  E1: {kind: lampe}\n",
        "parts:\n  E1: {kind: lamp, coil_ohm: 3}\n",
        "joints:\n  SP1: {mohm: shut}\n",
        "splices:\n  SP1: {at: {runs: r1}}\n",
        "diagram: {pages: {a: {items: {X1: [1]}}}}\n",
        "diagram: {pages: {a: {items: {X1: [1, 2, 45]}}}}\n",
        "diagram: {page: {}}\n",
        "revisions: {A: {}}\n",
        "revisions:\n  - {date: 2026-03-02}\n",
        "photos:\n  p: {file: ../a.png}\n",
        "photos:\n  p: {file: /a.png}\n",
    ],
)
def test_it_refuses_what_the_reader_refuses(lines: str) -> None:
    text = "harness_studio: 1\n" + lines
    assert complaints(text)
    with pytest.raises(InputError):
        parse(text)


@pytest.mark.parametrize("text", ["harness_studio: 2\n", "title: x\n", "[]\n"])
def test_it_refuses_what_is_no_file_of_this_version(text: str) -> None:
    assert complaints(text)


@pytest.mark.parametrize(
    "lines",
    [
        "wires:\n",
        "splices: {SP1: ~}\n",
        "parts:\n  P1: {kind: gauge, coil_ohm: 90}\n  P2: {kind: gauge, coil_ohm: [90, 90]}\n",
        "splices:\n  SP1: {}\njoints:\n  SP1: {mohm: open}\n",
        "halves:\n  X1: {}\n  X2: {mates: X1}\n",
        "halves:\n  X1: {}\n  X2: {}\n  X3: {mates: [X1, X2]}\n",
        "halves:\n  X1: {}\n  X2: {}\n  X3: {mates: {X1: {1: 1, 2: 3}, X2: {3: 1}}}\n",
        "wires:\n  W1: {ends: [cut, cut], colour: ~, awg: 2/0}\n",
    ],
)
def test_it_accepts_what_the_reader_accepts(lines: str) -> None:
    text = "harness_studio: 1\n" + lines
    assert complaints(text) == []
    parse(text)
