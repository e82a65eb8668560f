"""Convection, air and the whole heat balance against the general-purpose libraries `ht`, `fluids` and scipy."""

import math

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from ht.conv_free_immersed import Nu_horizontal_cylinder_Churchill_Chu
from scipy.optimize import brentq

from harness_studio.electrics.heat import air, wire

COPPER = 0.00393
SPECIFIC_HEAT = 3.5 * 287.0528  # of an ideal diatomic gas, J/(kg K)


def test_nusselt_number_is_that_of_ht() -> None:
    rayleigh, prandtl = np.meshgrid(np.geomspace(1e-6, 1e12, 73), np.linspace(0.5, 1.5, 21))
    ours = air.nusselt(rayleigh, prandtl)
    theirs = [Nu_horizontal_cylinder_Churchill_Chu(p, r / p) for r, p in zip(rayleigh.flat, prandtl.flat)]  # noqa: B905
    assert ours.ravel() == pytest.approx(theirs, rel=1e-12)


def test_the_printed_number_of_ht() -> None:
    ours = air.nusselt(np.array([0.69 * 2.63e9]), np.array([0.69]))[0]
    assert ours == pytest.approx(139.13493970073597, rel=1e-13)


def test_air_is_that_of_fluids() -> None:
    kelvin = np.linspace(220.0, 700.0, 97)
    assert air.viscosity_pa_s(kelvin) == pytest.approx(
        [ATMOSPHERE_1976.viscosity(t) for t in kelvin], rel=1e-12
    )
    assert air.conductivity_w_per_m_k(kelvin) == pytest.approx(
        [ATMOSPHERE_1976.thermal_conductivity(t) for t in kelvin], rel=1e-12
    )


def loss_w_per_m(surface_c: float, ambient_c: float, outer_mm: float) -> float:
    """Return the heat off a metre of horizontal cylinder, put together from `ht` and `fluids`."""
    surface_k, air_k, diameter_m = surface_c + 273.15, ambient_c + 273.15, outer_mm / 1000
    film_k = (surface_k + air_k) / 2
    viscosity, conductivity = ATMOSPHERE_1976.viscosity(film_k), ATMOSPHERE_1976.thermal_conductivity(film_k)
    density = ATMOSPHERE_1976.density(film_k, 101325.0)
    prandtl = viscosity * SPECIFIC_HEAT / conductivity
    grashof = 9.80665 * (surface_k - air_k) * diameter_m**3 * density**2 / (film_k * viscosity**2)
    coefficient = Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof) * conductivity / diameter_m
    flux = coefficient * (surface_k - air_k) + 0.9 * 5.670374419e-8 * (surface_k**4 - air_k**4)
    return math.pi * diameter_m * flux


@pytest.mark.parametrize("area_mm2", [0.35, 1.0, 2.5, 10.0, 50.0])
@pytest.mark.parametrize("ambient_c", [-30.0, 20.0, 90.0])
@pytest.mark.parametrize("loading", [3.0, 8.0, 14.0])
def test_temperature_is_where_scipy_balances_the_heat(
    area_mm2: float, ambient_c: float, loading: float
) -> None:
    amperes, ohm_per_m = loading * area_mm2**0.75, 0.0185 / area_mm2
    conductor_mm, outer_mm = 1.45 * math.sqrt(area_mm2), 1.45 * math.sqrt(area_mm2) + 0.7
    inside = math.log(outer_mm / conductor_mm) / (2 * math.pi * 0.2)

    def surplus(surface_c: float) -> float:
        lost = loss_w_per_m(surface_c, ambient_c, outer_mm)
        conductor_c = surface_c + lost * inside
        return amperes**2 * ohm_per_m * (1 + COPPER * (conductor_c - 20)) - lost

    surface_c = brentq(surplus, ambient_c + 1e-6, ambient_c + 280.0, xtol=1e-9)
    expected_c = surface_c + loss_w_per_m(surface_c, ambient_c, outer_mm) * inside
    values = (amperes, ohm_per_m, COPPER, conductor_mm, outer_mm, ambient_c, 260.0)
    found_c, runaway = wire.steady_temperature_c(*(np.array([v]) for v in values))
    assert found_c[0] == pytest.approx(expected_c, abs=0.01)
    assert not runaway[0]
    back = wire.free_air_a(*(np.array([v]) for v in (*values[1:6], expected_c)))
    assert back[0] == pytest.approx(amperes, rel=1e-4)
