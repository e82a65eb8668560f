"""Gauges against arithmetic of our own from their equations. Computed, never counted as proof.

Two-coil: battery to coil A to node S; S to coil B to the gauge's ground; S to the sender to the sender's ground. The
needle follows what the gauge sees between S and its own ground: R_s·(V_S − V_gauge)/(V_S − V_sender).
"""

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.electrics.solution import Solution
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.gauges import Scale
from tests.support.bare import bared, emf, joined
from tests.support.physics import IDEAL_SOURCE_A, solved
from tests.support.sketch import Sketch

SEEN_OHM = [
    (0.0, 0.0, 100.0),
    (0.3, 0.0, 93.7),
    (1.0, 0.0, 80.0),
    (3.0, 0.0, 47.3),
    (0.0, 0.3, 106.7),
    (1.0, 1.0, 100.0),
]


def lifted(s: Sketch, name: str, volts: float) -> str:
    """Return a point so many volts above the battery's post, held there."""
    s.splice(name)
    if volts:
        emf(s, volts, f"GB{name}")
        joined(s, (f"GB{name}.30", name), (f"GB{name}.31", "GB1.31"))
    else:
        joined(s, (name, "GB1.31"))
    return name


def two_coil(
    sender_ohm: float, gauge_v: float = 0.0, sender_v: float = 0.0, supply_v: float = 13.5, **ratings: object
) -> Harness:
    """Return a two-coil gauge with its ground and its sender's so many volts above the battery's post."""
    s = Sketch()
    emf(s, supply_v)
    s.part("P1", "gauge", movement="two_coil", coil_ohm=(90.0, 90.0), **ratings)
    s.part("R1", "resistor", ohm=sender_ohm)
    joined(s, ("GB1.30", "P1.15"), ("P1.31", lifted(s, "a", gauge_v)), ("P1.S", "R1.1"))
    joined(s, ("R1.2", lifted(s, "b", sender_v)))
    return bared(s)


def read(harness: Harness, key: str) -> tuple[float, Solution]:
    solution = solved(harness, floor_a=IDEAL_SOURCE_A)
    value = readings(harness, solution)[key].value
    assert value is not None
    return value, solution


@pytest.mark.parametrize(("gauge_v", "sender_v", "ohm"), SEEN_OHM)
def test_what_a_two_coil_gauge_sees(gauge_v: float, sender_v: float, ohm: float) -> None:
    assert read(two_coil(100.0, gauge_v, sender_v), "P1 measured")[0] == pytest.approx(ohm, abs=0.05)


@pytest.mark.parametrize("supply_v", [9.0, 11.0, 13.5, 15.0])
def test_a_two_coil_gauge_does_not_mind_its_supply(supply_v: float) -> None:
    assert read(two_coil(100.0, supply_v=supply_v), "P1 measured")[0] == pytest.approx(100.0, abs=1e-3)


def test_a_lifted_ground_matters_more_the_lower_the_supply() -> None:
    low, high = (read(two_coil(100.0, 1.0, supply_v=v), "P1 measured")[0] for v in (10.0, 15.0))
    assert low < high < 100.0


SCALE = Scale(ohm={240.0: 0.0, 100.0: 0.5, 33.0: 1.0}, marks={0.0: "E", 0.5: "1/2", 1.0: "F"})


@pytest.mark.parametrize(("ohm", "needle"), [(240.0, 0.0), (100.0, 0.5), (33.0, 1.0)])
def test_the_needle_stands_at_the_marks_of_its_scale(ohm: float, needle: float) -> None:
    assert read(two_coil(ohm, scale=SCALE), "P1 needle")[0] == pytest.approx(needle, abs=1e-6)


def test_between_marks_the_needle_follows_the_parts_of_the_volts() -> None:
    """R/(R + 90 Ω) of 60 Ω lies at (0.4 − 0.5263)/(0.2683 − 0.5263) of the way from 1/2 to F."""
    needle = read(two_coil(60.0, scale=SCALE), "P1 needle")[0]
    way = (60.0 / 150.0 - 100.0 / 190.0) / (33.0 / 123.0 - 100.0 / 190.0)
    assert needle == pytest.approx(0.5 + 0.5 * way, abs=1e-6)


def test_the_ends_of_a_sender_are_finite_for_the_needle() -> None:
    """A shorted sender wire goes past full to the stop, an open one past empty."""
    assert read(two_coil(1e-3, scale=SCALE), "P1 needle")[0] == pytest.approx(1.08)
    assert read(two_coil(1e9, scale=SCALE), "P1 needle")[0] == pytest.approx(-0.08)


