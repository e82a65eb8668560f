"""FAA AC 43.13-1B CHG 1, chapter 11, sections 5 and 15: wire ratings (public domain).

Printed: free-air figure points 47 A for AWG 14 at 150 °C rise (page 11-27, read on one page); 68 and 61 A for AWG 12 at
175 and 140 °C, 21.5 and 16.2 A for AWG 20 and 22 at 140 °C (harness examples of 11-69, from memory). Altitude factor
0.91 at 20,000 ft (read on one page), 0.79 at 60,000 ft (from memory). Bundle factor 0.6 for 8 wires at 60 % (page
11-27, read on one page), 0.43 for 12 at 100 % and 0.52 for 35 at 20 % (from memory). Table 11-9: read on two pages; its
note 1 makes it a table of bundles in 70 °C air at 60,000 ft, not one of free air.
The bundle curve itself is a third party's digitisation of the same curve in MIL-W-5088L (read on one page).
"""

import pytest

from harness_studio.electrics.heat import ampacity
from harness_studio.electrics.heat.ampacity import Ampacity
from harness_studio.electrics.heat.cable import Around, Cable
from harness_studio.standards import ampacity as handbook
from harness_studio.standards import bundles, wires
from harness_studio.standards.figures import Figure, NotJudged

FOOT_M = 0.3048
OHM_PER_1000_FT = {"12": 2.02, "14": 3.06, "20": 9.88, "22": 16.20}
# AWG, rise in K (200 °C wire), printed amperes
FREE_AIR = [("14", 150, 47.0), ("12", 175, 68.0), ("12", 140, 61.0), ("20", 140, 21.5), ("22", 140, 16.2)]
TABLE_11_9 = {  # AWG: amperes at 105, 150, 200 °C
    "24": (2.5, 4, 5), "22": (3, 5, 6), "20": (4, 7, 9), "18": (6, 9, 12), "16": (7, 11, 14), "14": (10, 14, 18),
    "12": (13, 19, 25), "10": (17, 26, 32), "8": (38, 57, 71), "6": (50, 76, 97), "4": (68, 103, 133),
    "2": (95, 141, 179), "1": (113, 166, 210), "0": (128, 192, 243), "00": (147, 222, 285),
    "000": (172, 262, 335), "0000": (204, 310, 395),
}  # fmt: skip


def aircraft_wire(awg: str) -> Cable:
    """Return a 200 °C wire with the resistance of table 11-9 and the diameters we take for thin wall."""
    ohm_per_m = OHM_PER_1000_FT[awg] / (1000 * FOOT_M)
    return Cable(wires.area_from_awg_mm2(awg), "AS22759/44", ohm_per_m_20c=ohm_per_m)


def value(found: Figure | NotJudged) -> float:
    assert isinstance(found, Figure)
    return found.value


@pytest.mark.parametrize(("awg", "rise_k", "printed_a"), FREE_AIR)
def test_free_air_points(awg: str, rise_k: float, printed_a: float) -> None:
    ours_a = value(ampacity.free_air(aircraft_wire(awg), 200.0 - rise_k))
    assert 0.92 * printed_a <= ours_a <= 1.03 * printed_a


@pytest.mark.parametrize(("count", "share", "printed"), [(8, 0.6, 0.6), (12, 1.0, 0.43)])
def test_bundle_points(count: int, share: float, printed: float) -> None:
    assert value(bundles.factor(count, share)) == pytest.approx(printed, abs=0.006)


@pytest.mark.parametrize(("feet", "printed"), [(0, 1.0), (20_000, 0.91), (60_000, 0.79)])
def test_altitude_points(feet: float, printed: float) -> None:
    assert value(bundles.altitude_factor(feet * FOOT_M)) == pytest.approx(printed, abs=1e-9)


def test_hot_wire_example() -> None:
    # 11-68e: AWG 14, 200 °C wire in 50 °C air, 8 wires at 60 %, 20,000 ft: 47 × 0.91 × 0.6 = 25.66, printed 26 A.
    around = Around(ambient_c=50, in_run=8, share=0.6, altitude_m=20_000 * FOOT_M)
    factors = value(bundles.altitude_factor(around.altitude_m)) * value(bundles.factor(8, 0.6))
    assert 47 * factors == pytest.approx(26, abs=0.6)
    ours = ampacity.by_heat_balance(aircraft_wire("14"), around)
    assert isinstance(ours, Ampacity)
    assert ours.figure.value == pytest.approx(26, rel=0.08)
    assert len(ours.steps) == 3


def test_first_harness_example() -> None:
    # 11-69, from memory: 10 × AWG 20 and 25 × AWG 22, 200 °C, 60 °C air, 60,000 ft, 7 of 35 in use:
    # 21.5 and 16.2 A × 0.52 → 11.2 and 8.4 → × 0.79 → 8.8 and 6.6 A; all of them 50.6 A.
    thin = value(bundles.altitude_factor(60_000 * FOOT_M))
    after = {"20": 11.2 * thin, "22": 8.4 * thin}
    assert after["20"] == pytest.approx(8.8, abs=0.05)
    assert after["22"] == pytest.approx(6.6, abs=0.05)
    capacity_a = 25 * round(after["22"], 1) + 10 * round(after["20"], 1)
    assert 0.2 * capacity_a == pytest.approx(50.6, abs=0.05)
    # 35 wires are more than the curve is known to: it must not judge them.
    assert isinstance(bundles.factor(35, 0.2), NotJudged)
    assert isinstance(ampacity.by_heat_balance(aircraft_wire("20"), Around(60, 35, 0.2)), NotJudged)


@pytest.mark.parametrize(
    ("ambient_c", "feet", "each_a", "all_a"), [(25, 0, 29.2, 350.4), (60, 20_000, 23.8, 285.6)]
)
def test_second_harness_example(ambient_c: float, feet: float, each_a: float, all_a: float) -> None:
    # 11-69, from memory: 12 × AWG 12, 200 °C, all in use: free air 68 and 61 A, × 0.43, × 0.91 at 20,000 ft.
    free_a = {25: 68, 60: 61}[ambient_c]
    factors = value(bundles.factor(12, 1.0)) * value(bundles.altitude_factor(feet * FOOT_M))
    assert free_a * factors == pytest.approx(each_a, abs=0.1)
    assert 12 * free_a * factors == pytest.approx(all_a, rel=0.003)
    ours = ampacity.by_heat_balance(aircraft_wire("12"), Around(ambient_c, 12, 1.0, feet * FOOT_M))
    assert isinstance(ours, Ampacity)
    assert 0.92 * each_a <= ours.figure.value <= 1.03 * each_a


@pytest.mark.parametrize(("awg", "printed"), TABLE_11_9.items())
def test_table_11_9(awg: str, printed: tuple[float, ...]) -> None:
    area_mm2 = wires.area_from_awg_mm2(awg)
    found = [
        handbook.rating("ac_43_13_1b_11_9", area_mm2, c, 70.0, in_run=9, share=0.2) for c in (105, 150, 200)
    ]
    assert tuple(value(f) for f in found) == printed
    assert {f.sureness for f in found if isinstance(f, Figure)} == {"seen2"}
