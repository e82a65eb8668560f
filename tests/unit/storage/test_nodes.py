"""YAML texts → nodes: places are right, hostile texts are refused early, values stay as typed."""

import time
import tracemalloc

import pytest

from harness_studio.base.errors import InputError
from harness_studio.storage.nodes import Listing, Scalar, Table, column_of, compose, line_of, shown


def refused(text: str) -> tuple[int, int, str]:
    """Return line, column and words of the one problem that stops the reading."""
    with pytest.raises(InputError) as caught:
        compose(text, "f.yaml")
    (problem,) = caught.value.problems
    assert problem.source == "f.yaml"
    return problem.line, problem.column, problem.what


def test_values_stay_as_typed() -> None:
    root, problems = compose("a: NO\nb: 010\nc: 12:30\nd: 1e3\ne: '~'\nf: ~\ng:\nh: 2026-03-02\n")
    assert problems == []
    assert isinstance(root, Table)
    values = {key: node for key, (_, node) in root.pairs.items()}
    assert all(isinstance(node, Scalar) for node in values.values())
    assert [node.text for node in values.values()] == [
        "NO",
        "010",
        "12:30",
        "1e3",
        "~",
        "~",
        "",
        "2026-03-02",
    ]
    assert [key for key, node in values.items() if node.is_nothing] == ["f", "g"]


def test_places_are_counted_in_characters_from_one() -> None:
    root, _ = compose("é😀: [ü, {ö: 1}]\r\nb:\r\n  - x\r\n")
    assert isinstance(root, Table)
    row = root.get("é😀")
    assert isinstance(row, Listing)
    assert [(line_of(n), column_of(n)) for n in row.items] == [(1, 6), (1, 9)]
    key, items = root.pairs["b"]
    assert isinstance(items, Listing)
    assert (line_of(key), line_of(items.items[0]), column_of(items.items[0])) == (2, 3, 5)


@pytest.mark.parametrize("text", ["", "# only a comment\n", "---\n"])
def test_an_empty_text_has_no_tree(text: str) -> None:
    root, problems = compose(text)
    assert root is None or (isinstance(root, Scalar) and root.is_nothing)
    assert problems == []


def test_a_key_that_stands_twice_names_both_lines() -> None:
    _, problems = compose("a: 1\nb: {x: 1, x: 2}\na: 2\n", "f.yaml")
    assert [str(p) for p in problems] == [
        "f.yaml:2:11: 'x' stands here a second time; the first is on line 2",
        "f.yaml:3:1: 'a' stands here a second time; the first is on line 1",
    ]


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("a: [1,\n", (2, 1), "not YAML"),
        ("a: 'x\n", (2, 1), "found unexpected end of stream while scanning a quoted scalar that starts on line 1"),
        ("\ta: 1\n", (1, 1), "a tab cannot indent"),
        ("a: @x\n", (1, 4), "needs quotes"),
        ("a: b: c\n", (1, 5), "mapping values are not allowed"),
        ("a: &x 1\nb: *x\n", (1, 4), "anchor '&x'"),
        ("b: *x\n", (1, 4), "alias '*x'"),
        ("a: !!python/name:os.system ''\n", (1, 4), "tag 'tag:yaml.org,2002:python/name:os.system'"),
        ("a: !x [1]\n", (1, 4), "tag '!x'"),
        ("a: 1\n---\nb: 2\n", (2, 1), "a second document"),
        ("? [a]\n: 1\n", (1, 3), "a list where a key should stand"),
        ("{[a]: 1}\n", (1, 2), "a list where a key should stand"),
        ("a: \x01\n", (1, 4), "control character U+0001"),
        ("a: 1\nb: x\x00y\n", (2, 5), "control character U+0000"),
    ],
)  # fmt: skip
def test_what_a_project_file_may_not_hold(text: str, place: tuple[int, int], words: str) -> None:
    line, column, what = refused(text)
    assert (line, column) == place
    assert words in what
    assert "\n" not in what


ONE_MB = 1024 * 1024
DEEP = {
    "brackets": "a: " + "[" * 19 * ONE_MB,
    "braces": "a: " + "{a: " * 5 * ONE_MB,
    "closers in quotes": "a: " + "[ ']' , " * 2 * ONE_MB,
    "dashes": "- " * 9 * ONE_MB,
    "question marks": "? " * 9 * ONE_MB,
    "indents": "".join(" " * n + "a:\n" for n in range(5000)),
}


@pytest.mark.parametrize("how", DEEP)
def test_a_deep_nest_is_refused_at_once_and_costs_nothing(how: str) -> None:
    text = DEEP[how]
    tracemalloc.start()
    started = time.perf_counter()
    _, _, what = refused(text)
    took_s = time.perf_counter() - started
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert "deeper than 32 levels" in what or "where a key should stand" in what
    assert took_s < 1.0
    assert peak < 3 * len(text) + ONE_MB


def test_as_deep_as_allowed_is_read() -> None:
    root, _ = compose("a: " + "[" * 31 + "]" * 31)
    assert isinstance(root, Table)
    assert "32 levels" in refused("a: " + "[" * 32 + "]" * 32)[2]


@pytest.mark.slow
def test_a_million_small_values_are_too_many() -> None:
    assert "more than 1,000,000 values" in refused("a: [" + "a," * 1_100_000 + "]")[2]


def test_a_node_in_a_few_words() -> None:
    root, _ = compose(f"a: {'x' * 100}\nb: []\nc: {{}}\nd:\n")
    assert isinstance(root, Table)
    said = [shown(node) for _, node in root.pairs.values()]
    assert said == [f"'{'x' * 57}...'", "a list", "a mapping", "nothing"]
