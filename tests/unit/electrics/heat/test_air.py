"""Loss of a cylinder to still air: its slope, its parts, and thin air."""

import numpy as np
import pytest

from harness_studio.electrics.heat import air

RISES = np.array([0.5, 5.0, 50.0, 200.0])


def loss(rise_k: np.ndarray, ambient_c: float = 20.0, diameter_mm: float = 3.0, **named: float) -> np.ndarray:
    like = np.ones_like(rise_k)
    return air.loss_w_per_m(rise_k, ambient_c * like, diameter_mm * like, **named)[0]


def test_nothing_is_lost_without_a_rise() -> None:
    assert loss(np.array([0.0]))[0] == 0.0


@pytest.mark.parametrize("ambient_c", [-40.0, 20.0, 110.0])
@pytest.mark.parametrize("diameter_mm", [1.0, 3.0, 20.0])
def test_the_slope_is_that_of_the_loss_but_for_the_airs_properties(
    ambient_c: float, diameter_mm: float
) -> None:
    slope = air.loss_w_per_m(RISES, np.full(4, ambient_c), np.full(4, diameter_mm))[1]
    step = 1e-4
    measured = (loss(RISES + step, ambient_c, diameter_mm) - loss(RISES - step, ambient_c, diameter_mm)) / (
        2 * step
    )
    assert slope == pytest.approx(measured, rel=0.05)


def test_the_least_loss_is_less_than_any() -> None:
    least = air.least_loss_w_per_m_k(np.full(4, 20.0), np.full(4, 3.0))
    assert (loss(RISES) > least * RISES).all()


def test_a_thicker_wire_loses_more_and_thin_air_takes_less() -> None:
    assert (loss(RISES, diameter_mm=6.0) > loss(RISES, diameter_mm=3.0)).all()
    assert (loss(RISES, pressure_pa=50_000.0) < loss(RISES)).all()
