"""Readings of solved harnesses: numbers, units and words of each kind, and what changed."""

import pytest

from harness_studio.electrics.readings import Reading, compare, readings
from harness_studio.electrics.solution import Solution
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.gauges import Scale
from harness_studio.network.network import Overrides
from tests.support.bare import bared, emf, joined
from tests.support.physics import IDEAL_SOURCE_A, solved
from tests.support.sketch import Sketch


def straight(kind: str, volts: float = 13.5, **ratings: object) -> tuple[Harness, Solution]:
    """Return a part straight at a source, solved."""
    s = Sketch()
    emf(s, volts)
    s.part("X1", kind, **ratings)
    first, second = s.harness.parts["X1"].terminals()[:2]  # type: ignore[index]
    joined(s, ("GB1.30", f"X1.{first}"), (f"X1.{second}", "GB1.31"))
    harness = bared(s)
    return harness, solved(harness, floor_a=IDEAL_SOURCE_A)


def one(kind: str, what: str, volts: float = 13.5, **ratings: object) -> Reading:
    return readings(*straight(kind, volts, **ratings))[f"X1 {what}"]


def test_a_lamp() -> None:
    light = one("lamp", "light", rated_v=13.5, rated_w=21.0)
    assert (light.value, light.unit, light.words) == (pytest.approx(100.0, abs=1e-3), "%", "100 % light")
    assert one("lamp", "light", 0.5, rated_v=13.5, rated_w=21.0).words == "dark"
    assert one("lamp", "light", 14.4, rated_v=12.0, rated_w=21.0).value == pytest.approx(
        100.0 * 1.2**3.4, rel=1e-4
    )
    assert one("lamp", "volts", rated_v=13.5, rated_w=21.0).words == "13.50 V"


def test_a_motor() -> None:
    for torque in ("fan", "constant"):
        speed = one("motor", "speed", torque=torque, rated_v=13.5, rated_a=5.0, stall_a=20.0)
        assert speed.value == pytest.approx(100.0, abs=1e-3)
        assert speed.words == "100 % speed"
    stalled = one("motor", "speed", 2.0, torque="constant", rated_v=13.5, rated_a=5.0, stall_a=20.0)
    assert (stalled.value, stalled.words) == (0.0, "stands")


@pytest.mark.parametrize("state", ["off", "stall", "starting"])
def test_a_motor_that_does_not_turn(state: str) -> None:
    harness, _ = straight("motor", rated_v=13.5, rated_a=5.0, stall_a=20.0)
    solution = solved(harness, None, Overrides(loads=(("X1", state),)), floor_a=IDEAL_SOURCE_A)
    assert readings(harness, solution)["X1 speed"].value == 0.0
    drawn = -dict(solution.parts())["GB1"].terminals["GB1.30"]
    assert drawn == pytest.approx(0.0 if state == "off" else 20.0, rel=1e-5, abs=1e-9)


@pytest.mark.parametrize("kind", ["resistor", "heater", "current_load", "converter", "coil"])
def test_volts_of_plain_loads(kind: str) -> None:
    assert one(kind, "volts").value == pytest.approx(13.5, abs=1e-3)


def test_a_relay_tells_its_state() -> None:
    s = Sketch()
    emf(s, 12.0)
    s.part("X1", "relay", coil_ohm=90.0)
    joined(s, ("GB1.30", "X1.86"), ("X1.85", "GB1.31"))
    harness = bared(s)
    assert (
        readings(harness, solved(harness, floor_a=IDEAL_SOURCE_A))["X1 volts"].words == "12.00 V, pulled in"
    )


def test_a_voltmeter_with_and_without_a_scale() -> None:
    scale = Scale(volt={8.0: 0.0, 16.0: 1.0}, marks={0.0: "8", 0.5: "12", 1.0: "16"})
    needle = one("voltmeter", "needle", 12.0, ohm=1000.0, scale=scale)
    assert (needle.value, needle.unit, needle.words) == (pytest.approx(0.5, abs=1e-6), "of scale", "at 12")
    plain = one("voltmeter", "measured", 12.0, ohm=1000.0)
    assert (plain.unit, plain.words) == ("V", "12.00 V")


