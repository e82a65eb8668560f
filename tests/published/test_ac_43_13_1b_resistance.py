"""FAA AC 43.13-1B, chapter 11: tables 11-7 and 11-9 (public domain).

Table 11-7 prints volts lost as ohm per foot × feet × amperes, tin-plated copper. Table 11-9 prints ohm per 1000 ft.
Row 2 of table 11-8 prints 0.366 V where its own figures give 0.491 V: not used.
"""

import pytest

from harness_studio.standards import wires

FOOT_M = 0.3048
# AWG, run in ft, amperes, printed volts, last printed place
TABLE_11_7 = [("6", 107, 20, 0.942, 0.001), ("4", 90, 20, 0.504, 0.0005), ("14", 100, 20, 6.12, 0.005)]
TABLE_11_8 = [("10", 39, 20, 0.98, 0.005), ("10", 156, 20, 3.93, 0.005), ("10", 273, 20, 6.88, 0.005)]
TABLE_11_9 = {
    "24": 28.40, "22": 16.20, "20": 9.88, "18": 6.23, "16": 4.81, "14": 3.06, "12": 2.02, "10": 1.26, "8": 0.70,
    "6": 0.44, "4": 0.28, "2": 0.18, "1": 0.15, "0": 0.12, "00": 0.09, "000": 0.07, "0000": 0.06,
}  # fmt: skip


def ohm_per_ft(awg: str) -> float:
    figure = wires.resistance_per_m_ohm(wires.area_from_awg_mm2(awg), "copper", "ac_43_13_1b")
    assert figure.method == "table"
    return figure.value * FOOT_M


@pytest.mark.parametrize(("awg", "run_ft", "current_a", "printed_v", "place_v"), TABLE_11_7 + TABLE_11_8)
def test_drop_examples(awg: str, run_ft: float, current_a: float, printed_v: float, place_v: float) -> None:
    assert ohm_per_ft(awg) * run_ft * current_a == pytest.approx(printed_v, abs=place_v)


@pytest.mark.parametrize(("awg", "printed"), TABLE_11_9.items())
def test_resistance(awg: str, printed: float) -> None:
    assert ohm_per_ft(awg) * 1000 == pytest.approx(printed, rel=1e-12)
