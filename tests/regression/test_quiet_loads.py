"""What does nothing is not told: loads that are off, small rises in cold filaments, series resistors (our sums)."""

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.electrics.sneak import sneak_paths
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.sketch import Sketch


def sketch() -> Sketch:
    s = Sketch()
    s.battery()
    s.body("shell", wing=0.2, bed=0.6)
    s.ground("GP1", "shell.wing")
    s.wire("GB1.31", "GP1", 16.0, 400)
    return s


def shared_ground(mohm: float) -> Harness:
    """A 10 A heater and two indicator lamps, fed together; one lamp shares the heater's stud of `mohm`."""
    s = sketch()
    s.switch("S1", released=(), pressed=(("30", "L"),))
    s.part("E1", "heater", rated_v=12.0, rated_w=120.0)
    s.ground("GP2", "shell.bed")
    s.found("GP2", mohm)
    for lamp, ground in (("E2", "GP2"), ("E3", "GP1")):
        s.part(lamp, "lamp", rated_v=13.5, rated_w=21.0)
        s.wire("S1.L", f"{lamp}.1")
        s.wire(f"{lamp}.31", ground)
    s.wire("GB1.30", "E1.1", 2.5)
    s.wire("GB1.30", "S1.30", 2.5)
    s.wire("E1.2", "GP2", 2.5)
    return s.done()


@pytest.mark.parametrize(("mohm", "told"), [(1.0, set()), (60.0, set()), (1000.0, {"E2", "E3"})])
def test_a_small_rise_in_cold_filaments_is_no_sneak_path(mohm: float, told: set[str]) -> None:
    network = expand(shared_ground(mohm))
    solution = solve(network)
    assert {path.element for path in sneak_paths(network, solution)} == told


def test_a_load_fed_through_its_series_resistor_is_fed() -> None:
    s = sketch()
    s.part("R1", "resistor", ohm=1.0)
    s.part("M1", "motor", rated_v=13.5, rated_a=8.0, stall_a=30.0)
    s.wire("GB1.30", "R1.1", 2.5)
    s.wire("R1.2", "M1.15", 2.5)
    s.wire("M1.31", "GP1", 2.5)
    network = expand(s.done())
    assert sneak_paths(network, solve(network)) == []


def test_a_lamp_that_is_taken_out_is_dark_though_its_socket_has_volts() -> None:
    harness = shared_ground(1.0)
    pressed = Overrides().with_position("S1", "pressed").with_load("E3", "off")
    found = readings(harness, solve(expand(harness, overrides=pressed)))
    assert found["E3 volts"].value == pytest.approx(12.0, abs=0.7)
    assert found["E3 light"].value == 0.0
    assert (found["E2 light"].value or 0.0) > 50.0


def test_a_unit_that_declares_no_supply_draws() -> None:
    s = sketch()
    terminals = {"75": UnitTerminal("draw", amps=1.9), "31": UnitTerminal("ground")}
    s.part("A1", "control_unit", terminals=terminals)
    s.wire("GB1.30", "A1.75")
    s.wire("A1.31", "GP1")
    solution = solve(expand(s.done()))
    assert dict(solution.parts())["A1"].terminals["A1.75"] == pytest.approx(1.9, rel=1e-6)
