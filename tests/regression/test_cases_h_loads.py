"""Worked cases of the trade at loads and sensors: pumps, lamps, measured offsets. Common practice, no source.

The figures were read in trade articles and owners' accounts; the milliohms behind them are our own arithmetic, which is
what these tests repeat with whole harnesses. Never counted as proof.
"""

import pytest

from harness_studio.electrics.meter import meter
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.bare import bared, emf, joined
from tests.support.physics import IDEAL_SOURCE_A, solved
from tests.support.sketch import Sketch

PUMP = {"torque": "centrifugal", "rated_v": 12.0, "rated_a": 6.0, "stall_a": 20.0}


def across(solution: Solution, first: str, second: str) -> float:
    a, b = solution.volt(first), solution.volt(second)
    assert a is not None
    assert b is not None
    return a - b


def pump(
    supply_v: float, feed_ohm: float, ground_ohm: float, load: str = "motor", **ratings: object
) -> Harness:
    """Return a load behind a resistance in its feed and one in its return; nothing else resists."""
    s = Sketch()
    emf(s, supply_v)
    s.part("M1", load, **ratings)
    s.splice("SPF")
    s.splice("SPG")
    s.wire("GB1.30", "SPF", 1.0, 0.0, name="W_feed")
    s.wire("SPG", "GB1.31", 1.0, 0.0, name="W_ground")
    joined(s, ("SPF", "M1.15"), ("M1.31", "SPG"))
    s.found("SPF/W_feed", 1000.0 * feed_ohm)
    s.found("SPG/W_ground", 1000.0 * ground_ohm)
    return bared(s)


def test_5_pickup_with_the_strap_off() -> None:
    """8 V across the pump of a 12 V system, its ground-side tip reads 4 V: the pump slows."""
    healthy = solved(pump(12.0, 0.0, 0.0, **PUMP), floor_a=IDEAL_SOURCE_A)
    running_a = dict(solved(pump(8.0, 0.0, 0.0, **PUMP), floor_a=IDEAL_SOURCE_A).parts())["M1"].terminals[
        "M1.15"
    ]
    harness = pump(12.0, 0.0, 4.0 / running_a, **PUMP)
    solution = solved(harness, floor_a=IDEAL_SOURCE_A)
    assert across(solution, "M1.15", "M1.31") == pytest.approx(8.0, abs=1e-4)
    assert solution.volt("M1.31") == pytest.approx(4.0, abs=1e-4)
    speed = readings(harness, solution)["M1 speed"].value
    assert speed is not None
    assert 55.0 < speed < 75.0
    assert readings(harness, healthy)["M1 speed"].value == pytest.approx(100.0, abs=1e-3)


def test_6_pump_on_stock_wiring() -> None:
    """10.7 V at the pump of a 13.5 V system with 8 A: 350 mΩ of wiring."""
    harness = pump(13.5, 0.35, 0.0, "current_load", rated_a=8.0)
    solution = solved(harness, floor_a=IDEAL_SOURCE_A)
    assert across(solution, "M1.15", "M1.31") == pytest.approx(10.7, abs=1e-4)


def test_8_headlamp_through_a_module() -> None:
    """14.4 V at the source, 12.5 at the pins, 12.2 to 12.3 at the bulb with 5 A: 380 mΩ, and 40 to 60 mΩ of wire."""
    for wire_mohm in (40.0, 60.0):
        s = Sketch()
        emf(s, 14.4)
        s.splice("PIN")
        s.splice("BULB")
        s.part("E1", "current_load", rated_a=5.0)
        s.wire("GB1.30", "PIN", 1.0, 0.0, name="W_module")
        s.wire("PIN", "BULB", 1.0, 0.0, name="W_wire")
        joined(s, ("BULB", "E1.15"), ("E1.31", "GB1.31"))
        s.found("PIN/W_module", 380.0)
        s.found("BULB/W_wire", wire_mohm)
        solution = solved(bared(s), floor_a=IDEAL_SOURCE_A)
        assert solution.volt("PIN") == pytest.approx(12.5, abs=1e-4)
        bulb_v = solution.volt("BULB")
        assert bulb_v is not None
        assert 12.2 - 1e-4 <= bulb_v <= 12.3 + 1e-4


