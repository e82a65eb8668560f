"""Facts of the trade about gauges and sensors whose ground is not the one it seems. Common practice, no source.

Each is a small harness of its own; readings come from solved volts.
"""

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.electrics.solution import Solution
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.gauges import Scale
from harness_studio.network.network import Overrides
from tests.support.physics import solved
from tests.support.sketch import Sketch

RANGES = {
    "coolant NTC": ({40.0: 0.0, 22.0: 1.0}, 30.0),
    "240-33": ({240.0: 0.0, 33.0: 1.0}, 100.0),
    "0-90": ({0.0: 0.0, 90.0: 1.0}, 45.0),
    "10-180": ({10.0: 0.0, 180.0: 1.0}, 90.0),
}
"""By sender range: needle over ohms (0 is empty or cold), and the ohms the sender has."""
HIGHER = {"coolant NTC": True, "240-33": True, "0-90": False, "10-180": False}


def needle(harness: Harness, solution: Solution, gauge: str = "P1") -> float:
    value = readings(harness, solution)[f"{gauge} needle"].value
    assert value is not None
    return value


def with_load(state: str) -> Overrides:
    return Overrides(loads=(("M1", state),))


def dash(scale: dict[float, float], sender_ohm: float, where: str) -> Harness:
    """Return a two-coil gauge and a blower; the gauge's or the sender's ground lies on the blower's poor stud."""
    s = Sketch()
    s.battery()
    s.body("shell", front=0.05, dash=0.3, tank=0.3)
    s.wire("GB1.31", "shell.front", 16.0, 300.0)
    s.ground("GP_dash", "shell.dash")
    s.ground("GP_tank", "shell.tank")
    s.part("M1", "motor", torque="fan", rated_v=13.5, rated_a=10.0, stall_a=40.0)
    s.wire("GB1.30", "M1.15", 4.0, 1500.0)
    s.wire("M1.31", f"GP_{where}", 4.0, 300.0)
    s.part("P1", "gauge", movement="two_coil", coil_ohm=(90.0, 90.0), scale=Scale(ohm=scale))
    s.part("B1", "sender", ohm={"now": sender_ohm})
    s.wire("GB1.30", "P1.15", 0.75, 1500.0)
    s.wire("P1.31", "GP_dash", 0.75, 300.0)
    s.wire("P1.S", "B1.1", 0.75, 3000.0)
    s.wire("B1.31", "GP_tank", 0.75, 300.0)
    s.found(f"GP_{where}", 150.0)
    return s.done()


@pytest.mark.parametrize("name", RANGES)
def test_a_gauge_whose_own_ground_rises(name: str) -> None:
    """It sees fewer ohms: an NTC reads hotter, 240-33 fuller, 0-90 and 10-180 emptier, whenever the blower runs."""
    harness = dash(*RANGES[name], "dash")
    off, on = (needle(harness, solved(harness, None, with_load(state))) for state in ("off", "turning"))
    assert (on > off + 0.03) if HIGHER[name] else (on < off - 0.03)


@pytest.mark.parametrize("name", RANGES)
def test_a_sender_whose_ground_rises(name: str) -> None:
    """The other way round: the gauge sees more ohms."""
    harness = dash(*RANGES[name], "tank")
    off, on = (needle(harness, solved(harness, None, with_load(state))) for state in ("off", "turning"))
    assert (on < off - 0.03) if HIGHER[name] else (on > off + 0.03)


def test_supply_sag_alone_would_not_move_a_two_coil_gauge() -> None:
    """The direction is what tells a lifted ground from a low battery: the latter moves nothing."""
    read = []
    for rest_v in (12.65, 10.5):
        s = Sketch()
        s.battery(rest_v=rest_v)
        s.part("P1", "gauge", coil_ohm=(90.0, 90.0), scale=Scale(ohm={240.0: 0.0, 33.0: 1.0}))
        s.part("B1", "sender", ohm={"now": 100.0})
        for a, b in (("GB1.30", "P1.15"), ("P1.31", "GB1.31"), ("P1.S", "B1.1"), ("B1.31", "GB1.31")):
            s.wire(a, b, 0.75, 500.0)
        harness = s.done()
        read.append(needle(harness, solved(harness)))
    assert read[0] == pytest.approx(read[1], abs=1e-6)


def stabilised(mohm: float) -> Harness:
    """Return two bimetal gauges behind one stabiliser; its ground has so many milliohms and a heater beside it."""
    s = Sketch()
    s.battery()
    s.body("shell", front=0.05, dash=0.3)
    s.wire("GB1.31", "shell.front", 16.0, 300.0)
    s.ground("GP1", "shell.dash")
    s.part("T1", "stabiliser", nominal_v=10.0)
    s.part("E1", "heater", rated_v=13.5, rated_w=100.0)
    s.wire("GB1.30", "T1.15", 1.0, 1200.0)
    s.wire("T1.31", "GP1", 0.75, 200.0)
    s.wire("GB1.30", "E1.1", 2.5, 1200.0)
    s.wire("E1.2", "GP1", 2.5, 200.0)
    s.splice("SP1")
    s.wire("T1.out", "SP1", 0.75, 200.0)
    for number, ohm in (("P1", 140.0), ("P2", 80.0)):
        s.part(number, "gauge", movement="bimetal", coil_ohm=(65.0,), full_ma=110.0)
        s.part(f"B{number}", "sender", ohm={"now": ohm})
        s.wire("SP1", f"{number}.15", 0.75, 200.0)
        s.wire(f"{number}.S", f"B{number}.1", 0.75, 2000.0)
        s.wire(f"B{number}.31", "shell.front", 0.75, 200.0)
    s.found("GP1", mohm)
    return s.done()


