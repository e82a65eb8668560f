"""Worked cases of the trade on the supply side: cranking, grounds, charging. Common practice, no source.

The figures were read in trade articles and owners' accounts; the milliohms behind them are our own arithmetic, which is
what these tests repeat with whole harnesses. Never counted as proof.
"""

import pytest

from harness_studio.electrics.solution import Solution
from harness_studio.model.harness import Harness
from tests.support.physics import solved
from tests.support.sketch import Sketch
from tests.support.worked_cases import charging, cranked


def cranking(ground_mohm: float, body_mohm: float = 0.0, crank_a: float = 200.0) -> Harness:
    """Return a starter whose current returns through a battery cable's clamp and, if asked, a body's metal."""
    s = cranked(body_mohm, crank_a)
    s.found("GB1.31/W_ground", ground_mohm)
    return s.done()


def amperes(solution: Solution, part: str) -> float:
    return max(abs(i) for i in dict(solution.parts())[part].terminals.values())


@pytest.mark.parametrize(("mohm", "drop_v", "watts"), [(6.45, 1.29, 258.0), (0.5, 0.10, 20.0)])
def test_1_weak_ground_cable_slow_crank(mohm: float, drop_v: float, watts: float) -> None:
    """1.29 V lost on the ground side while cranking, 0.1 V with a new cable: at 200 A 6.45 and 0.5 mΩ, 258 W lost."""
    solution = solved(cranking(mohm), "crank")
    joint = solution.joint("GB1.31/W_ground")
    assert amperes(solution, "M1") == pytest.approx(200.0, rel=1e-6)
    assert abs(joint.drop_v) == pytest.approx(drop_v, abs=1e-6)
    assert abs(joint.drop_v * joint.amperes) == pytest.approx(watts, abs=0.5)


def test_1_the_engine_turns_on_less_volts() -> None:
    weak, sound = (solved(cranking(mohm), "crank") for mohm in (6.45, 0.5))

    def starter_v(solution: Solution) -> float:
        return float(solution.volt("M1.30") or 0.0) - float(solution.volt("M1.31") or 0.0)

    assert starter_v(sound) - starter_v(weak) == pytest.approx(1.19, abs=0.005)


@pytest.mark.parametrize(("mohm", "drop_v"), [(7.5, 1.5), (10.0, 2.0)])
def test_2_battery_grounded_to_the_trunk_floor(mohm: float, drop_v: float) -> None:
    """1.5 to 2 V lost on the ground side: at 200 A a body path of 7.5 to 10 mΩ."""
    solution = solved(cranking(0.1, mohm), "crank")
    body = solution.joint("shell.floor")
    assert abs(body.drop_v) == pytest.approx(drop_v, abs=1e-6)
    rise_v = solution.volt("engine.block")
    assert rise_v is not None
    assert rise_v == pytest.approx(drop_v, abs=0.25)  # cable, strap and studs add a little


def test_3_kit_car_with_one_wire_to_the_engine() -> None:
    """34 A in a 10-gauge engine-to-body wire with fans and lights on: 1 m of 4.13 mΩ/m loses 0.14 V, and joints."""
    s = Sketch()
    s.battery(rest_v=12.6, internal_mohm=8.0)
    s.body("engine", block=0.02)
    s.body("shell", front=0.05)
    s.wire("GB1.31", "engine.block", 25.0, 500.0)
    s.wire("engine.block", "shell.front", None, 1000.0, name="W_only", awg="10")
    for number, load_a in enumerate((16.0, 9.0, 9.0)):
        s.part(f"E{number}", "current_load", rated_a=load_a, mount=("31", "shell.front"))
        s.wire("GB1.30", f"E{number}.15", 4.0, 1500.0)
    solution = solved(s.done(), warm=False)
    wire = solution.wire("W_only")
    assert abs(wire.amperes) == pytest.approx(34.0, abs=1e-6)
    assert abs(wire.drop_v) == pytest.approx(0.14, abs=0.03)
    rise_v = solution.volt("shell.front")
    assert rise_v is not None
    assert rise_v > abs(wire.drop_v)


def test_3_the_wire_gets_hot() -> None:
    """17 A is what a bundle's table gives this size: at 34 A it is far above ambient, and loses more."""
    s = Sketch()
    s.battery()
    s.body("shell", front=0.05)
    s.wire("GB1.31", "shell.front", None, 1000.0, name="W_only", awg="10")
    s.part("E1", "current_load", rated_a=34.0, mount=("31", "shell.front"))
    s.wire("GB1.30", "E1.15", 10.0, 1500.0)
    cold, warm = (solved(s.done(), warm=w) for w in (False, True))
    assert warm.wire_temperatures_c()["W_only"] > 35.0
    assert abs(warm.wire("W_only").drop_v) > 1.05 * abs(cold.wire("W_only").drop_v)


def test_4_a_hundred_amperes_through_ten_milliohms() -> None:
    """Exactly 1.00 V is lost on a charging path."""
    s = charging(16.0)
    s.found("G1.B+/W_charge", 10.0)
    solution = solved(s.done(), "run")
    assert solution.states["G1"] == "limited"
    joint = solution.joint("G1.B+/W_charge")
    assert abs(joint.amperes) == pytest.approx(100.0, abs=0.01)
    assert abs(joint.drop_v) == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize(("load_a", "drop_v"), [(100.0, 0.5), (30.0, 0.15)])
def test_17_main_ground_cable_of_five_milliohms(load_a: float, drop_v: float) -> None:
    """Enough to upset engine electronics: half a volt at 100 A."""
    s = Sketch()
    s.battery(rest_v=12.6)
    s.body("engine", block=0.02)
    s.wire("GB1.31", "engine.block", 35.0, 500.0, name="W_main")
    s.found("GB1.31/W_main", 5.0)
    s.part("E1", "current_load", rated_a=load_a, mount=("31", "engine.block"))
    s.wire("GB1.30", "E1.15", 35.0, 900.0)
    assert abs(solved(s.done()).joint("GB1.31/W_main").drop_v) == pytest.approx(drop_v, abs=1e-6)


def test_19_star_washer_over_paint() -> None:
    """11 mΩ at 55 A, steady: 0.6 V."""
    s = Sketch()
    s.battery(rest_v=12.6)
    s.body("shell", front=0.05)
    s.ground("GP1", "shell.front", "M8")
    s.wire("GB1.31", "shell.front", 16.0, 400.0)
    s.part("E1", "current_load", rated_a=55.0)
    s.wire("GB1.30", "E1.15", 10.0, 900.0)
    s.wire("E1.31", "GP1", 10.0, 400.0)
    s.found("GP1", 11.0)
    joint = solved(s.done()).joint("GP1")
    assert abs(joint.drop_v) == pytest.approx(0.605, abs=1e-6)
    assert abs(joint.drop_v * joint.amperes) == pytest.approx(33.3, abs=0.1)
