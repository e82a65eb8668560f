"""Needles, thermistors and flash rates as functions of numbers."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness_studio.electrics.scales import (
    ELECTRONIC_PER_MIN,
    END_STOP,
    flash_rate_per_min,
    interpolate,
    mark_words,
    numbered,
    ohm_needle,
    plain_needle,
    stopped,
    thermistor_c,
)

FUEL = {240.0: 0.0, 100.0: 0.5, 33.0: 1.0}


def of(value: float) -> np.ndarray:
    return np.array([value])


def test_interpolation_goes_through_its_points_and_past_the_ends() -> None:
    points = [(0.0, 1.0), (2.0, 5.0), (4.0, 6.0)]
    found = interpolate(points, np.array([0.0, 1.0, 2.0, 3.0, 4.0, 6.0, -1.0]))
    assert found == pytest.approx([1.0, 3.0, 5.0, 5.5, 6.0, 7.0, -1.0])
    assert interpolate([(1.0, 7.0)], np.array([0.0, 9.0])) == pytest.approx([7.0, 7.0])


def test_a_needle_is_held_by_its_stops() -> None:
    assert stopped(np.array([-3.0, 0.5, 3.0])) == pytest.approx([-END_STOP, 0.5, 1.0 + END_STOP])


@given(st.floats(0.0, 1e6), st.floats(0.0, 1e6))
def test_fewer_ohms_never_lower_the_needle_of_a_240_33_gauge(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert ohm_needle(FUEL, 90.0, of(low))[0] >= ohm_needle(FUEL, 90.0, of(high))[0]


def test_an_open_and_a_shorted_sender_have_a_needle() -> None:
    found = ohm_needle(FUEL, 90.0, np.array([math.inf, 0.0, 240.0, 33.0, 1e12]))
    assert found[0] == found[4] == -END_STOP
    assert found[1] == 1.0 + END_STOP
    assert found[2:4] == pytest.approx([0.0, 1.0])


def test_plain_scale() -> None:
    assert plain_needle({8.0: 0.0, 16.0: 1.0}, np.array([8.0, 13.0, 40.0])) == pytest.approx(
        [0.0, 0.625, 1.08]
    )


@pytest.mark.parametrize(
    ("needle", "words"),
    [
        (0.0, "at E"),
        (0.01, "at E"),
        (0.26, "between E and 1/2"),
        (1.05, "past F"),
        (-0.05, "past E"),
        (0.5, "at 1/2"),
    ],
)
def test_where_a_needle_stands_in_words(needle: float, words: str) -> None:
    assert mark_words({0.0: "E", 0.5: "1/2", 1.0: "F"}, needle) == words


def test_words_without_marks() -> None:
    assert mark_words({}, 0.251) == "0.25 of the scale"


@given(st.floats(-40.0, 150.0), st.floats(100.0, 20_000.0), st.floats(2500.0, 4500.0))
def test_a_thermistor_by_b_value_is_its_own_inverse(celsius: float, r25: float, b: float) -> None:
    ohm = r25 * math.exp(b * (1.0 / (celsius + 273.15) - 1.0 / 298.15))
    found = thermistor_c(of(ohm), {}, r25, b)
    assert found is not None
    assert found[0] == pytest.approx(celsius, abs=1e-6)


def test_a_thermistor_by_table_is_straight_in_the_logarithm() -> None:
    table = {"0": 1000.0, "50": 100.0, "hot": 1.0}
    found = thermistor_c(np.array([1000.0, math.sqrt(1e5), 100.0, -1.0, math.inf, 0.0]), table, None, None)
    assert found is not None
    assert found[:3] == pytest.approx([0.0, 25.0, 50.0])
    assert np.isnan(found[3:]).all()


def test_of_nothing_known_there_is_no_temperature() -> None:
    assert thermistor_c(of(100.0), {}, None, None) is None
    assert thermistor_c(of(100.0), {"20": 5.0}, None, None) is None


def test_rows_that_are_no_numbers_are_left_out() -> None:
    assert numbered({"90": 1.0, "-10": 2.0, "full": 3.0}) == [(-10.0, 2.0), (90.0, 1.0)]


def rate(movement: str, amperes: float, rated_a: float = 4.0, **limits: float | None) -> float:
    return float(
        flash_rate_per_min(movement, of(amperes), rated_a, limits.get("least_a"), limits.get("out_a"))[0]
    )


def test_a_thermal_flasher_follows_its_heater() -> None:
    """t_on = τ·ln(I²/(I² − I_m²)): with I_m = 2 A and τ from 4 A, 3 A take ln(9/5)/ln(16/12) times as long."""
    at_rated, slower = rate("thermal", 4.0, least_a=2.0), rate("thermal", 3.0, least_a=2.0)
    on_s = 60.0 / at_rated - 0.36
    assert on_s == pytest.approx(0.36)
    assert 60.0 / slower - 0.36 == pytest.approx(0.36 * math.log(9.0 / 5.0) / math.log(16.0 / 12.0))
    assert rate("thermal", 2.0, least_a=2.0) == 0.0
    assert rate("thermal", -4.0, least_a=2.0) == at_rated
    assert rate("thermal", 6.0, least_a=2.0) > at_rated


def test_an_electronic_flasher_doubles_with_a_lamp_out() -> None:
    assert rate("electronic", 4.0) == ELECTRONIC_PER_MIN
    assert rate("electronic", 2.9) == 2.0 * ELECTRONIC_PER_MIN
    assert rate("electronic", 2.9, out_a=2.0) == ELECTRONIC_PER_MIN
    assert rate("electronic", 0.0) == 0.0
