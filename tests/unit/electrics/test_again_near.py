"""Solutions on what bends and what turned: against the whole network solved from the start in the same states."""

from dataclasses import replace

import numpy as np
import pytest

from harness_studio.base.errors import SolveError
from harness_studio.casebook.state import State, state_of, with_sources
from harness_studio.electrics.again_near import Nearby
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.newton import newton
from harness_studio.electrics.solve import settle_from
from harness_studio.electrics.states import branch_ohm
from harness_studio.electrics.sweep import prepare
from harness_studio.electrics.system import build_system
from harness_studio.network.expand import expand
from tests.support.vehicle import vehicle


@pytest.fixture(scope="module")
def state() -> State:
    network = with_sources(expand(vehicle(5, 24), "braking"))
    return state_of(network, prepare(network, warm=False), "braking")


def turned(state: State, element: str) -> dict[str, str]:
    """Return the clean states with one element in its other state."""
    kinds = {e.address: e.kind for e in state.network.elements}
    states = dict(state.base.done.states)
    first, second = FULL.choices[kinds[element]][:2]
    states[element] = second if states[element] == first else first
    return states


def alone(state: State, states: dict[str, str], ohm: np.ndarray) -> np.ndarray | None:
    """Return volts of the rows of the whole network, solved from nothing; None where it has parts without a way."""
    at = branch_ohm(state.network, states, ohm)
    at[[c.branch for c in state.network.contacts]] = np.minimum(
        at[[c.branch for c in state.network.contacts]], 1e15
    )
    system = build_system(state.network, at, FULL.pieces(state.network, states))
    assert np.array_equal(system.reduced.outer, state.base.system.reduced.outer)
    try:
        settled = newton(system)
    except SolveError:
        return None
    return np.where(system.alive, settled.high + settled.low, 0.0)


def test_volts_are_those_of_the_whole_network_in_the_same_states(state: State) -> None:
    assert state.again is not None
    near = state.again.near
    assert isinstance(near, Nearby)
    kinds = {e.address: e.kind for e in state.network.elements}
    some = [e for e, s in state.base.done.states.items() if kinds[e] in FULL.choices and s != "standing"]
    edges = np.flatnonzero(np.abs(state.amperes) > 0.5)
    compared = 0
    for number, element in enumerate(some):
        states = turned(state, element)
        ohm = state.closed_ohm.copy()
        ohm[np.flatnonzero(state.edge_of == edges[number % len(edges)])[0]] += 0.2 * (number % 4)
        found = near.solve(states, ohm, None)
        wanted = alone(state, states, ohm)
        if found is None or wanted is None:
            continue
        assert np.abs(found.settled.high - wanted).max() < 5e-4, element
        compared += 1
    assert compared >= 0.7 * len(some)
    assert {kinds[e] for e in some} >= {"relay", "converter"}


def test_states_that_come_to_rest_are_those_of_the_whole_network(state: State) -> None:
    """Open joints, with what they turn: with and without the short way."""
    assert state.again is not None
    differing = 0
    edges = np.flatnonzero(np.abs(state.amperes) > 0.2)
    for edge in edges[:: max(1, len(edges) // 12)].tolist():
        ohm = state.closed_ohm.copy()
        ohm[np.flatnonzero(state.edge_of == edge)[0]] += 5.0
        short = settle_from(state.network, FULL, ohm, replace(state.base.done, again=state.again))
        whole = settle_from(state.network, FULL, ohm, replace(state.base.done, again=None))
        assert short.states == whole.states
        differing += short.states != state.base.done.states
        at = np.isfinite(short.point_volts) & np.isfinite(whole.point_volts)
        assert np.abs(short.point_volts[at] - whole.point_volts[at]).max() < 1e-3
    assert differing >= 1
