"""33 CFR 183.425, table 5: allowable amperage of conductors in small craft (US law, public domain).

The whole table was read on one page, its heading and rules on three. Note 1, factors in an engine space of 50 °C: 0.85
for 105 °C wire agrees with a marine table of another publisher (read on one page), the others are from memory. Note 2,
factors for bundles: from memory.
"""

import pytest

from harness_studio.standards import ampacity, wires
from harness_studio.standards.figures import Figure

CLASSES_C = (60, 75, 80, 90, 105, 125, 200)
TABLE_5 = {
    "18": (10, 10, 15, 20, 20, 25, 25), "16": (15, 15, 20, 25, 25, 30, 35), "14": (20, 20, 25, 30, 35, 40, 45),
    "12": (25, 25, 35, 40, 45, 50, 55), "10": (40, 40, 50, 55, 60, 70, 70), "8": (55, 65, 70, 70, 80, 90, 100),
    "6": (80, 95, 100, 100, 120, 125, 135), "4": (105, 125, 130, 135, 160, 170, 180),
    "3": (120, 145, 150, 155, 180, 195, 210), "2": (140, 170, 175, 180, 210, 225, 240),
    "1": (165, 195, 210, 210, 245, 265, 280), "0": (195, 230, 245, 245, 285, 305, 325),
    "00": (225, 265, 285, 285, 330, 355, 370), "000": (260, 310, 330, 330, 385, 410, 430),
    "0000": (300, 360, 385, 385, 445, 475, 510),
}  # fmt: skip
# A marine table of single 105 °C conductors: outside and inside an engine space
MARINE_105 = {
    "18": (20, 17), "16": (25, 21), "14": (35, 30), "12": (45, 38), "10": (60, 51), "8": (80, 68), "6": (120, 102),
    "4": (160, 136), "2": (210, 178), "1": (245, 208), "1/0": (285, 242), "2/0": (330, 280), "4/0": (445, 378),
}  # fmt: skip


def amperes(awg: str, limit_c: float, ambient_c: float = 30.0, in_run: int = 1) -> float:
    found = ampacity.rating("cfr_33_183_425", wires.area_from_awg_mm2(awg), limit_c, ambient_c, in_run)
    assert isinstance(found, Figure)
    return found.value


@pytest.mark.parametrize(("awg", "printed"), TABLE_5.items())
def test_table_5(awg: str, printed: tuple[int, ...]) -> None:
    assert tuple(amperes(awg, c) for c in CLASSES_C) == printed


@pytest.mark.parametrize(("awg", "printed"), MARINE_105.items())
def test_a_second_table_of_105_degree_wire(awg: str, printed: tuple[int, int]) -> None:
    assert amperes(awg, 105) == printed[0]
    assert amperes(awg, 105, ambient_c=50) == pytest.approx(printed[1], rel=0.03)


@pytest.mark.parametrize(
    ("class_c", "printed"), [(60, 0.58), (75, 0.75), (80, 0.78), (90, 0.82), (105, 0.85), (125, 0.89)]
)
def test_engine_space_factors_are_the_root_of_the_rise_that_is_left(class_c: int, printed: float) -> None:
    assert amperes("10", class_c, 50) / amperes("10", class_c) == pytest.approx(printed, abs=0.007)


@pytest.mark.parametrize(
    ("in_run", "printed"), [(1, 1), (2, 1), (3, 0.7), (4, 0.6), (6, 0.6), (7, 0.5), (24, 0.5), (25, 0.4)]
)
def test_bundle_factors(in_run: int, printed: float) -> None:
    assert amperes("10", 105, in_run=in_run) == pytest.approx(60 * printed)
