"""The top of the file and its sections."""

import pytest

from harness_studio.model.harness import SECTIONS
from harness_studio.model.kinds import KINDS
from harness_studio.storage.nodes import Table, compose
from harness_studio.storage.reading import Reader
from harness_studio.storage.sections import Read, part_keys, read_sections


def read(text: str) -> tuple[Read, list[str]]:
    root, _ = compose(text)
    assert isinstance(root, Table)
    reader = Reader("")
    found = read_sections(root, reader)
    return found, [p.what for p in sorted(reader.problems)]


def test_sections_are_read_into_their_tables_in_the_order_of_the_file() -> None:
    found, told = read(
        "wires:\n  W2: {ends: [cut, cut]}\n  W1: {ends: [cut, cut]}\ntitle: T\nzones: {b: {}, a: {}}\n"
    )
    assert told == []
    assert list(found.harness.wires) == ["W2", "W1"]
    assert list(found.harness.zones) == ["b", "a"]
    assert found.harness.settings.title == "T"
    assert found.failed == set()


def test_an_entry_that_fails_is_left_out_and_remembered() -> None:
    found, told = read("splices:\n  SP1: {method: glue}\n  SP2: {}\n")
    assert list(found.harness.splices) == ["SP2"]
    assert found.failed == {("splices", "SP1")}
    assert set(found.nodes["splices"]) == {"SP1", "SP2"}
    assert len(told) == 1


@pytest.mark.parametrize("section", [s for s in SECTIONS if s not in ("settings", "revisions", "pages")])
def test_every_section_takes_entries_by_id_only(section: str) -> None:
    assert read(f"{section}:\n")[1] == []
    assert read(f"{section}: ~\n")[1] == []
    assert read(f"{section}: []\n")[1] == [f"{section}: found a list; wanted entries by id"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("revisions: {A: {}}\n", "revisions: found a mapping; wanted a list: "
         "- {id: A, date: ..., author: ..., note: ...}"),
        ("revisions: [{note: x}]\n", "revisions: the key 'id' is missing"),
        ("diagram: [a]\n", "diagram: found a list; wanted pages: {PAGE: {items: ..., wires: ...}}"),
        ("diagram: {pages: {a b: {}}}\n", "diagram pages: 'a b' cannot be an id: letters, digits, _ and - only; "
         "'cut' and 'unknown' are reserved"),
        ("wirez: {}\n", "unknown section or key 'wirez'; nearest known: wires"),
        ("bodies: {a: {}}\nsplices: {a: {}}\n", "splices: the id a is already used in bodies on line 1"),
    ],
)  # fmt: skip
def test_what_is_told(text: str, told: str) -> None:
    assert read(text)[1] == [told]


def test_ids_of_sections_that_are_no_addresses_may_be_used_again() -> None:
    assert read("zones: {a: {}}\nmodes: {a: {}}\nbreakouts: {a: {}}\nphotos: {a: {file: a.png}}\n")[1] == []


@pytest.mark.parametrize("kind", KINDS)
def test_no_rating_of_a_kind_hides_a_key_of_every_part(kind: str) -> None:
    names = [key.name for key in part_keys(kind)]
    assert len(names) == len(set(names))
    assert names[0] == "kind"