def bimetal(sender_ohm: float, supply_v: float, ground_v: float = 0.0, nominal_v: float = 10.0) -> Harness:
    """Return a bimetal gauge of 60 Ω behind a stabiliser whose own ground lies `ground_v` above the battery's post."""
    s = Sketch()
    emf(s, supply_v)
    s.part("T1", "stabiliser", nominal_v=nominal_v)
    s.part("P1", "gauge", movement="bimetal", coil_ohm=(60.0,), full_ma=100.0)
    s.part("R1", "resistor", ohm=sender_ohm)
    joined(s, ("GB1.30", "T1.15"), ("T1.31", lifted(s, "a", ground_v)), ("T1.out", "P1.15"), ("P1.S", "R1.1"))
    joined(s, ("R1.2", "GB1.31"), ("P1.31", "GB1.31"))
    return bared(s)


def test_a_bimetal_needle_follows_the_square_of_its_current() -> None:
    """10 V over 0.1 + 60 + 140 Ω is 49.98 mA: a quarter of the scale of a gauge that is full at 100 mA."""
    assert read(bimetal(140.0, 13.5), "P1 needle")[0] == pytest.approx((10.0 / 200.1 / 0.1) ** 2, rel=1e-6)


@pytest.mark.parametrize(
    ("supply_v", "state"), [(9.0, "passing"), (10.5, "regulating"), (14.4, "regulating")]
)
def test_a_stabiliser_holds_its_output_while_its_input_is_above(supply_v: float, state: str) -> None:
    needle, solution = read(bimetal(140.0, supply_v), "P1 needle")
    assert solution.states["T1"] == state
    held_v = min(10.0, supply_v)
    assert needle == pytest.approx((held_v / 200.1 / 0.1) ** 2, rel=1e-5)


@pytest.mark.parametrize("ground_v", [0.2, 0.5, 1.0])
def test_a_stabiliser_holds_volts_above_its_own_ground(ground_v: float) -> None:
    needle, solution = read(bimetal(140.0, 13.5, ground_v), "P1 needle")
    assert solution.volt("T1.out") == pytest.approx(
        10.0 + ground_v - 0.1 * (10.0 + ground_v) / 200.1, rel=1e-6
    )
    assert needle == pytest.approx(((10.0 + ground_v) / 200.1 / 0.1) ** 2, rel=1e-5)


def test_voltmeter_and_ammeter() -> None:
    s = Sketch()
    emf(s, 13.0)
    volts = Scale(volt={8.0: 0.0, 16.0: 1.0}, marks={0.0: "8", 0.5: "12", 1.0: "16"})
    amperes = Scale(ampere={-60.0: 0.0, 60.0: 1.0}, marks={0.0: "-60", 0.5: "0", 1.0: "+60"})
    s.part("P1", "voltmeter", ohm=1000.0, scale=volts)
    s.part("P2", "ammeter", ohm=0.001, scale=amperes)
    s.part("R1", "resistor", ohm=1.299)
    joined(
        s, ("GB1.30", "P1.1"), ("P1.2", "GB1.31"), ("GB1.30", "P2.1"), ("P2.2", "R1.1"), ("R1.2", "GB1.31")
    )
    harness = bared(s, keep=("P2",))
    assert read(harness, "P1 needle")[0] == pytest.approx((13.0 - 8.0) / 8.0, abs=1e-5)
    assert read(harness, "P2 needle")[0] == pytest.approx((10.0 + 60.0) / 120.0, abs=1e-5)


def test_a_gauge_without_supply_shows_nothing() -> None:
    harness = two_coil(100.0, supply_v=13.5, scale=SCALE)
    s = Sketch()
    emf(s, 13.5)
    s.part("P1", "gauge", coil_ohm=(90.0, 90.0), scale=SCALE)
    s.part("R1", "resistor", ohm=100.0)
    joined(s, ("P1.31", "GB1.31"), ("P1.S", "R1.1"), ("R1.2", "GB1.31"))
    unfed = bared(s)
    solution = solved(unfed, floor_a=IDEAL_SOURCE_A)
    assert readings(unfed, solution)["P1 needle"].value is None
    assert read(harness, "P1 needle")[0] == pytest.approx(0.5, abs=1e-6)
