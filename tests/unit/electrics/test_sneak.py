"""Sneak paths: which loads carry current they should not, why, and through what."""

import math

import pytest

from harness_studio.electrics.sneak import SneakPath, sneak_paths
from harness_studio.model.harness import Harness
from harness_studio.network.network import Overrides
from tests.support.physics import solved
from tests.support.sketch import Sketch
from tests.support.vehicle import vehicle


def found(
    harness: Harness, mode: str | None = None, overrides: Overrides | None = None
) -> dict[str, SneakPath]:
    solution = solved(harness, mode, overrides)
    return {p.element: p for p in sneak_paths(solution.network, solution)}


def shared_return() -> Harness:
    """Return two lamps, each with a switch of its own, whose common return ends at GB1.31 by W_return."""
    s = Sketch()
    s.battery()
    s.splice("SPR")
    s.wire("SPR", "GB1.31", 1.5, 500.0, name="W_return")
    for number in (1, 2):
        s.switch(f"S{number}", off=(), on=(("30", "87"),))
        s.part(f"E{number}", "lamp", rated_v=12.0, rated_w=21.0)
        s.wire("GB1.30", f"S{number}.30", 1.5, 500.0)
        s.wire(f"S{number}.87", f"E{number}.1", 1.5, 500.0)
        s.wire(f"E{number}.31", "SPR", 1.5, 500.0)
    s.part("R1", "heater", rated_v=12.0, rated_w=30.0)
    s.wire("S2.87", "R1.1", 1.5, 500.0)
    s.wire("R1.2", "GB1.31", 1.5, 500.0)
    s.mode("one", set={"S1": "on", "S2": "off"})
    s.mode("both", set={"S1": "on", "S2": "on"})
    return s.done()


OPEN = Overrides().with_joint("GB1.31/W_return", math.inf)


def test_a_sound_harness_has_none() -> None:
    assert found(shared_return(), "one") == {}
    assert found(shared_return(), "both") == {}


def test_with_the_return_open_current_goes_back_through_the_other_lamp() -> None:
    """Lamp 1 lights through lamp 2, backwards, and through the heater that lamp 2's switch feeds."""
    paths = found(shared_return(), "one", OPEN)
    assert {e: p.why for e, p in paths.items()} == {"E1": "no return", "E2": "backwards", "R1": "not fed"}
    for path in paths.values():
        assert path.path == ("E1", "E2", "R1")
        assert path.amperes == pytest.approx(paths["E1"].amperes, rel=1e-6)


def test_where_nothing_flows_there_is_no_path() -> None:
    """Both switched on, both lamps lie at battery volts on both sides: dark, and no current."""
    assert found(shared_return(), "both", OPEN) == {}


def test_the_greatest_current_is_first() -> None:
    solution = solved(shared_return(), "one", OPEN)
    amperes = [p.amperes for p in sneak_paths(solution.network, solution)]
    assert amperes == sorted(amperes, reverse=True)


def two_feeds(difference_ohm: float) -> Harness:
    """Return a lamp between two feeds of which one has more resistance."""
    s = Sketch()
    s.battery()
    for side, ohm in (("a", 0.001), ("b", difference_ohm)):
        s.splice(f"SP_{side}")
        s.wire("GB1.30", f"SP_{side}", 1.5, 200.0, name=f"W_{side}")
        s.found(f"SP_{side}/W_{side}", 1000.0 * ohm)
        s.part(f"R_{side}", "heater", rated_v=12.0, rated_w=60.0)
        s.wire(f"SP_{side}", f"R_{side}.1", 1.5, 200.0)
        s.wire(f"R_{side}.2", "GB1.31", 1.5, 200.0)
    s.part("E1", "lamp", rated_v=12.0, rated_w=2.0)
    s.wire("SP_a", "E1.1", 0.75, 200.0)
    s.wire("SP_b", "E1.31", 0.75, 200.0)
    return s.done()


def test_less_than_a_volt_between_two_feeds_is_not_told() -> None:
    assert found(two_feeds(0.1)) == {}


def test_a_lamp_between_two_feeds_that_glows_has_no_return() -> None:
    paths = found(two_feeds(1.5))
    assert set(paths) == {"E1"}
    assert paths["E1"].why == "no return"


def test_parts_meant_to_be_passed_are_no_sneak_path() -> None:
    """A lamp behind a diode, a gauge's sender, a relay coil with its diode, a charge lamp."""
    s = Sketch()
    s.battery()
    s.part("R1", "diode")
    s.part("E1", "lamp", rated_v=12.0, rated_w=5.0)
    s.part("P1", "gauge", coil_ohm=(90.0, 90.0))
    s.part("B1", "sender", ohm={"now": 100.0})
    s.part("K1", "relay", coil_diode="85 to 86")
    s.part("G1", "alternator")
    s.part("E2", "lamp", rated_v=12.0, rated_w=3.0)
    for a, b in (
        ("GB1.30", "R1.A"), ("R1.K", "E1.1"), ("E1.31", "GB1.31"), ("GB1.30", "P1.15"), ("P1.31", "GB1.31"),
        ("P1.S", "B1.1"), ("B1.31", "GB1.31"), ("GB1.30", "K1.86"), ("K1.85", "GB1.31"), ("G1.B+", "GB1.30"),
        ("G1.B-", "GB1.31"), ("GB1.30", "E2.1"), ("E2.31", "G1.D+"),
    ):  # fmt: skip
        s.wire(a, b, 1.0, 500.0)
    for engine in ("off", "running"):
        s.mode(engine, engine=engine)
    harness = s.done()
    assert found(harness, "off") == {}
    assert found(harness, "running") == {}


@pytest.mark.parametrize("mode", ["key_on", "running_lamps", "braking"])
def test_a_sound_vehicle_has_none(mode: str) -> None:
    assert found(vehicle(1, 60), mode) == {}
