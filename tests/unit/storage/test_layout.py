"""Trees → lines: quotes where YAML needs them and nowhere else, long entries in a block, wires on one line."""

import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.storage.layout import WIDTH, entry, flow, list_item, scalar, section
from harness_studio.storage.trees import Fields, Typed


@pytest.mark.parametrize(
    "text", ["X7.3", "B+", "-5", "1e-07", "a#b", "it's", 'as "found"', "GP2/W40", "W40@GP2", "S1.30:54", "12:30", "Ω",
             "NO", "010", "under the vehicle", "-x", "😀", "2026-03-02", "a\\b", "a=b"],
)  # fmt: skip
def test_plain_texts_have_no_quotes(text: str) -> None:
    assert scalar(text) == text
    assert scalar(text, in_flow=False) == text


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("", '""'), ("~", '"~"'), ("null", '"null"'), ("a: b", '"a: b"'), ("a:", '"a:"'), ("a #b", '"a #b"'),
        (" a", '" a"'), ("a ", '"a "'), ("@a", '"@a"'), ("- a", '"- a"'), ("-", '"-"'), ("#a", '"#a"'),
        ("a\nb", '"a\\nb"'), ("a\tb", '"a\\tb"'), ("\x00", '"\\x00"'), ("\x85", '"\\x85"'), ("\u2028", '"\\u2028"'),
        ("\ufeff", '"\\ufeff"'), ('"a"', '"\\"a\\""'), ("!a", '"!a"'), ("&a", '"&a"'), ("*a", '"*a"'), ("%a", '"%a"'),
    ],
)  # fmt: skip
def test_others_are_quoted(text: str, written: str) -> None:
    assert scalar(text) == written
    assert scalar(text, in_flow=False) == written


@pytest.mark.parametrize("text", ["a, b", "a]", "a{b", "[a"])
def test_brackets_and_commas_need_quotes_between_brackets_only(text: str) -> None:
    assert scalar(text) == f'"{text}"'
    assert scalar(text, in_flow=False) == (text if text[0] != "[" else f'"{text}"')


def test_nothing_and_typed_values() -> None:
    assert scalar(None) == "~"
    assert scalar(Typed("'1.0'")) == "'1.0'"
    assert flow({"a": [None, Typed("1.0"), "x, y"], "b: c": {}}) == '{a: [~, 1.0, "x, y"], "b: c": {}}'


def test_half_a_character_is_refused() -> None:
    with pytest.raises(HarnessError, match=r"half a character \(U\+D800\)"):
        scalar("a\ud800")


def test_an_entry_stands_on_one_line_while_it_fits() -> None:
    fits = Fields(a="x" * (WIDTH - len("  W1: {a: }")))
    assert entry("W1", fits, "  ") == [f"  W1: {{a: {fits['a']}}}"]
    longer = Fields(a=f"{fits['a']}x", b=["1", "2"])
    assert entry("W1", longer, "  ") == ["  W1:", f"    a: {longer['a']}", "    b: [1, 2]"]
    assert entry("W1", longer, "  ", one_line=True) == [f"  W1: {{a: {longer['a']}, b: [1, 2]}}"]
    assert entry("W1", fits, "  ", open_block=True) == ["  W1:", f"    a: {fits['a']}"]


def test_records_in_a_long_list_stand_on_a_line_each() -> None:
    record = Fields(on="P1", seen="x" * 60)
    assert entry("sightings", [record] * 3, "  ") == ["  sightings:", *[f"    - {flow(record)}"] * 3]
    numbers = [[str(n), "100"] for n in range(40)]
    assert len(entry("W31", numbers, "  ")) == 1


def test_a_long_item_of_a_list_stands_in_a_block() -> None:
    item = Fields(did="x" * 150, on=["a"])
    assert list_item(item, "  ") == [f"  - did: {'x' * 150}", "    on: [a]"]
    assert list_item(["1", "2"], "  ") == ["  - [1, 2]"]


def test_sections() -> None:
    assert section("title", "a, b") == ["title: a, b"]
    assert section("limits", Fields(set="road")) == ["limits: {set: road}"]
    assert section("zones", {"bay": Fields()}) == ["zones:", "  bay: {}"]
    assert section("revisions", [Fields(id="A")]) == ["revisions:", "  - {id: A}"]
    assert section("diagram", Fields(pages={"a": Fields(title="A"), "b": Fields()})) == [
        "diagram:", "  pages:", "    a:", "      title: A", "    b: {}",
    ]  # fmt: skip
    wide = {"W1": Fields(note="x" * 200)}
    assert len(section("wires", wide)) == 2
    assert len(section("parts", wide)) == 3
