"""Lamp re-rating: current and light of a filament lamp over its volts.

Printed: I ∝ V^0.55, light ∝ V^3.4 (3.4 to 3.5), power ∝ V^1.6 (Standard Handbook for Electrical Engineers, as an
encyclopedia's article on lamp re-rating cites it; a lamp maker's page agrees). An owner's page prints light over
volts of one lamp of 1000 lm at 12.8 V by the exponent 3.4: 510 lm at 10.5 V, 803 at 12.0, 1356 at 14.0.
"""

import pytest

from harness_studio.electrics.readings import readings
from tests.support.bare import bared, emf, joined
from tests.support.physics import IDEAL_SOURCE_A, solved
from tests.support.sketch import Sketch


def lamp_at(volts: float, rated_v: float, rated_w: float) -> tuple[float, float, float]:
    """Return (amperes, watts, light in %) of a lamp straight at a source."""
    s = Sketch()
    emf(s, volts)
    s.part("E1", "lamp", rated_v=rated_v, rated_w=rated_w)
    joined(s, ("GB1.30", "E1.1"), ("E1.31", "GB1.31"))
    harness = bared(s)
    solution = solved(harness, floor_a=IDEAL_SOURCE_A)
    part = dict(solution.parts())["E1"]
    light = readings(harness, solution)["E1 light"].value
    assert light is not None
    return part.terminals["E1.1"], part.watts, light


@pytest.mark.parametrize(("volts", "lumens"), [(10.5, 510), (12.0, 803), (12.8, 1000), (14.0, 1356)])
def test_printed_light_over_volts(volts: float, lumens: int) -> None:
    assert lamp_at(volts, 12.8, 55.0)[2] * 10.0 == pytest.approx(lumens, abs=0.6)


@pytest.mark.parametrize("volts", [9.0, 10.5, 12.0, 13.2, 14.4, 16.0])
@pytest.mark.parametrize(("rated_v", "rated_w"), [(12.0, 5.0), (13.2, 55.0), (13.5, 21.0)])
def test_current_and_power_follow_the_printed_exponents(volts: float, rated_v: float, rated_w: float) -> None:
    """The law is smooth through zero volts; near its rating that costs less than a thousandth."""
    amperes, watts, _ = lamp_at(volts, rated_v, rated_w)
    assert amperes == pytest.approx(rated_w / rated_v * (volts / rated_v) ** 0.55, rel=1e-4)
    assert watts == pytest.approx(rated_w * (volts / rated_v) ** 1.6, rel=0.05)  # 1.55 by I·V, 1.6 printed
