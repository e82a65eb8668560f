"""IEC 60228:2004, largest conductor resistance at 20 °C in ohm per km.

Printed numbers read on four pages that agree (two tables of cable makers and two handbook pages).
Columns: class 1 and 2 plain, class 1 and 2 tinned, class 5 plain, class 5 tinned.
"""

import pytest

from harness_studio.standards import wires

TABLES = (
    "iec_60228_class_1_2",
    "iec_60228_class_1_2_tinned",
    "iec_60228_class_5",
    "iec_60228_class_5_tinned",
)
COPPER = {
    0.5: ("36.0", "36.7", "39.0", "40.1"),
    0.75: ("24.5", "24.8", "26.0", "26.7"),
    1.0: ("18.1", "18.2", "19.5", "20.0"),
    1.5: ("12.1", "12.2", "13.3", "13.7"),
    2.5: ("7.41", "7.56", "7.98", "8.21"),
    4.0: ("4.61", "4.70", "4.95", "5.09"),
    6.0: ("3.08", "3.11", "3.30", "3.39"),
    10.0: ("1.83", "1.84", "1.91", "1.95"),
    16.0: ("1.15", "1.16", "1.21", "1.24"),
    25.0: ("0.727", "0.734", "0.780", "0.795"),
    35.0: ("0.524", "0.529", "0.554", "0.565"),
    50.0: ("0.387", "0.391", "0.386", "0.393"),
    70.0: ("0.268", "0.270", "0.272", "0.277"),
    95.0: ("0.193", "0.195", "0.206", "0.210"),
    120.0: ("0.153", "0.154", "0.161", "0.164"),
}
ALUMINIUM = {10: 3.08, 16: 1.91, 25: 1.20, 35: 0.868, 50: 0.641, 70: 0.443, 95: 0.320, 120: 0.253}


@pytest.mark.parametrize("area_mm2", COPPER)
@pytest.mark.parametrize("column", range(4))
def test_copper(area_mm2: float, column: int) -> None:
    figure = wires.resistance_per_m_ohm(area_mm2, "copper", TABLES[column])
    assert figure.value * 1000 == pytest.approx(float(COPPER[area_mm2][column]), rel=1e-12)
    assert (figure.method, figure.source, figure.sureness) == ("table", "IEC 60228:2004", "seen2")


@pytest.mark.parametrize("area_mm2", ALUMINIUM)
def test_aluminium(area_mm2: float) -> None:
    figure = wires.resistance_per_m_ohm(area_mm2, "aluminium", "iec_60228_aluminium")
    assert figure.value * 1000 == pytest.approx(ALUMINIUM[int(area_mm2)], rel=1e-12)


@pytest.mark.parametrize("table", TABLES)
def test_the_tables_hold_no_other_size(table: str) -> None:
    assert sorted(wires.table_rows(table)) == sorted(COPPER)
