"""Coolant thermistors: printed tables of ohms over temperature, and printed volts of a divider.

Printed: a table of one class of coolant sensor, -40 to 140 °C (48 805 Ω to 66.2 Ω); rows of a divider of 1.0 kΩ at 5 V
for sensors of that class, with ranges of ohms (for example 90 °C, 0.24-0.26 kΩ, 1.0 V); the data sheet of a thermistor
of 10 kΩ at 25 °C with B(25/85) = 3435 K and its table. Trade figures, each seen on one page (a data sheet's public
transcription for the last).
"""

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.model.kinds.control import UnitTerminal
from tests.support.bare import bared, emf, joined
from tests.support.physics import IDEAL_SOURCE_A, solved
from tests.support.sketch import Sketch

COOLANT_OHM = {
    -40: 48805.0, -30: 27414.0, -20: 15971.0, -10: 9620.0, 0: 5975.0, 10: 3816.0, 20: 2502.0, 30: 1679.0, 40: 1152.0,
    50: 806.9, 60: 575.8, 70: 418.1, 80: 308.6, 90: 231.2, 100: 175.7, 110: 135.2, 120: 105.4, 130: 83.1, 140: 66.2,
}  # fmt: skip
DIVIDER = [
    (-30, 20_000, 30_000, 4.8), (-10, 7000, 11_400, 4.5), (20, 2100, 2900, 3.6), (40, 1000, 1300, 2.7),
    (60, 565, 670, 1.9), (80, 295, 365, 1.2), (90, 240, 260, 1.0), (110, 140, 160, 0.65),
]  # fmt: skip
DATA_SHEET_KOHM = {-20: 67.77, 0: 27.28, 20: 12.09, 25: 10.0, 40: 5.827, 60: 3.020, 85: 1.451, 100: 0.9731}


def measured(actual_ohm: float, pull_up_ohm: float = 1000.0, **known: object) -> tuple[float, float]:
    """Return (volts at the input, °C that the unit makes of it) with so many ohms where it expects a known sensor."""
    s = Sketch()
    emf(s, 12.0)
    does = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
        "s": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=pull_up_ohm, reads="B1"),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=does)
    s.part("R1", "resistor", ohm=actual_ohm)
    s.part("B1", "ntc", **known)
    joined(s, ("GB1.30", "A1.30"), ("A1.31", "GB1.31"), ("A1.s", "R1.1"), ("R1.2", "GB1.31"))
    harness = bared(s)
    solution = solved(harness, floor_a=IDEAL_SOURCE_A)
    celsius = readings(harness, solution)["A1/s measured"]
    assert celsius.unit == "°C"
    assert celsius.value is not None
    volts = solution.volt("A1.s")
    assert volts is not None
    return volts, celsius.value


@pytest.mark.parametrize(("celsius", "ohm"), COOLANT_OHM.items())
def test_printed_ohms_are_read_as_their_temperature(celsius: int, ohm: float) -> None:
    table = {str(c): r for c, r in COOLANT_OHM.items()}
    assert measured(ohm, ohm=table)[1] == pytest.approx(celsius, abs=1e-6)


@pytest.mark.parametrize("celsius", range(-30, 140, 20))
def test_between_rows_twenty_kelvin_apart_the_reading_is_good_to_a_degree(celsius: int) -> None:
    table = {str(c): r for c, r in COOLANT_OHM.items() if (c - celsius) % 20}
    assert measured(COOLANT_OHM[celsius], ohm=table)[1] == pytest.approx(celsius, abs=1.0)


@pytest.mark.parametrize(("celsius", "least", "most", "volts"), DIVIDER)
def test_printed_volts_of_the_divider(celsius: int, least: float, most: float, volts: float) -> None:
    """The printed volts lie in the range that the printed ohms give, to half of their last digit."""
    table = {str(c): r for c, r in COOLANT_OHM.items()}
    low, high = (measured(ohm, ohm=table)[0] for ohm in (least, most))
    half = 0.05 if volts != 0.65 else 0.005
    assert low - half <= volts <= high + half


@pytest.mark.parametrize(("celsius", "kohm"), DATA_SHEET_KOHM.items())
def test_b_value_against_the_data_sheet(celsius: int, kohm: float) -> None:
    """B(25/85) holds at 25 and 85 °C; elsewhere the real curve leaves it by up to 3 K (at -20 °C)."""
    read = measured(1000.0 * kohm, 10_000.0, r25_ohm=10_000.0, b_k=3435.0)[1]
    assert read == pytest.approx(celsius, abs=0.05 if celsius in (25, 85) else 3.0)
