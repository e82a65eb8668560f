"""Suggestions: the nearest known word, another word for the same thing, or all that are known."""

import pytest

from harness_studio.storage.nodes import Scalar, Table, compose
from harness_studio.storage.reading import BAD, Reader, suggestion

WIRE = ["ends", "area_mm2", "awg", "colour", "length_mm", "rated_v"]


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("size", "; a size names its unit: write area_mm2 (mm²) or awg"),
        ("Area", "; a size names its unit: write area_mm2 (mm²) or awg"),
        ("gauge", "; nearest known: awg"),
        ("color", "; nearest known: colour"),
        ("lenght_mm", "; nearest known: length_mm"),
        ("from", "; nearest known: ends"),
        ("volts", "; nearest known: rated_v"),
        ("qqq", "; known here: ends, area_mm2, awg, colour, length_mm, rated_v"),
    ],
)
def test_a_suggestion(word: str, told: str) -> None:
    assert suggestion(word, WIRE) == told


def test_a_problem_names_place_path_and_source() -> None:
    root, _ = compose("a:\n  b: c\n")
    assert isinstance(root, Table)
    inner = root.get("a")
    assert isinstance(inner, Table)
    reader = Reader("f.yaml")
    reader.path = ["a", "b"]
    node = inner.pairs["b"][1]
    assert reader.wanted(node, "a number", "write 1") is BAD
    assert reader.note(node, "x", ()) is BAD
    assert [str(p) for p in reader.problems] == [
        "f.yaml:2:6: a b: found 'c'; wanted a number; write 1",
        "f.yaml:2:6: x",
    ]
    assert isinstance(node, Scalar)
    assert repr(BAD) == "BAD"
