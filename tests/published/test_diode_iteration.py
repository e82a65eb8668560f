"""A diode behind a resistance, found by iteration in a textbook.

Printed (Sedra and Smith, Microelectronic Circuits, the example on iterating for a diode's current; from memory): 5 V,
1 kΩ, a diode of 1 mA at 0.7 V whose volts rise by 0.1 V a decade of current: 4.237 mA at 0.762 V.
"""

import math

import pytest

from tests.support.bare import bared, emf, joined
from tests.support.physics import IDEAL_SOURCE_A, solved
from tests.support.sketch import Sketch

THERMAL_V = 0.025865


def test_current_and_volts_of_the_example() -> None:
    slope_v = 0.1 / math.log(10.0)
    s = Sketch()
    emf(s, 5.0)
    s.part("R1", "resistor", ohm=1000.0)
    s.part(
        "R2",
        "diode",
        saturation_a=1e-3 * math.exp(-0.7 / slope_v),
        emission=slope_v / THERMAL_V,
        series_ohm=1e-4,
    )
    joined(s, ("GB1.30", "R1.1"), ("R1.2", "R2.A"), ("R2.K", "GB1.31"))
    solution = solved(bared(s), floor_a=IDEAL_SOURCE_A)
    assert 1000.0 * dict(solution.parts())["R1"].terminals["R1.1"] == pytest.approx(4.237, abs=5e-4)
    assert solution.volt("R2.A") == pytest.approx(0.762, abs=1e-3)
