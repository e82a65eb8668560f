"""Pinout sheets: every cavity and wire once, and the volts of the solver."""

import re
from collections import Counter

import pytest

from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from tests.sheets import reading
from tests.sheets.conftest import harness_named


def first_column(pages: list[reading.Page]) -> list[str]:
    """Return what stands at the left edge of the tables' bodies."""
    return [r.text for p in pages for r in p.runs if abs(r.left - 16.0) < 0.25]


def test_every_cavity_of_a_large_connector_is_listed_once(printed) -> None:
    pages = [p for p in reading.pages(printed("pinout", name="large_connector")) if "Pinout · X1" in p.text]
    assert len(pages) > 1
    listed = Counter(t for t in first_column(pages) if t.isdigit())
    assert listed == Counter(str(n) for n in range(1, 129))
    wires = Counter(r.text for p in pages for r in p.runs if re.fullmatch(r"W\d+", r.text))
    assert wires == Counter(f"W{n}" for n in range(1, 129))


def test_heads_are_repeated_on_every_page(printed) -> None:
    for page in reading.pages(printed("pinout", name="large_connector")):
        if any(re.fullmatch(r"W\d+", r.text) for r in page.runs):
            assert "Cavity" in page.text
            assert "Far end" in page.text


def test_one_page_set_for_each_of_141_connectors(printed) -> None:
    pages = reading.texts(printed("pinout", name="many_connectors"))
    heads = [re.search(r"Pinout · (X\d+)", text) for text in pages]
    assert [m[1] for m in heads if m] == [f"X{n}" for n in range(1, 142)]


def test_both_views_are_named_and_the_lock_too(printed) -> None:
    page = reading.pages(printed("pinout"))[0].text
    for words in ("MATING FACE", "WIRE ENTRY", "bar = lock, top", "cavity 1"):
        assert words in page


def test_expected_volts_are_those_of_the_solver(printed) -> None:
    harness = harness_named("first")
    page = reading.pages(printed("pinout"))[0]
    for row, point in (("W11", "X7.1"), ("W12", "X7.2"), ("W14", "X7.3")):
        line = next(r for r in page.runs if r.text == row)
        said = [r.text for r in page.runs if abs(r.top - line.top) < 0.6 and re.search(r"\d m?V$", r.text)]
        solved = []
        for mode in harness.modes:
            volts = solve(expand(harness, mode)).volt(point)
            assert volts is not None
            solved.append(volts)
        got = [float(t.split()[0].replace("−", "-")) * (1e-3 if t.endswith("mV") else 1) for t in said]
        assert got == pytest.approx(solved, abs=0.006), point


def test_notes_and_missing_photos_are_told(printed) -> None:
    text = " ".join(p.text for p in reading.pages(printed("pinout", name="long_names")))
    assert "X1.1: Left rear bulkhead" in text
    assert "photos/none.jpg is not there" in text
