"""Newton's method on small systems: where it starts, how it steps, when it gives up."""

import numpy as np
import pytest

from harness_studio.base.errors import SolveError
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.newton import newton
from harness_studio.electrics.states import branch_ohm
from harness_studio.electrics.system import System, build_system
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network
from tests.support.physics import solved
from tests.support.sketch import Sketch


def system_of(harness: Harness, **states: str) -> tuple[Network, System]:
    """Return a network and its equations in the first states, or those given."""
    network = expand(harness)
    at = {**FULL.initial(network, None), **states}
    ohm = branch_ohm(network, at, network.branches.resistance_ohm)
    return network, build_system(network, ohm, FULL.pieces(network, at))


def volts(network: Network, system: System, settled_high: np.ndarray, point: str) -> float:
    row = system.reduced.row[system.reduced.node[network.index[point]]]
    return float(settled_high[row])


def everywhere(system: System, start_v: float) -> np.ndarray:
    """Return the same volts everywhere but at the battery's post."""
    return np.where(system.unknown >= 0, start_v, 0.0)


def one_part(kind: str, rest_v: float = 12.0, feed_ohm: float | None = None, **ratings: object) -> Harness:
    """Return a part at a battery, its feed with a resistance if asked."""
    s = Sketch()
    s.battery(rest_v=rest_v, internal_mohm=10.0, charge_mohm=10.0)
    s.part("X1", kind, **ratings)
    first, second = s.harness.parts["X1"].terminals()[:2]  # type: ignore[index]
    s.wire("GB1.30", f"X1.{first}", 1.5, 1000.0, name="W1")
    s.wire(f"X1.{second}", "GB1.31", 1.5, 1000.0)
    if feed_ohm is not None:
        s.found("GB1.30/W1", 1000.0 * feed_ohm)
    return s.done()


def test_a_linear_system_is_solved_in_a_step() -> None:
    network, system = system_of(one_part("resistor", ohm=2.0))
    settled = newton(system)
    assert settled.steps <= 1
    assert volts(network, system, settled.high, "X1.1") == pytest.approx(11.85, abs=0.05)


@pytest.mark.parametrize("kind", ["lamp", "motor", "led", "current_load", "converter"])
@pytest.mark.parametrize("start_v", [-100.0, -3.0, 0.0, 40.0])
def test_any_start_leads_to_the_same_volts(kind: str, start_v: float) -> None:
    """A constant-power load has a second root below: from there it is not sought, but the working one is found."""
    ratings = {"forward_v": 2.0} if kind == "led" else {}
    state = {"X1": "on"} if kind == "converter" else {}
    if kind == "converter" and start_v <= 0.0:
        start_v = 6.0
    _, system = system_of(one_part(kind, **ratings), **state)
    first, again = newton(system), newton(system, everywhere(system, start_v))
    assert again.high == pytest.approx(first.high, abs=1e-6)


def test_the_low_part_keeps_microamperes_through_tenths_of_milliohms() -> None:
    """10 MΩ at 12 V carry 1.2 µA; a tenth of a milliohm loses 0.12 nV, far below the last digit of 12 V."""
    solution = solved(one_part("resistor", ohm=1e7))
    joint = solution.joint("GB1.30/W1")
    assert abs(joint.amperes) == pytest.approx(1.2e-6, rel=1e-6)
    assert abs(joint.drop_v) < 1e-9


def test_without_a_solution_the_load_is_named() -> None:
    _, system = system_of(one_part("converter", feed_ohm=1.0, rated_w=500.0), X1="on")
    with pytest.raises(SolveError, match="at X1") as caught:
        newton(system)
    assert caught.value.element == "X1"
    assert caught.value.iteration is not None
    assert caught.value.iteration > 0


def test_a_diode_into_a_dark_lamp_without_supply() -> None:
    """Both ends of the diode have to move together: cut one by one, their steps would lose what lies between them."""
    s = Sketch()
    s.battery()
    s.switch("S1", off=(), on=(("30", "87"),))
    s.part("R1", "resistor", ohm=100.0)
    s.part("R2", "diode", series_ohm=0.05)
    s.part("E1", "lamp", rated_v=13.5, rated_w=3.0)
    s.part("E2", "lamp", rated_v=13.5, rated_w=55.0)
    s.splice("SP1")
    for a, b in (
        ("GB1.30", "S1.30"), ("S1.87", "E2.1"), ("E2.31", "GB1.31"), ("E2.1", "R1.1"), ("R1.2", "SP1"),
        ("SP1", "R2.A"), ("R2.K", "E1.1"), ("E1.31", "GB1.31"),
    ):  # fmt: skip
        s.wire(a, b, 1.0, 500.0)
    network, system = system_of(s.done())
    for start_v in (None, 5.0, -5.0):
        start = None if start_v is None else everywhere(system, start_v)
        assert volts(network, system, newton(system, start).high, "R2.K") == pytest.approx(0.0, abs=1e-6)


def test_a_fan_without_volts_is_found_though_slowly() -> None:
    """I ∝ V² is flat at 0 V: each step only halves what is left."""
    s = Sketch()
    s.battery()
    s.part("M1", "motor", torque="fan", rated_v=13.5, rated_a=5.0)
    s.wire("M1.15", "GB1.31", 1.0, 500.0)
    s.wire("M1.31", "GB1.31", 1.0, 500.0)
    network, system = system_of(s.done())
    settled = newton(system, everywhere(system, 3.0))
    assert volts(network, system, settled.high, "M1.15") == pytest.approx(0.0, abs=1e-6)


def test_factors_of_another_state_do_not_spoil_the_answer() -> None:
    _, system = system_of(one_part("lamp"))
    _, other = system_of(one_part("lamp", feed_ohm=5.0))
    true, near = newton(system), newton(system, newton(other).high, lu=newton(other).lu)
    assert near.high + near.low == pytest.approx(true.high + true.low, abs=1e-12)


def test_nothing_unknown_needs_no_step() -> None:
    s = Sketch()
    s.battery()
    network = expand(s.harness)
    empty = FULL.pieces(network, {})
    empty.poles.clear()
    settled = newton(build_system(network, network.branches.resistance_ohm, empty))
    assert settled.steps == 0
    assert settled.lu is None
