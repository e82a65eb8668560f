"""Heat from a horizontal cylinder to still air: natural convection and radiation, vectorised.

Sources
-------
Churchill and Chu, International Journal of Heat and Mass Transfer 18 (1975) 1049: horizontal cylinder.
U.S. Standard Atmosphere, 1976 (NOAA, NASA, USAF): viscosity and thermal conductivity of air, gas constant.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

ZERO_C_IN_K = 273.15
SEA_LEVEL_PA = 101_325.0
GRAVITY_M_PER_S2 = 9.80665
STEFAN_BOLTZMANN_W_PER_M2_K4 = 5.670374419e-8
EMISSIVITY = 0.9
"""Of plastic insulation, as textbook wire problems take it (seen twice)."""

_GAS_CONSTANT_J_PER_KG_K = 287.0528
_HEAT_CAPACITY_J_PER_KG_K = 3.5 * _GAS_CONSTANT_J_PER_KG_K
_LN_10 = 2.302585092994046


def conductivity_w_per_m_k(air_k: Floats) -> Floats:
    """Return the thermal conductivity of air at kelvins (U.S. Standard Atmosphere 1976, equation 53)."""
    import numpy as np

    conductivity: Floats = (
        2.64638e-3 * air_k * np.sqrt(air_k) / (air_k + 245.4 * np.exp(-12.0 * _LN_10 / air_k))
    )
    return conductivity


def viscosity_pa_s(air_k: Floats) -> Floats:
    """Return the dynamic viscosity of air at kelvins (U.S. Standard Atmosphere 1976, equation 51)."""
    import numpy as np

    viscosity: Floats = 1.458e-6 * air_k * np.sqrt(air_k) / (air_k + 110.4)
    return viscosity


def nusselt(rayleigh: Floats, prandtl: Floats) -> Floats:
    """Return the Nusselt number of a long horizontal cylinder in a still fluid, on its diameter.

    Nu = (0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27))², Churchill and Chu 1975; for Ra up to 1e12.

    Parameters
    ----------
    rayleigh, prandtl
        Same shape; film properties, at the mean of surface and fluid temperature.
    """
    root: Floats = 0.60 + _rayleigh_term(rayleigh, prandtl)
    return root * root


def _rayleigh_term(rayleigh: Floats, prandtl: Floats) -> Floats:
    return 0.387 * rayleigh ** (1 / 6) * (1.0 + (0.559 / prandtl) ** (9 / 16)) ** (-8 / 27)


def loss_w_per_m(
    rise_k: Floats, ambient_c: Floats, diameter_mm: Floats, pressure_pa: float = SEA_LEVEL_PA
) -> tuple[Floats, Floats]:
    """Return heat given off per metre of cylinder in W/m, and its slope in W/(m K) with the air's properties held.

    Parameters
    ----------
    rise_k
        Surface temperature above the air, not negative.
    ambient_c
        Of the air and of what surrounds the cylinder.
    diameter_mm
        Outer diameter, above 0.
    pressure_pa
        Of the air.

    All arrays have the same shape.
    """
    import numpy as np

    air_k = ambient_c + ZERO_C_IN_K
    surface_k = air_k + rise_k
    film_k = air_k + 0.5 * rise_k
    diameter_m = diameter_mm * 1e-3
    around_m = np.pi * diameter_m

    conductivity = conductivity_w_per_m_k(film_k)
    viscosity = viscosity_pa_s(film_k)
    prandtl = viscosity * _HEAT_CAPACITY_J_PER_KG_K / conductivity
    kinematic = viscosity * _GAS_CONSTANT_J_PER_KG_K * film_k / pressure_pa
    grashof = GRAVITY_M_PER_S2 * rise_k * diameter_m**3 / (film_k * kinematic * kinematic)
    term = _rayleigh_term(grashof * prandtl, prandtl)
    root = 0.60 + term
    convection = conductivity / diameter_m * root * root
    convection_slope = convection * (1.0 + term / (3.0 * root))

    radiating = EMISSIVITY * STEFAN_BOLTZMANN_W_PER_M2_K4
    square, air_square = surface_k * surface_k, air_k * air_k
    radiation = radiating * (square + air_square) * (surface_k + air_k)
    loss: Floats = around_m * (convection + radiation) * rise_k
    slope: Floats = around_m * (convection_slope + 4.0 * radiating * square * surface_k)
    return loss, slope


def least_loss_w_per_m_k(ambient_c: Floats, diameter_mm: Floats) -> Floats:
    """Return W/(m K) that a cylinder gives off at the very least: radiation at the air's own temperature."""
    import numpy as np

    air_k = ambient_c + ZERO_C_IN_K
    least: Floats = np.pi * 1e-3 * diameter_mm * 4.0 * EMISSIVITY * STEFAN_BOLTZMANN_W_PER_M2_K4 * air_k**3
    return least