def test_a_stabiliser_with_a_poor_ground_makes_all_its_gauges_read_high() -> None:
    clean, poor = (stabilised(mohm) for mohm in (0.3, 120.0))
    for gauge in ("P1", "P2"):
        before, now = (needle(h, solved(h), gauge) for h in (clean, poor))
        assert now > before * 1.1
    rise_v = solved(poor).volt("T1.31")
    assert rise_v is not None
    now, before = (needle(h, solved(h)) for h in (poor, clean))
    assert now / before == pytest.approx(((10.0 + rise_v) / 10.0) ** 2, rel=0.02)


R_20, B_K, PULL_UP = 2500.0, 3400.0, 2490.0


def thermistor_ohm(celsius: float) -> float:
    import math

    return R_20 * math.exp(B_K * (1.0 / (celsius + 273.15) - 1.0 / 293.15))


SENSOR_MODEL = [
    (60.0, 90.0, 4.5),
    (100.0, 90.0, 7.3),
    (300.0, 90.0, 18.6),
    (60.0, 20.0, 0.6),
    (100.0, 20.0, 1.0),
    (300.0, 20.0, 3.0),
]
"""mV of the sensor's ground above the unit's, °C, K too cold (computed: 5 V, 2.49 kΩ, 2.5 kΩ at 20 °C, B = 3400 K)."""


def lifted_sensor(mv: float, celsius: float) -> float:
    """Return what a unit measures whose sensor's ground lies `mv` above its own (below if negative)."""
    from tests.support.bare import bared, emf, joined

    s = Sketch()
    emf(s, 13.5)
    does = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
        "s": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=PULL_UP, reads="B1"),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=does)
    s.part("B1", "ntc", r25_ohm=thermistor_ohm(25.0), b_k=B_K)
    emf(s, abs(mv) / 1000.0, "GB2")
    above, below = ("GB2.30", "GB2.31") if mv >= 0.0 else ("GB2.31", "GB2.30")
    joined(s, ("GB1.30", "A1.30"), ("A1.31", "GB1.31"), ("A1.s", "B1.1"), ("B1.2", above), (below, "A1.31"))
    s.mode("now", senders={"B1": str(celsius)})
    harness = bared(s)
    from tests.support.physics import IDEAL_SOURCE_A

    value = readings(harness, solved(harness, "now", floor_a=IDEAL_SOURCE_A))["A1/s measured"].value
    assert value is not None
    return value


@pytest.mark.parametrize(("mv", "celsius", "too_cold_k"), SENSOR_MODEL)
def test_a_sensor_ground_above_the_units_reads_cold(mv: float, celsius: float, too_cold_k: float) -> None:
    assert celsius - lifted_sensor(mv, celsius) == pytest.approx(too_cold_k, abs=0.06)


@pytest.mark.parametrize("celsius", [20.0, 90.0])
def test_below_it_reads_hot(celsius: float) -> None:
    assert lifted_sensor(-100.0, celsius) > celsius + 0.5
    assert lifted_sensor(0.001, celsius) == pytest.approx(celsius, abs=0.01)


def engine_sensor() -> Harness:
    """Return a coolant sensor on the engine, its unit and the battery's return on the body, a poor strap between.

    A fan on the engine and lamps on the body draw; the alternator stands on the engine.
    """
    s = Sketch()
    s.battery()
    s.body("shell", front=0.05)
    s.body("engine", block=0.05)
    s.wire("GB1.31", "shell.front", 25.0, 300.0)
    s.wire("engine.block", "shell.front", 16.0, 400.0, name="W_strap")
    s.found("engine.block/W_strap", 4.0)
    s.part("G1", "alternator", mount=("B-", "engine.block"), set_v=14.2, max_a=80.0)
    s.wire("G1.B+", "GB1.30", 16.0, 1200.0)
    s.wire("G1.S", "GB1.30", 1.0, 1200.0)
    s.part("M1", "current_load", rated_a=15.0, mount=("31", "engine.block"))
    s.wire("GB1.30", "M1.15", 4.0, 1500.0)
    s.part("E1", "heater", rated_v=13.5, rated_w=400.0)
    s.wire("GB1.30", "E1.1", 6.0, 1500.0)
    s.wire("E1.2", "shell.front", 6.0, 300.0)
    does = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
        "s": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=PULL_UP, reads="B1"),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=does)
    s.part("B1", "ntc", r25_ohm=thermistor_ohm(25.0), b_k=B_K, mount=("2", "engine.block"))
    s.wire("GB1.30", "A1.30", 1.5, 1200.0)
    s.wire("A1.31", "shell.front", 1.5, 300.0)
    s.wire("A1.s", "B1.1", 0.5, 2000.0)
    for mode, engine in (("standing", "off"), ("driving", "running")):
        s.mode(mode, engine=engine, senders={"B1": "90"})
    return s.done()


def test_the_error_changes_sign_between_engine_off_and_running() -> None:
    """Engine off the fan's current lifts the block: cold. Running, the alternator's return pulls it below: hot."""
    harness = engine_sensor()
    measured = {}
    for mode in ("standing", "driving"):
        solution = solved(harness, mode)
        block_v, unit_v = solution.volt("engine.block"), solution.volt("A1.31")
        value = readings(harness, solution)["A1/s measured"].value
        assert block_v is not None
        assert unit_v is not None
        assert value is not None
        measured[mode] = (block_v - unit_v, value)
    assert measured["standing"][0] > 0.03
    assert measured["standing"][1] < 88.5
    assert measured["driving"][0] < -0.03
    assert measured["driving"][1] > 91.5
