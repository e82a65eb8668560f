"""Natural convection from a horizontal cylinder: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049.

Printed: Lienhard and Lienhard, A Heat Transfer Textbook, example 8.4 (fine horizontal wire): Nu 0.480 and 1.061
(read on one page). Handbook example Gr 2.63e9, Pr 0.69: Nu 139.13 (read on two). Further values of a tool's reference
page (read on one). Incropera and DeWitt, example 9.4 (steam pipe): from memory.
Insulation around a wire: a worked answer of 6.650 K m/W (read on one page).
"""

import numpy as np
import pytest

from harness_studio.electrics.heat import air, wire


def nusselt(rayleigh: float, prandtl: float) -> float:
    return float(air.nusselt(np.array([rayleigh]), np.array([prandtl]))[0])


@pytest.mark.parametrize(
    ("rayleigh", "prandtl", "printed", "place"),
    [
        (5.762e-4, 0.707, 0.480, 0.0005),
        (5.762, 0.707, 1.061, 0.0005),
        (1.0e-6, 0.7, 0.39954060545245246, 1e-12),
        (0.69 * 2.63e9, 0.69, 139.13493970073606, 1e-9),
        (0.70 * 1.0e5, 0.70, 7.07684, 0.000005),
        (1.2 * 5.0e6, 1.2, 25.9779, 0.00005),
        (0.9 * 1.0e9, 0.9, 115.819, 0.0005),
    ],
)
def test_nusselt_number(rayleigh: float, prandtl: float, printed: float, place: float) -> None:
    assert nusselt(rayleigh, prandtl) == pytest.approx(printed, abs=place)


def test_steam_pipe() -> None:
    # From memory: 0.1 m pipe at 165 °C in a room of 23 °C, emissivity 0.85: 763 W/m, with film properties
    # k 0.0313 W/(m K), ν 22.8e-6 m²/s, a 32.8e-6 m²/s, Pr 0.697.
    rayleigh = 9.8 * 142 * 0.1**3 / (367 * 22.8e-6 * 32.8e-6)
    convection = nusselt(rayleigh, 0.697) * 0.0313 / 0.1
    radiation = 0.85 * 5.67e-8 * (438.0**4 - 296.0**4)
    assert np.pi * 0.1 * (convection * 142 + radiation) == pytest.approx(763, rel=0.002)


def test_the_same_pipe_with_our_air() -> None:
    # The whole loss function at emissivity 0.9 instead of 0.85, air of the standard atmosphere instead of the book's
    # table: radiation is nearly half of the loss.
    loss, _ = air.loss_w_per_m(np.array([142.0]), np.array([23.0]), np.array([100.0]))
    radiation = np.pi * 0.1 * 5.67e-8 * (438.0**4 - 296.0**4)
    assert loss[0] - 0.05 * radiation == pytest.approx(763, rel=0.02)


def test_insulation_around_a_wire() -> None:
    # 2 mm wire, sheath of 2 mm, k 0.13, surface coefficient 10 W/(m² K): 6.650 K m/W in all, 4.511 W/m for 30 K.
    inside = wire.insulation_k_m_per_w(np.array([2.0]), np.array([6.0]))[0] * wire.INSULATION_W_PER_M_K / 0.13
    whole = inside + 1 / (10 * np.pi * 0.006)
    assert whole == pytest.approx(6.650, abs=0.0005)
    assert 30 / whole == pytest.approx(4.511, abs=0.0005)