def sensor(sensor_ohm: float, **ntc: object) -> tuple[Harness, Solution]:
    s = Sketch()
    emf(s, 13.5)
    does = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
        "s": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=1000.0, reads="B1" if ntc else None),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=does)
    s.part("R1", "resistor", ohm=sensor_ohm)
    if ntc:
        s.part("B1", "ntc", **ntc)
    joined(s, ("GB1.30", "A1.30"), ("A1.31", "GB1.31"), ("A1.s", "R1.1"), ("R1.2", "GB1.31"))
    harness = bared(s)
    return harness, solved(harness, floor_a=IDEAL_SOURCE_A)


def test_what_a_unit_measures() -> None:
    plain = readings(*sensor(1000.0))["A1/s measured"]
    assert (plain.value, plain.unit) == (pytest.approx(1000.0, rel=1e-6), "Ω")
    assert plain.words == "1000.0 Ω (2.500 V)"
    celsius = readings(*sensor(2000.0, r25_ohm=2000.0, b_k=3500.0))["A1/s measured"]
    assert (celsius.value, celsius.unit) == (pytest.approx(25.0, abs=1e-3), "°C")


@pytest.mark.parametrize(("ohm", "volts"), [(1e8, "5.000"), (0.5, "0.002")])
def test_a_broken_sensor_wire_is_out_of_range_and_a_short_is_hot(ohm: float, volts: str) -> None:
    found = readings(*sensor(ohm, r25_ohm=2000.0, b_k=3500.0))["A1/s measured"]
    if ohm > 1.0:
        assert (found.value, found.words) == (None, f"{volts} V, out of range")
    else:
        assert found.value is not None
        assert found.value > 200.0


def test_a_sensor_below_the_units_ground_is_out_of_range() -> None:
    s = Sketch()
    emf(s, 13.5)
    emf(s, 1.0, "GB2")
    does = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
        "s": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=1000.0),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=does)
    s.part("R1", "resistor", ohm=10.0)
    joined(
        s,
        ("GB1.30", "A1.30"),
        ("A1.31", "GB1.31"),
        ("A1.s", "R1.1"),
        ("R1.2", "GB2.31"),
        ("GB2.30", "GB1.31"),
    )
    harness = bared(s)
    found = readings(harness, solved(harness, floor_a=IDEAL_SOURCE_A))["A1/s measured"]
    assert found.value is None
    assert found.words.endswith("out of range")


def test_a_flasher_that_carries_nothing_is_dark() -> None:
    s = Sketch()
    emf(s, 12.0)
    s.part("K1", "flasher", movement="thermal", rated_w=42.0)
    joined(s, ("GB1.30", "K1.49"), ("K1.31", "GB1.31"))
    harness = bared(s, keep=("K1",))
    assert readings(harness, solved(harness, floor_a=IDEAL_SOURCE_A))["K1 rate"].words == "dark"


def test_an_ammeter_without_a_scale() -> None:
    s = Sketch()
    emf(s, 12.0)
    s.part("P1", "ammeter", ohm=0.001)
    s.part("R1", "resistor", ohm=5.999)
    joined(s, ("GB1.30", "P1.1"), ("P1.2", "R1.1"), ("R1.2", "GB1.31"))
    harness = bared(s, keep=("P1",))
    assert readings(harness, solved(harness, floor_a=IDEAL_SOURCE_A))["P1 measured"].words == "2.00 A"


def told(value: float | None, what: str = "light", unit: str = "%") -> dict[str, Reading]:
    return {"X1 " + what: Reading("X1", what, value, unit, "")}


def test_changes_are_ranked_by_what_a_person_notices() -> None:
    clean = {**told(100.0), **told(0.5, "needle", "of scale"), **told(13.0, "volts", "V")}
    now = {**told(95.0), **told(0.6, "needle", "of scale"), **told(13.0, "volts", "V")}
    found = compare(clean, now)
    assert [c.reading for c in found] == ["X1 needle", "X1 light"]
    assert found[0].weight == pytest.approx(0.1 / 0.04)
    assert found[1].weight == pytest.approx(5.0 / 10.0)


def test_a_reading_that_vanishes_or_appears_weighs_most() -> None:
    assert compare(told(20.0, "measured", "°C"), told(None, "measured", "°C"))[0].weight == 100.0
    assert compare(told(None, "measured", "°C"), told(20.0, "measured", "°C"))[0].weight == 100.0
    assert compare(told(None, "measured", "°C"), told(None, "measured", "°C")) == []
    assert compare({}, told(3.0)) == []
