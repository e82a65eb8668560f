"""American wire gauge, ASTM B258.

Printed numbers: a public AWG table (diameters in inches to four places; resistance of solid copper at 20 °C in ohm per
1000 ft), a trade table of bare wire (diameters in mils, areas in circular mils), and table 8 of chapter 9 of NFPA 70
(areas of the trade sizes in circular mils, rounded by the trade within 0.3 %).
"""

import math

import pytest

from harness_studio.standards import wires

INCH_MM = 25.4
CIRCULAR_MIL_MM2 = math.pi / 4 * 0.0254**2

DIAMETERS_INCH = {
    "0000": 0.4600, "000": 0.4096, "00": 0.3648, "0": 0.3249, "1": 0.2893, "2": 0.2576, "3": 0.2294, "4": 0.2043,
    "5": 0.1819, "6": 0.1620, "7": 0.1443, "8": 0.1285, "9": 0.1144, "10": 0.1019, "11": 0.0907, "12": 0.0808,
    "13": 0.0720, "14": 0.0641, "15": 0.0571, "16": 0.0508, "17": 0.0453, "18": 0.0403, "19": 0.0359, "20": 0.0320,
    "21": 0.0285, "22": 0.0253, "23": 0.0226, "24": 0.0201, "25": 0.0179, "26": 0.0159, "27": 0.0142, "28": 0.0126,
    "30": 0.0100, "36": 0.0050,
}  # fmt: skip
# The table prints 0.0254 for gauge 22, rounded up from 0.02535; the trade table's 25.347 mils gives 0.0253.

MILS_AND_CIRCULAR_MILS = {
    "12": (80.808, 6529.9), "14": (64.084, 4106.8), "16": (50.820, 2582.9), "18": (40.303, 1624.3),
    "20": (31.961, 1021.5), "22": (25.347, 642.4), "30": (10.025, 100.50),
}  # fmt: skip
# Its row of gauge 24 is left out: 404.01 circular mils is the square of a diameter rounded to 20.1 mils.

NFPA_70_CIRCULAR_MILS = {
    "18": 1620, "16": 2580, "14": 4110, "12": 6530, "10": 10380, "8": 16510, "6": 26240, "4": 41740, "3": 52620,
    "2": 66360, "1": 83690, "1/0": 105600, "2/0": 133100, "3/0": 167800, "4/0": 211600,
}  # fmt: skip

OHM_PER_1000_FT = {
    "10": 1.00, "12": 1.59, "14": 2.53, "16": 4.02, "18": 6.39, "20": 10.15, "22": 16.14, "24": 25.67, "30": 103.20,
}  # fmt: skip


@pytest.mark.parametrize(("awg", "inch"), DIAMETERS_INCH.items())
def test_diameter(awg: str, inch: float) -> None:
    assert wires.diameter_from_awg_mm(awg) / INCH_MM == pytest.approx(inch, abs=0.000051)


@pytest.mark.parametrize(("awg", "printed"), MILS_AND_CIRCULAR_MILS.items())
def test_diameter_and_area_to_five_figures(awg: str, printed: tuple[float, float]) -> None:
    mils, circular_mils = printed
    assert wires.diameter_from_awg_mm(awg) / 0.0254 == pytest.approx(mils, rel=2e-5)
    assert wires.area_from_awg_mm2(awg) / CIRCULAR_MIL_MM2 == pytest.approx(circular_mils, rel=1e-4)


@pytest.mark.parametrize(("awg", "circular_mils"), NFPA_70_CIRCULAR_MILS.items())
def test_area_of_the_trade_sizes(awg: str, circular_mils: float) -> None:
    assert wires.area_from_awg_mm2(awg) / CIRCULAR_MIL_MM2 == pytest.approx(circular_mils, rel=3e-3)


@pytest.mark.parametrize(("awg", "printed"), OHM_PER_1000_FT.items())
def test_resistance_of_solid_copper(awg: str, printed: float) -> None:
    figure = wires.resistance_per_m_ohm(wires.area_from_awg_mm2(awg))
    assert figure.method == "computed"
    solid = figure.value / 1.05  # without the stranding factor
    assert solid * 304.8 == pytest.approx(printed, abs=0.0051, rel=6e-4)
