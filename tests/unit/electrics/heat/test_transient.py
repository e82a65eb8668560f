"""Warming over time: the adiabatic law, and the same with heat loss."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from harness_studio.electrics.heat import transient, wire
from harness_studio.electrics.heat.cable import Cable

WIRE = Cable(2.5, "PVC 105")


def test_the_adiabatic_law_is_the_warming_of_a_conductor_that_loses_nothing() -> None:
    # C dT/dt = I² R(T), integrated: the law with K from the conductor's own heat capacity and resistivity.
    amperes, area_mm2 = 200.0, 2.5
    ohm_per_m = 17.241e-3 / area_mm2
    step_k = 0.01
    celsius = np.arange(105, 160, step_k) + step_k / 2
    seconds = np.sum(
        3.45e-3 * area_mm2 * 1e3 * step_k / (amperes**2 * ohm_per_m * (1 + (celsius - 20) / 254.5))
    )
    assert transient.adiabatic_s(WIRE, amperes, 105, 160) == pytest.approx(seconds, rel=0.005)


def test_time_falls_with_the_square_of_the_current() -> None:
    assert transient.adiabatic_s(WIRE, 100, 105, 160) == pytest.approx(
        4 * transient.adiabatic_s(WIRE, -200, 105, 160)
    )
    assert transient.adiabatic_s(WIRE, 0.0, 105, 160) == math.inf
    assert transient.adiabatic_s(WIRE, 10, 160, 160) == 0


def test_least_area_bears_just_that_time() -> None:
    area_mm2 = transient.least_area_mm2("copper", 500, 0.3, 105, 160)
    assert transient.adiabatic_s(Cable(area_mm2, "PVC 105"), 500, 105, 160) == pytest.approx(0.3)
    with pytest.raises(ValueError, match="nothing to warm"):
        transient.least_area_mm2("copper", 500, 0.3, 160, 160)


@pytest.mark.parametrize("amperes", [60.0, 80.0, 150.0])
def test_cooled_time_is_that_of_the_differential_equation(amperes: float) -> None:
    def rate(_: float, celsius: np.ndarray) -> list[float]:
        made = amperes**2 * WIRE.resistance.value * (1 + 0.00393 * (celsius[0] - 20))
        lost = wire.loss_at_w_per_m(*(np.array([v]) for v in (celsius[0], 2.2, 3.0, 20.0)))[0]
        return [(made - lost) / transient.heat_capacity_j_per_k_m(WIRE)]

    def reached(_: float, celsius: np.ndarray) -> float:
        return float(celsius[0] - 155.0)

    reached.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(rate, (0.0, 1000.0), [105.0], events=reached, rtol=1e-8, atol=1e-8)
    assert transient.cooled_s(WIRE, amperes, 20, 105, 155) == pytest.approx(run.t_events[0][0], rel=0.005)


def test_a_current_the_wire_carries_never_gets_it_there() -> None:
    assert transient.cooled_s(WIRE, 40, 20, 105, 155) == math.inf
    assert transient.cooled_s(WIRE, 0, 20, 105, 155) == math.inf


def test_no_way_to_go_takes_no_time() -> None:
    assert transient.cooled_s(WIRE, 40, 20, 155, 155) == 0
    assert transient.cooled_s(WIRE, 40, 20, 160, 155) == 0


def test_insulation_takes_up_heat_too() -> None:
    bare = 3.45e-3 * 2.5 * 1e3
    assert bare < transient.heat_capacity_j_per_k_m(WIRE) < 2 * bare


def short_time(seconds: float, amperes: float, cable: Cable = WIRE, ambient_c: float = 20.0) -> float:
    """Return the temperature after a time from the air's, for one wire."""
    values = (
        amperes, cable.resistance.value, cable.alpha_per_k, cable.conductor.value_mm, cable.outer.value_mm, ambient_c,
    )  # fmt: skip
    one = [np.array([float(v)]) for v in values]
    steady = wire.steady_temperature_c(*one, np.array([105.0]))[0]
    takes_up = np.array([transient.heat_capacity_j_per_k_m(cable)])
    return float(transient.after_c(seconds, one[0], steady, *one[1:], takes_up)[0])


@pytest.mark.parametrize(
    ("amperes", "end_c"),
    [(30.0, 40.0), (30.0, 60.0), (60.0, 40.0), (60.0, 100.0), (120.0, 60.0), (120.0, 100.0)],
)
def test_a_wire_warms_as_the_integral_over_the_balance_gives(amperes: float, end_c: float) -> None:
    # `cooled_s` integrates C dT / (I² R(T) - loss(T)); constructed, no published source.
    seconds = transient.cooled_s(WIRE, amperes, 20.0, 20.0, end_c)
    assert short_time(seconds, amperes) == pytest.approx(end_c, abs=0.1 * (end_c - 20.0))


def test_a_short_time_is_the_adiabatic_law_and_a_long_one_the_steady_state() -> None:
    amperes, seconds = 60.0, 0.2
    rise_k = amperes**2 * WIRE.resistance.value * seconds / transient.heat_capacity_j_per_k_m(WIRE)
    assert short_time(seconds, amperes) - 20.0 == pytest.approx(rise_k, rel=0.01)
    assert short_time(1e5, 15.0) == pytest.approx(short_time(1e6, 15.0), abs=0.01)
    assert short_time(10.0, 0.0) == 20.0
