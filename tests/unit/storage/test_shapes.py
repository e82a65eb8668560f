"""Ends, places, positions and mated halves: what one writes the other reads."""

from typing import Any

import pytest

from harness_studio.model.values import At, End, Spot
from harness_studio.storage.layout import flow
from harness_studio.storage.nodes import Table, compose
from harness_studio.storage.reading import BAD, Reader
from harness_studio.storage.shapes import AT_WANTED, END_WANTED, MATES_WANTED, READ, SPOT_WANTED, WRITE


def read(shape: str, text: str) -> tuple[Any, list[str]]:
    root, _ = compose(f"k: {text}\n")
    assert isinstance(root, Table)
    reader = Reader("")
    value = READ[shape](root.pairs["k"][1], reader)
    return value, [p.what for p in reader.problems]


@pytest.mark.parametrize(
    ("shape", "text", "value"),
    [
        ("end", "X7.3", End("point", "X7.3")),
        ("end", "W40@GP2", End("point", "W40@GP2")),
        ("end", "cut", End("cut")),
        ("end", "unknown", End("unknown")),
        ("end", '{words: "behind the seat, into the tape"}', End("words", "behind the seat, into the tape")),
        ("end", '{words: ""}', End("words", "")),
        ("spot", "bk2", Spot(breakout="bk2")),
        ("spot", "{run: bed_left, mm: 1180}", Spot(run="bed_left", mm=1180.0)),
        ("spot", "{run: bed_left}", Spot(run="bed_left")),
        ("at", "[220, 80]", At(220.0, 80.0)),
        ("at", "[220, 80.5, 90]", At(220.0, 80.5, 90)),
        ("at", "[-1, 0, 0, mirror]", At(-1.0, 0.0, 0, True)),
        ("mates", "X8", {"X8": None}),
        ("mates", "[X8, X9]", {"X8": None, "X9": None}),
        ("mates", "{X8: {1: 1, 2: 3}, X9: {3: 1}}", {"X8": {"1": "1", "2": "3"}, "X9": {"3": "1"}}),
        ("mates", "{X8: {1: 10A}, X9: ~}", {"X8": {"1": "10A"}, "X9": None}),
        ("mates", "{X8: {}}", {"X8": {}}),
    ],
)
def test_read_and_written(shape: str, text: str, value: Any) -> None:
    assert read(shape, text) == (value, [])
    assert flow(WRITE[shape](value)) == text


@pytest.mark.parametrize(
    ("shape", "text", "wanted"),
    [
        ("end", "a b", END_WANTED),
        ("end", "", END_WANTED),
        ("end", "[X7.3]", END_WANTED),
        ("end", "{word: x}", END_WANTED),
        ("end", "{words: x, more: y}", END_WANTED),
        ("end", "{words: [x]}", END_WANTED),
        ("spot", "a b", SPOT_WANTED),
        ("spot", "[bk1]", SPOT_WANTED),
        ("spot", "{}", SPOT_WANTED),
        ("spot", "{run: [a]}", SPOT_WANTED),
        ("spot", "{run: a b}", SPOT_WANTED),
        ("spot", "{rum: a}", "unknown key 'rum'; nearest known: run"),
        ("spot", "{run: a, mm: 5 cm}", "a number (mm); write 5 alone, the unit is in the key"),
        ("at", "[1]", AT_WANTED),
        ("at", "[1, 2, 0, mirror, 5]", AT_WANTED),
        ("at", "[1, [2]]", AT_WANTED),
        ("at", "5", AT_WANTED),
        ("at", "[1, x]", AT_WANTED),
        ("at", "[1, 2, 45]", "a turn of 0, 90, 180 or 270 degrees"),
        ("at", "[1, 2, 0, miror]", "the word mirror"),
        ("mates", "a b", MATES_WANTED),
        ("mates", "[X8, X8]", MATES_WANTED),
        ("mates", "[X8, {}]", MATES_WANTED),
        ("mates", "{a b: ~}", MATES_WANTED),
        ("mates", "{X8: [1]}", "{own cavity: its cavity}"),
        ("mates", "{X8: {1: [1]}}", "{own cavity: its cavity}"),
        ("mates", "{X8: {1.2: 1}}", "{own cavity: its cavity}"),
    ],
)
def test_anything_else_is_told(shape: str, text: str, wanted: str) -> None:
    value, told = read(shape, text)
    assert value is BAD
    assert len(told) == 1
    assert wanted in told[0]


def test_nothing_mates_nothing() -> None:
    assert read("mates", "") == ({}, [])
