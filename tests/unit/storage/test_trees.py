"""Trees: what counts as the same, and the shortest text of a number."""

import math

import pytest

from harness_studio.storage.trees import Fields, number_text, same


def test_order_counts_in_tables_and_not_in_records() -> None:
    assert not same({"a": "1", "b": "2"}, {"b": "2", "a": "1"})
    assert same(Fields(a="1", b="2"), Fields(b="2", a="1"))
    assert not same(Fields(a="1"), {"a": "1"})
    assert not same(Fields(a="1"), Fields(a="1", b="2"))
    assert not same(Fields(a={"x": "1", "y": "2"}), Fields(a={"y": "2", "x": "1"}))


def test_lists_texts_and_nothing() -> None:
    assert same(["1", ["2"]], ["1", ["2"]])
    assert not same(["1"], ["1", "2"])
    assert not same(["1", "2"], ["2", "1"])
    assert not same(None, "")
    assert not same("1", ["1"])
    assert not same({}, [])


@pytest.mark.parametrize(
    ("value", "text"),
    [(1400.0, "1400"), (0.2, "0.2"), (1e-7, "1e-07"), (-0.5, "-0.5"), (0.0, "0"), (-0.0, "0"), (7, "7"),
     (1e15, "1000000000000000.0"), (1e22, "1e+22"), (0.1 + 0.2, "0.30000000000000004"), (math.inf, "open")],
)  # fmt: skip
def test_the_shortest_text_of_a_number(value: float, text: str) -> None:
    assert number_text(value) == text
    assert text == "open" or float(text) == value
