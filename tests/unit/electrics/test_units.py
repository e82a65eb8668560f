"""Control units: pulsed outputs as their mean, what a unit does without its supply, and what draws by itself."""

import math

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.bare import bared, emf, joined
from tests.support.physics import solved
from tests.support.sketch import Sketch

SUPPLY_V, DRIVER_OHM = 12.0, 0.1


def pulsing(does: str, duty: float, load: str, **ratings: object) -> Harness:
    """Return a load on a pulsed output of a unit without other resistance."""
    s = Sketch()
    emf(s, SUPPLY_V)
    terminals = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
        "q": UnitTerminal(does, ohm=DRIVER_OHM, duty=duty),  # type: ignore[arg-type]
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=terminals)
    s.part("X1", load, **ratings)
    names = tuple(s.harness.parts["X1"].terminals() or ())
    other = "GB1.30" if does == "pwm_low" else "GB1.31"
    joined(s, ("GB1.30", "A1.30"), ("A1.31", "GB1.31"), (other, f"X1.{names[0]}"), (f"X1.{names[1]}", "A1.q"))
    return bared(s)


def pulsed_in_time(duty: float, ohm: float, henry: float, period_s: float) -> tuple[float, float]:
    """Return the mean current of a load and of the supply, switched in time: exponentials from pulse to pulse."""
    on_s, off_s = duty * period_s, (1.0 - duty) * period_s
    total = ohm + DRIVER_OHM
    ends_a, on_tau, off_tau = SUPPLY_V / total, henry / total, henry / ohm
    up, down = math.exp(-on_s / on_tau), math.exp(-off_s / off_tau)
    top = ends_a * (1.0 - up) / (1.0 - up * down)
    bottom = top * down
    charge_on = ends_a * on_s + (bottom - ends_a) * on_tau * (1.0 - up)
    charge_off = top * off_tau * (1.0 - down)
    return (charge_on + charge_off) / period_s, charge_on / period_s


def amperes(harness: Harness, terminal: str) -> float:
    solution = solved(harness, floor_a=1e-7)
    return dict(solution.parts())[terminal.split(".")[0]].terminals[terminal]


@pytest.mark.parametrize("does", ["pwm_low", "pwm_high"])
@pytest.mark.parametrize("ohm", [1.0, 4.0, 50.0])
@pytest.mark.parametrize("duty", [0.1, 0.5, 0.9])
def test_a_resistance_takes_its_current_for_the_duty_only(does: str, duty: float, ohm: float) -> None:
    harness = pulsing(does, duty, "resistor", ohm=ohm)
    assert abs(amperes(harness, "X1.1")) == pytest.approx(duty * SUPPLY_V / (ohm + DRIVER_OHM), rel=1e-6)
    assert -amperes(harness, "GB1.30") == pytest.approx(duty * SUPPLY_V / (ohm + DRIVER_OHM), rel=1e-5)


@pytest.mark.parametrize("does", ["pwm_low", "pwm_high"])
@pytest.mark.parametrize("duty", [0.1, 0.5, 0.9])
def test_a_winding_carries_its_current_on_between_pulses(does: str, duty: float) -> None:
    """Against the same switched in time: 10 mH, 20 kHz, 2 Ω; the supply gives what flows in the pulses only."""
    harness = pulsing(does, duty, "coil", ohm=2.0)
    load_a, supply_a = pulsed_in_time(duty, 2.0, 0.010, 5e-5)
    assert abs(amperes(harness, "X1.1")) == pytest.approx(load_a, rel=2e-4)
    assert -amperes(harness, "GB1.30") == pytest.approx(supply_a, rel=5e-4)


@pytest.mark.parametrize("does", ["pwm_low", "pwm_high"])
def test_a_fan_on_half_pulses_turns_as_on_half_the_volts(does: str) -> None:
    ratings = {"rated_v": 13.5, "rated_a": 8.0, "stall_a": 30.0}
    solution = solved(pulsing(does, 0.5, "motor", **ratings), floor_a=1e-7)
    into = dict(solution.parts())["X1"].terminals
    first, second = (solution.volt(point) for point in into)
    assert first is not None
    assert second is not None
    through = next(iter(into.values()))
    assert abs(first - second) == pytest.approx(0.5 * (SUPPLY_V - DRIVER_OHM * abs(through)), rel=1e-6)


