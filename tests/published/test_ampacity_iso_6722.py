"""Guide currents of DIN VDE 0298-4 for DIN ISO 6722 part 3 cable: thick wall PVC, 70 °C.

Printed in an automotive handbook, read second-hand on one page; the column for 30 °C air read on a second page, which
heads it 'single-core, free in air at least a diameter apart, and wiring in switchgear': the upper sizes lie below what
a wire alone in still air carries.
"""

import pytest

from harness_studio.electrics.heat import ampacity
from harness_studio.electrics.heat.cable import Cable
from harness_studio.standards import ampacity as handbook
from harness_studio.standards import cables
from harness_studio.standards.figures import Figure

# mm²: largest mΩ/m at 20 °C, conductor mm, outer mm, guide amperes in 30 and 50 °C air
PRINTED = {
    1: (18.5, 1.5, 2.7, 19, 13.5), 1.5: (12.7, 1.8, 3.0, 24, 17), 2.5: (7.6, 2.2, 3.6, 32, 22.7),
    4: (4.71, 2.8, 4.4, 42, 29.8), 6: (3.14, 3.4, 5.0, 54, 38.3), 10: (1.82, 4.5, 6.5, 73, 51.8),
    16: (1.16, 6.3, 8.3, 98, 69.6), 25: (0.743, 7.8, 10.4, 129, 91.6), 35: (0.527, 9.0, 11.6, 158, 112),
    50: (0.368, 10.5, 13.5, 198, 140), 70: (0.259, 12.5, 15.5, 245, 174), 95: (0.196, 14.8, 18.0, 292, 207),
    120: (0.153, 16.5, 19.7, 344, 244),
}  # fmt: skip
TO_25 = [size for size in PRINTED if size <= 25]
FROM_35 = [size for size in PRINTED if size > 25]


def ratio(area_mm2: float, ambient_c: int) -> float:
    """Return our free-air ampacity over the printed guide current."""
    found = ampacity.free_air(Cable(area_mm2, "FLY"), float(ambient_c))
    assert isinstance(found, Figure)
    return found.value / PRINTED[area_mm2][3 if ambient_c == 30 else 4]


@pytest.mark.parametrize("area_mm2", PRINTED)
def test_the_cable_is_the_printed_one(area_mm2: float) -> None:
    cable = Cable(area_mm2, "FLY")
    mohm_per_m, conductor_mm, outer_mm, *_ = PRINTED[area_mm2]
    assert cable.resistance.value * 1000 == pytest.approx(mohm_per_m)
    assert (cables.conductor_mm(area_mm2), cables.outer_mm(area_mm2, "FLY")) == (conductor_mm, outer_mm)
    assert cable.limit_c == 70


@pytest.mark.parametrize("ambient_c", [30, 50])
@pytest.mark.parametrize("area_mm2", TO_25)
def test_guide_currents_within_twelve_per_cent(area_mm2: float, ambient_c: int) -> None:
    assert ratio(area_mm2, ambient_c) == pytest.approx(1, abs=0.12)


@pytest.mark.parametrize("ambient_c", [30, 50])
@pytest.mark.parametrize("area_mm2", FROM_35)
def test_larger_sizes_lie_ten_to_twenty_per_cent_above_and_say_so(area_mm2: float, ambient_c: int) -> None:
    # Twelve per cent is missed here. Nothing was fitted to meet it; the answer carries a note instead.
    assert 1.10 < ratio(area_mm2, ambient_c) < 1.20
    found = ampacity.free_air(Cable(area_mm2, "FLY"), float(ambient_c))
    assert isinstance(found, Figure)
    assert "above the guide currents" in found.note


@pytest.mark.parametrize("area_mm2", PRINTED)
def test_the_handbook_method_gives_the_printed_currents(area_mm2: float) -> None:
    at_30, at_50 = (handbook.rating("iso_6722", area_mm2, 70.0, c) for c in (30.0, 50.0))
    assert isinstance(at_30, Figure)
    assert isinstance(at_50, Figure)
    assert at_30.value == PRINTED[area_mm2][3]
    # 50 °C by the square root of the rise that is left: √(20/40)
    assert at_50.value == pytest.approx(PRINTED[area_mm2][4], rel=0.007)
