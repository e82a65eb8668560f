"""What a meter shows between two points."""

import math

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.electrics.meter import MeterReading, meter, volts_between
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.sketch import Sketch


def lamp(mohm: float | None = None) -> Harness:
    s = Sketch()
    s.battery(rest_v=12.0, internal_mohm=10.0)
    s.switch("S1", on=(("30", "87"),), off=())
    s.splice("SP1")
    s.part("R1", "resistor", ohm=2.0)
    s.wire("GB1.30", "S1.30", 1.5, 500.0)
    s.wire("S1.87", "SP1", 1.5, 500.0)
    s.wire("SP1", "R1.1", 1.5, 500.0, name="W_feed")
    s.wire("R1.2", "GB1.31", 1.5, 500.0, name="W_ground")
    s.part("R2", "resistor", ohm=5.0)
    s.wire("R2.1", "R2.2", 1.5, 100.0)
    if mohm is not None:
        s.found("GB1.31/W_ground", mohm)
    return s.done()


def reading(harness: Harness, plus: str, minus: str, overrides: Overrides | None = None) -> MeterReading:
    network = expand(harness, None, overrides)
    return meter(network, solve(network), solve(expand(harness, None, overrides, clean=True)), plus, minus)


def test_across_a_joint_that_carries_current() -> None:
    found = reading(lamp(200.0), "W_ground@GB1.31", "GB1.31")
    assert found.between == "metal"
    assert found.current_flows
    assert found.amperes == pytest.approx(12.0 / 2.25, rel=0.02)
    assert found.volts == pytest.approx(0.2 * float(found.amperes or 0.0), rel=1e-6)
    assert found.clean_volts is not None
    assert found.clean_volts < 0.01


def test_no_volts_without_current_say_nothing() -> None:
    found = reading(lamp(200.0), "R1.2", "GB1.31", Overrides(positions=(("S1", "off"),)))
    assert found.volts == pytest.approx(0.0, abs=1e-9)
    assert found.between == "metal"
    assert not found.current_flows


def test_across_a_load() -> None:
    found = reading(lamp(), "R1.1", "R1.2")
    assert found.between == "a load or a source"
    assert found.amperes is None
    assert not found.current_flows
    assert found.volts is not None
    assert 11.0 < found.volts < 12.0


def test_with_the_tips_changed_the_sign_changes() -> None:
    first, second = reading(lamp(), "R1.1", "R1.2"), reading(lamp(), "R1.2", "R1.1")
    assert first.volts == -(second.volts or 0.0)


def test_on_one_point() -> None:
    found = reading(lamp(), "R1.1", "R1.1")
    assert (found.between, found.volts) == ("one point", 0.0)


def test_in_an_island_there_are_no_volts() -> None:
    found = reading(lamp(), "R2.1", "GB1.31")
    assert found.volts is None
    assert found.clean_volts is None


def test_an_open_joint_shows_the_whole_battery() -> None:
    found = reading(lamp(), "W_ground@GB1.31", "GB1.31", Overrides().with_joint("GB1.31/W_ground", math.inf))
    assert found.volts == pytest.approx(12.0, abs=1e-6)
    assert found.between == "a load or a source"


def test_a_point_that_is_not_there_is_refused_with_the_nearest() -> None:
    solution = solve(expand(lamp()))
    with pytest.raises(AddressError, match=r"'R1.7' is no point .* nearest is 'R1\.[12]'"):
        volts_between(solution, "R1.7", "GB1.31")
