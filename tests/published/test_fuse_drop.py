"""Current from the millivolts across a cold fuse.

Printed: a workshop table gives 1 mV across a 10 A medium blade fuse as 130 mA; a second document gives 2.4 mV as
312 mA and 0.77 mV as 100 mA. Typical cold resistances of the same style: 4.80 mΩ at 15 A, 1.97 mΩ at 30 A.
Trade figures, seen in public transcriptions of data sheets and on a workshop page.
"""

import pytest

from harness_studio.standards import fuses


@pytest.mark.parametrize(("mv", "ma"), [(1.0, 130), (2.4, 312), (0.77, 100)])
def test_current_through_a_ten_ampere_fuse(mv: float, ma: float) -> None:
    assert mv / fuses.cold_resistance_ohm("blade_medium", 10).value_ohm == pytest.approx(ma, abs=0.5)


@pytest.mark.parametrize(("rated_a", "mohm"), [(1, 123.0), (5, 17.85), (15, 4.80), (30, 1.97), (40, 1.44)])
def test_cold_resistance_of_medium_blades(rated_a: float, mohm: float) -> None:
    assert fuses.cold_resistance_ohm("blade_medium", rated_a).value_ohm * 1000 == pytest.approx(mohm)


@pytest.mark.parametrize(
    ("style", "rated_a", "drop_mv", "tolerance"),
    [
        ("blade_medium", 10, 109, 0.01),
        ("blade_high_current", 40, 75, 0.01),
        # printed drops of other ratings: one ratio per style stands for all of them, within a tenth
        ("blade_medium", 1, 176, 0.1),
        ("blade_medium", 2, 141, 0.1),
    ],
)
def test_drop_at_rated_current(style: str, rated_a: float, drop_mv: float, tolerance: float) -> None:
    hot_ohm = fuses.cold_resistance_ohm(style, rated_a).value_ohm * fuses.hot_ratio(style).value
    assert hot_ohm * rated_a * 1000 == pytest.approx(drop_mv, rel=tolerance)
