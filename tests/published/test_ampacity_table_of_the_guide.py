"""The table 'Published checks' of DEVELOPERS.md holds what the program gives today, beside what is printed.

The printed figures, their sources and how sure they are: `test_ampacity_ac_43_13_1b.py`, `test_ampacity_iso_6722.py`,
`test_ampacity_33_cfr_183.py`.
"""

import re
from pathlib import Path

import pytest

from harness_studio.electrics.heat import ampacity
from harness_studio.electrics.heat.cable import Cable
from harness_studio.standards import wires
from harness_studio.standards.figures import Figure

GUIDE = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
ROW = re.compile(r"^\| (AC|VDE|33 CFR): (.+?) \| ([\d.]+) \| ([\d.]+) \| ([+−]?[\d.]+) % \| (.+?) \|$", re.M)
OHM_PER_1000_FT = {"12": 2.02, "14": 3.06, "20": 9.88, "22": 16.20}


def rows() -> list[tuple[str, ...]]:
    section = GUIDE.read_text(encoding="utf-8").split("## Published checks")[1].split("\n## ")[0]
    return [found.groups() for found in ROW.finditer(section)]


def ours_a(source: str, what: str) -> float:
    numbers = re.findall(r"[\d.]+", what)
    if source == "VDE":
        cable, ambient_c = Cable(float(numbers[0]), "FLY"), float(numbers[1])
    elif source == "AC":
        area_mm2 = wires.area_from_awg_mm2(numbers[0])
        cable = Cable(area_mm2, "AS22759/44", ohm_per_m_20c=OHM_PER_1000_FT[numbers[0]] / 304.8)
        ambient_c = 200 - float(numbers[1])
    else:
        area_mm2 = wires.area_from_awg_mm2(numbers[0])
        ohm_per_m = wires.resistance_per_m_ohm(area_mm2, "copper", "ac_43_13_1b").value
        cable, ambient_c = Cable(area_mm2, "PVC 105", ohm_per_m_20c=ohm_per_m), 30.0
    found = ampacity.free_air(cable, ambient_c)
    assert isinstance(found, Figure)
    return found.value


def test_the_table_is_there() -> None:
    assert [source for source, *_ in rows()].count("AC") == 5
    assert [source for source, *_ in rows()].count("VDE") == 26
    assert [source for source, *_ in rows()].count("33 CFR") == 14


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row[0]} {row[1]}")
def test_a_row_says_what_the_program_gives(row: tuple[str, ...]) -> None:
    source, what, printed, ours, off, _ = row
    value_a = ours_a(source, what)
    assert value_a == pytest.approx(float(ours), abs=0.051)
    assert 100 * (value_a / float(printed) - 1) == pytest.approx(float(off.replace("−", "-")), abs=0.051)
