"""Air: U.S. Standard Atmosphere, 1976, and textbook tables at one atmosphere.

Printed in the standard for sea level, 288.15 K: viscosity 1.7894e-5 Pa s, conductivity 2.5326e-2 W/(m K) (from memory).
Cengel, table A-15: 10 °C and 40 °C (read on one and on two pages; other rows from memory are not used). A worked
problem gives air at 358 K (read on one page). Textbooks and the standard differ by up to 4 % in conductivity.
"""

import numpy as np
import pytest

from harness_studio.electrics.heat import air

GAS_CONSTANT = 287.05


def properties(celsius: float) -> tuple[float, float, float]:
    """Return (conductivity, kinematic viscosity, Prandtl number) at sea level."""
    kelvin = np.array([celsius + 273.15])
    conductivity = air.conductivity_w_per_m_k(kelvin)[0]
    viscosity = air.viscosity_pa_s(kelvin)[0]
    kinematic = viscosity * GAS_CONSTANT * kelvin[0] / 101325
    return float(conductivity), float(kinematic), float(viscosity * 1005 / conductivity)


def test_sea_level_of_the_standard_atmosphere() -> None:
    kelvin = np.array([288.15])
    assert air.viscosity_pa_s(kelvin)[0] == pytest.approx(1.7894e-5, rel=5e-5)
    assert air.conductivity_w_per_m_k(kelvin)[0] == pytest.approx(2.5326e-2, rel=5e-5)


@pytest.mark.parametrize(
    ("celsius", "conductivity", "kinematic", "prandtl"),
    [
        (10, 0.02439, 1.426e-5, 0.7336),
        (40, 0.02662, 1.702e-5, 0.7255),
        (358 - 273.15, 0.030608, 2.17984e-5, 0.698),
    ],
)
def test_textbook_air(celsius: float, conductivity: float, kinematic: float, prandtl: float) -> None:
    ours = properties(celsius)
    assert ours[0] == pytest.approx(conductivity, rel=0.04)
    assert ours[1] == pytest.approx(kinematic, rel=0.02)
    assert ours[2] == pytest.approx(prandtl, rel=0.04)
