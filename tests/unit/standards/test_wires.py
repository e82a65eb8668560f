"""Sizes and resistance of wires."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness_studio.standards import wires


def test_a_size_in_the_table_takes_the_table_value() -> None:
    figure = wires.resistance_per_m_ohm(1.5)
    assert figure.method == "table"
    assert figure.value == pytest.approx(12.7e-3, rel=1e-12)
    assert figure.sureness == "seen1"
    assert "ISO 6722" in figure.source


def test_a_size_recalled_from_memory_says_so() -> None:
    figure = wires.resistance_per_m_ohm(0.5)
    assert (figure.method, figure.sureness) == ("table", "memory")
    assert "from memory" in figure.source


def test_another_size_is_computed_and_says_how() -> None:
    figure = wires.resistance_per_m_ohm(1.25)
    # 1/58 ohm mm2/m of IEC 60028, stranding factor 1.05
    assert figure.value == pytest.approx(1 / 58 / 1.25 * 1.05, rel=1e-12)
    assert (figure.method, figure.sureness) == ("computed", "computed")
    assert "1.05" in figure.source
    assert "IEC 60028" in figure.source


def test_table_and_formula_agree_within_the_spread_of_the_standard() -> None:
    # Regression: the largest resistance of a standard lies 0 to 10 % above a stranded conductor of nominal area.
    for size in wires.standard_sizes_mm2():
        computed = 1 / 58 / size * 1.05
        assert 0.97 < wires.resistance_per_m_ohm(size).value / computed < 1.10, size


def test_rounding_does_not_leave_the_table_but_another_size_does() -> None:
    assert wires.resistance_per_m_ohm(1.5 * (1 + 1e-12)).method == "table"
    assert wires.resistance_per_m_ohm(1.5 * (1 + 1e-6)).method == "computed"


def test_a_copper_table_says_nothing_about_aluminium() -> None:
    figure = wires.resistance_per_m_ohm(16, "aluminium")
    assert figure.method == "computed"
    assert wires.resistance_per_m_ohm(16, "aluminium", "iec_60228_aluminium").method == "table"


@pytest.mark.parametrize("area_mm2", [0.0, -1.0, math.nan, math.inf])
def test_an_impossible_area_is_refused(area_mm2: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        wires.resistance_per_m_ohm(area_mm2)


def test_unknown_names_are_answered_with_known_ones() -> None:
    with pytest.raises(ValueError, match="iso_6722"):
        wires.resistance_per_m_ohm(1.5, table="iso_6723")
    with pytest.raises(ValueError, match="copper"):
        wires.resistance_per_m_ohm(1.5, "coper")


@given(st.floats(0.05, 300), st.floats(1.001, 10))
def test_computed_resistance_falls_with_area(area_mm2: float, factor: float) -> None:
    thin = wires.resistance_per_m_ohm(area_mm2, "aluminium")
    thick = wires.resistance_per_m_ohm(area_mm2 * factor, "aluminium")
    assert thick.value < thin.value


@pytest.mark.parametrize("table", wires.table_names())
def test_resistance_of_a_table_falls_with_size(table: str) -> None:
    material = "aluminium" if table.endswith("aluminium") else "copper"
    rows = wires.table_rows(table)
    assert len(rows) > 5
    values = [wires.resistance_per_m_ohm(area_mm2, material, table) for area_mm2 in sorted(rows)]
    assert all(figure.method == "table" for figure in values)
    assert all(thin.value > thick.value for thin, thick in pairwise(values))


@pytest.mark.parametrize(("one", "other"), [("0", "1/0"), ("00", "2/0"), ("000", "3/0"), ("0000", "4/0")])
def test_the_two_ways_to_write_the_thick_gauges(one: str, other: str) -> None:
    assert wires.area_from_awg_mm2(one) == wires.area_from_awg_mm2(other)


@pytest.mark.parametrize("awg", ["", "5/0", "00000", "41", "-1", "1.5", "07", "AWG 18", "eighteen"])
def test_a_text_that_is_no_gauge_is_refused(awg: str) -> None:
    with pytest.raises(ValueError, match="no wire gauge"):
        wires.area_from_awg_mm2(awg)


def test_gauge_numbers_run_from_thick_to_thin() -> None:
    areas = [wires.area_from_awg_mm2(awg) for awg in ("0000", "0", "2", "10", "16", "24", "30")]
    assert areas == sorted(areas, reverse=True)


def test_standard_sizes_rise() -> None:
    sizes = wires.standard_sizes_mm2()
    assert sizes == tuple(sorted(set(sizes)))
    assert (sizes[0], sizes[-1]) == (0.13, 120)
