"""Resistance of fuses."""

import math
from itertools import pairwise

import pytest

from harness_studio.standards import fuses


def test_a_rating_in_the_table() -> None:
    figure = fuses.cold_resistance_ohm("blade_medium", 15)
    assert figure.value_ohm == pytest.approx(4.80e-3)
    assert (figure.method, figure.sureness, figure.note) == ("table", "seen2", "")


def test_a_row_from_memory_says_so() -> None:
    figure = fuses.cold_resistance_ohm("blade_medium", 35)
    assert figure.sureness == "memory"
    assert "from memory" in figure.source


def test_between_ratings_the_line_in_log_log_paper_is_taken_and_named() -> None:
    figure = fuses.cold_resistance_ohm("blade_medium", math.sqrt(10 * 15))
    assert figure.value_ohm == pytest.approx(math.sqrt(7.70e-3 * 4.80e-3))
    assert (figure.method, figure.sureness) == ("computed", "computed")
    assert "between" in figure.note


def test_beyond_the_ratings_it_says_so() -> None:
    figure = fuses.cold_resistance_ohm("blade_high_current", 80)
    assert 0 < figure.value_ohm < 1.1e-3
    assert "beyond" in figure.note


def test_no_style_takes_the_medium_blade_and_says_so() -> None:
    figure = fuses.cold_resistance_ohm(None, 10)
    assert figure.value_ohm == fuses.cold_resistance_ohm("blade_medium", 10).value_ohm
    assert "style not known" in figure.note


def test_a_style_without_figures_borrows_them_and_is_less_sure() -> None:
    figure = fuses.cold_resistance_ohm("torpedo", 8)
    assert figure.sureness == "common practice, no source"
    assert "blade_medium" in figure.note


@pytest.mark.parametrize("style", fuses.styles())
def test_resistance_falls_with_rating(style: str) -> None:
    values = [
        fuses.cold_resistance_ohm(style, rated_a).value_ohm for rated_a in (1, 3, 5, 12.5, 30, 55, 100, 200)
    ]
    assert all(one > other > 0 for one, other in pairwise(values))


@pytest.mark.parametrize("style", [None, *fuses.styles()])
def test_a_fuse_is_hotter_and_higher_at_rated_current(style: str | None) -> None:
    assert 1.2 < fuses.hot_ratio(style).value < 1.6


@pytest.mark.parametrize("rated_a", [0.0, -5.0, math.nan, math.inf])
def test_an_impossible_rating_is_refused(rated_a: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        fuses.cold_resistance_ohm("blade_medium", rated_a)


def test_an_unknown_style_is_answered_with_a_near_one() -> None:
    with pytest.raises(ValueError, match="did you mean blade_medium"):
        fuses.cold_resistance_ohm("blade_medum", 10)
    with pytest.raises(ValueError, match="known: blade_medium"):
        fuses.hot_ratio("zzz")
