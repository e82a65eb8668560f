"""ISO 6722, largest conductor resistance of road vehicle cable at 20 °C in mΩ/m.

From 1 mm² up (without 2 and 3): DIN ISO 6722 part 3 as tabulated in an automotive handbook, read second-hand on one
page. The others are values of ISO 6722-1 and ISO 19642-3 from memory: the check of those only says that the data
file marks them so and that they follow the law of the printed ones, R times area is nearly constant.
"""

import pytest

from harness_studio.standards import wires

PRINTED = {
    1: 18.5, 1.5: 12.7, 2.5: 7.6, 4: 4.71, 6: 3.14, 10: 1.82, 16: 1.16, 25: 0.743, 35: 0.527, 50: 0.368, 70: 0.259,
    95: 0.196, 120: 0.153,
}  # fmt: skip
RECALLED = (0.13, 0.22, 0.35, 0.5, 0.75, 2, 3)


@pytest.mark.parametrize(("area_mm2", "mohm_per_m"), PRINTED.items())
def test_printed_values(area_mm2: float, mohm_per_m: float) -> None:
    figure = wires.resistance_per_m_ohm(area_mm2)
    assert figure.value * 1000 == pytest.approx(mohm_per_m, rel=1e-12)
    assert (figure.method, figure.sureness) == ("table", "seen1")


@pytest.mark.parametrize("area_mm2", RECALLED)
def test_recalled_values_are_marked_and_in_line(area_mm2: float) -> None:
    figure = wires.resistance_per_m_ohm(area_mm2)
    assert (figure.method, figure.sureness) == ("table", "memory")
    products = [area * value for area, value in PRINTED.items()]
    assert min(products) * 0.95 < figure.value * 1000 * area_mm2 < max(products) * 1.05


def test_the_table_holds_no_other_size() -> None:
    assert sorted(wires.table_rows("iso_6722")) == sorted([*PRINTED, *RECALLED])