def test_8_light_falls_with_the_power_of_the_volts() -> None:
    """About 2 V lost of 14.4 leave about six tenths of the light."""
    found = []
    for lost_ohm in (0.0, 0.43):
        s = Sketch()
        emf(s, 14.4)
        s.splice("BULB")
        s.part("E1", "lamp", rated_v=12.8, rated_w=60.0)
        s.wire("GB1.30", "BULB", 1.0, 0.0, name="W1")
        joined(s, ("BULB", "E1.1"), ("E1.31", "GB1.31"))
        s.found("BULB/W1", 1000.0 * lost_ohm)
        harness = bared(s)
        light = readings(harness, solved(harness, floor_a=IDEAL_SOURCE_A))["E1 light"].value
        assert light is not None
        found.append(light)
    assert 0.55 < found[1] / found[0] < 0.62


def test_9_relay_fed_headlamps() -> None:
    """Near side 0.25 V of ground and 0.25 of feed, far side 0.25 and 0.5: 50 and 100 mΩ at 5 A, the ground common."""
    s = Sketch()
    emf(s, 12.1)
    for side, feed_mohm in (("near", 50.0), ("far", 100.0)):
        s.splice(f"F_{side}")
        s.splice(f"G_{side}")
        s.part(f"E_{side}", "current_load", rated_a=5.0)
        s.wire("GB1.30", f"F_{side}", 1.0, 0.0, name=f"W_{side}")
        s.wire(f"G_{side}", "GB1.31", 1.0, 0.0, name=f"R_{side}")
        joined(s, (f"F_{side}", f"E_{side}.15"), (f"E_{side}.31", f"G_{side}"))
        s.found(f"F_{side}/W_{side}", feed_mohm)
        s.found(f"G_{side}/R_{side}", 50.0)
    solution = solved(bared(s), floor_a=IDEAL_SOURCE_A)
    drops = {
        j: abs(solution.joint(j).drop_v)
        for j in ("F_near/W_near", "F_far/W_far", "G_near/R_near", "G_far/R_far")
    }
    assert drops == pytest.approx(
        {"F_near/W_near": 0.25, "F_far/W_far": 0.5, "G_near/R_near": 0.25, "G_far/R_far": 0.25}, abs=1e-6
    )


def test_10_lamp_output_over_volts() -> None:
    """Exponent 3.4: 10.5 V 510 lm, 12.0 V 803, 12.8 V 1000, 14.0 V 1356 (see also tests/published)."""
    for volts, lumens in ((10.5, 510), (12.0, 803), (12.8, 1000), (14.0, 1356)):
        s = Sketch()
        emf(s, volts)
        s.part("E1", "lamp", rated_v=12.8, rated_w=55.0)
        joined(s, ("GB1.30", "E1.1"), ("E1.31", "GB1.31"))
        harness = bared(s)
        light = readings(harness, solved(harness, floor_a=IDEAL_SOURCE_A))["E1 light"].value
        assert light == pytest.approx(lumens / 10.0, abs=0.06)


def unit_beside_a_load(stud_mohm: float, load_a: float) -> Harness:
    """Return a control unit on the battery's ground whose sensor is grounded on a stud that a heavy load shares."""
    s = Sketch()
    emf(s, 13.5)
    s.body("engine", block=0.0)
    s.ground("GP1", "engine.block")
    s.wire("engine.block", "GB1.31", 1.0, 0.0)
    does = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
        "s": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=1000.0),
        "r": UnitTerminal("reference", to="31", reference_v=5.0),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=does)
    s.part("R1", "resistor", ohm=1000.0)
    s.part("M1", "current_load", rated_a=load_a)
    joined(s, ("GB1.30", "A1.30"), ("A1.31", "GB1.31"), ("A1.s", "R1.1"), ("R1.2", "GP1"))
    joined(s, ("GB1.30", "M1.15"), ("M1.31", "GP1"))
    s.found("GP1", stud_mohm)
    return bared(s)