def test_a_full_duty_is_a_driver_that_is_on() -> None:
    harness = pulsing("pwm_low", 1.0, "resistor", ohm=4.0)
    assert amperes(harness, "X1.1") == pytest.approx(SUPPLY_V / (4.0 + DRIVER_OHM), rel=1e-6)


@pytest.mark.parametrize("load", ["resistor", "coil"])
def test_no_current_comes_back_out_of_a_pulsed_output(load: str) -> None:
    """The load's own feed is open, and a lamp hangs on the same dead feed: nothing feeds it through the unit."""
    s = Sketch()
    emf(s, SUPPLY_V)
    terminals = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"), "q": UnitTerminal("pwm_low", ohm=0.1, duty=0.3),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=terminals)
    s.part("X1", load, ohm=3.0)
    s.part("E1", "lamp", rated_v=12.0, rated_w=21.0)
    s.splice("SP1")
    s.wire("GB1.30", "SP1", 1.0, 100.0, name="W_feed")
    s.found("SP1/W_feed", math.inf)
    first, second = s.harness.parts["X1"].terminals() or ()
    joined(s, ("GB1.30", "A1.30"), ("A1.31", "GB1.31"), (f"X1.{second}", "A1.q"))
    s.wire("SP1", f"X1.{first}")
    s.wire("SP1", "E1.1")
    s.wire("E1.31" if "31" in (s.harness.parts["E1"].terminals() or ()) else "E1.2", "GB1.31")
    solution = solved(s.done(), floor_a=1e-7)
    assert solution.states["A1/q"] == "blocked"
    assert all(abs(a) < 1e-6 for a in dict(solution.parts())["X1"].terminals.values())


def sensing(supplied: bool) -> Harness:
    """Return a unit behind the key that reads a thermistor and keeps a memory at the battery."""
    s = Sketch()
    s.battery()
    s.switch("S1", off=(), on=(("1", "2"),))
    terminals = {
        "15": UnitTerminal("supply"), "30": UnitTerminal("draw", amps=0.02), "31": UnitTerminal("ground"),
        "m": UnitTerminal("draw", amps=1.5), "s": UnitTerminal("sensor_input", reads="B1"),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=terminals)
    s.part("B1", "ntc", r25_ohm=2000.0, b_k=3500.0)
    s.wire("GB1.30", "S1.1")
    s.wire("S1.2", "A1.15")
    s.wire("S1.2", "A1.m")
    s.wire("GB1.30", "A1.30")
    s.wire("A1.31", "GB1.31")
    s.wire("A1.s", "B1.1")
    s.wire("B1.31" if "31" in (s.harness.parts["B1"].terminals() or ()) else "B1.2", "GB1.31")
    s.mode("now", set={"S1": "on" if supplied else "off"}, senders={"B1": "80"})
    return s.done()


def test_what_a_memory_draws_does_not_vanish_with_the_supply_of_its_unit() -> None:
    on, off = solved(sensing(True), "now"), solved(sensing(False), "now")
    for solution, state, given_a in ((on, "on", 1.52), (off, "cut out", 0.02)):
        assert solution.states["A1/30"] == "on"
        assert solution.states["A1/m"] == state
        assert -dict(solution.parts())["GB1"].terminals["GB1.30"] == pytest.approx(given_a, rel=0.01)


def test_a_unit_without_supply_reads_nothing() -> None:
    live, dead = sensing(True), sensing(False)
    said = readings(live, solved(live, "now"))["A1/s measured"]
    assert said.value == pytest.approx(80.0, abs=1.0)  # 1.5 A lift the ground of the unit
    unread = readings(dead, solved(dead, "now"))["A1/s measured"]
    assert unread.value is None
    assert unread.words == "no supply, reads nothing"


def test_a_flasher_has_the_ohms_of_its_own() -> None:
    s = Sketch()
    s.battery()
    s.part("K1", "flasher", rated_w=46.0, ohm=0.25)
    network = expand(s.done(), None, Overrides())
    assert network.branches.resistance_ohm[network.joints["K1"]] == 0.25