def test_13_a_calibration_output_of_five_volts_reads_4_92() -> None:
    """The instrument's ground lies 80 mV above that of the unit: 25 A through 3.2 mΩ."""
    harness = unit_beside_a_load(3.2, 25.0)
    network = expand(harness)
    now, clean = solve(network), solve(expand(harness, clean=True))
    read = meter(network, now, clean, "A1.r", "GP1")
    assert read.volts == pytest.approx(4.92, abs=2e-4)
    assert read.clean_volts == pytest.approx(5.0, abs=0.03)  # 25 A through a clean stud


@pytest.mark.parametrize(("mohm", "step_mv"), [(2.0, 50.0), (2.4, 60.0), (20.0, 500.0)])
def test_14_a_sensor_steps_with_the_fan(mohm: float, step_mv: float) -> None:
    """25 A come and go on the sensor's stud: 2 mΩ lift it by 50 mV, 20 mΩ by half a volt; half of it passes."""
    harness = unit_beside_a_load(mohm, 25.0)
    volts = []
    for load in ("on", "off"):
        solution = solved(harness, None, Overrides(loads=(("M1", load),)), floor_a=IDEAL_SOURCE_A)
        volts.append((solution.volt("GP1") or 0.0, solution.volt("A1.s") or 0.0))
    assert 1000.0 * (volts[0][0] - volts[1][0]) == pytest.approx(step_mv, rel=1e-3)
    passed = 1000.0 / (1000.0 + 1000.0)  # R_p/(R + R_p)
    assert volts[0][1] - volts[1][1] == pytest.approx(passed * (volts[0][0] - volts[1][0]), rel=1e-3)


def test_15_reverse_lamps_through_two_plugs() -> None:
    """One plug loses over 3 V: 0.86 Ω at 3.5 A, the lamps are left about 9 V."""
    s = Sketch()
    emf(s, 12.0)
    s.half("X1", ("1",))
    s.half("X2", ("1",), mates="X1")
    s.part("E1", "current_load", rated_a=3.5)
    joined(s, ("GB1.30", "X1.1"), ("X2.1", "E1.15"), ("E1.31", "GB1.31"))
    s.found("X2.1", 860.0)
    solution = solved(bared(s), floor_a=IDEAL_SOURCE_A)
    assert abs(solution.joint("X1.1").drop_v) == pytest.approx(3.01, abs=1e-3)
    assert across(solution, "E1.15", "E1.31") == pytest.approx(9.0, abs=0.05)


@pytest.mark.parametrize(("ohm", "amperes"), [(6.0, 2.0), (8.0, 1.5)])
def test_16_corroding_lighting_loop(ohm: float, amperes: float) -> None:
    """12 V and 6 Ω are 2 A; two ohms of corrosion leave 1.5 A."""
    s = Sketch()
    emf(s, 12.0)
    s.splice("SP1")
    s.part("R1", "resistor", ohm=6.0)
    s.wire("GB1.30", "SP1", 1.0, 0.0, name="W1")
    joined(s, ("SP1", "R1.1"), ("R1.2", "GB1.31"))
    s.found("SP1/W1", 1000.0 * (ohm - 6.0))
    solution = solved(bared(s), floor_a=IDEAL_SOURCE_A)
    assert dict(solution.parts())["R1"].terminals["R1.1"] == pytest.approx(amperes, rel=1e-6)


def test_21_two_volts_on_the_ground_side() -> None:
    """They leave 10 of 12 V for the load."""
    harness = pump(12.0, 0.0, 0.4, "current_load", rated_a=5.0)
    solution = solved(harness, floor_a=IDEAL_SOURCE_A)
    assert solution.volt("M1.31") == pytest.approx(2.0, abs=1e-5)
    assert across(solution, "M1.15", "M1.31") == pytest.approx(10.0, abs=1e-4)
