"""Changes brought to rest on the few ports that bend most: against Newton's method on all of them, one by one."""

import numpy as np
import pytest

from harness_studio.casebook.changes import GRID_OHM, across, columns, conductances, own_ohm, sites_of
from harness_studio.casebook.groups import Group
from harness_studio.casebook.state import State, state_of, with_sources
from harness_studio.electrics import ports
from harness_studio.electrics.sweep import prepare
from harness_studio.network.expand import expand
from tests.support.vehicle import vehicle


@pytest.fixture(scope="module")
def state() -> State:
    network = with_sources(expand(vehicle(5, 24), "running_lamps"))
    return state_of(network, prepare(network, warm=False), "running_lamps")


def changes(state: State, step: int) -> tuple[np.ndarray, ...]:
    """Return what `deviations` takes for every joint at a step of the grid."""
    names = [a for a in dict.fromkeys(state.network.branches.address) if a in state.network.joints]
    sites, _ = sites_of(state, [Group((joint,), joint) for joint in names])
    some = np.flatnonzero(sites.edge >= 0)
    put_in = np.zeros((len(state.inverse), state.base.port_columns.shape[1]))
    put_in[:-1] = state.base.port_columns
    change = conductances(state, sites)[some, step]
    left = 1.0 + change * own_ohm(state, sites)[some]
    back = np.einsum("skp,sk->sp", put_in[state.unknown[sites.rows[some]]], sites.weights[some])
    return columns(state, sites, some)[:-1], back, change, left, across(state, sites, state.volts)[some]


@pytest.mark.parametrize("step", [6, 9, 12, len(GRID_OHM) - 1])
def test_volts_are_those_of_newton_one_by_one(
    state: State, step: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = changes(state, step)
    quick, near, _ = ports.deviations(state.base, *given, few=True)
    left_over: list[int] = []
    one_by_one = ports._each_by_itself
    monkeypatch.setattr(ports, "ROUNDS", 0)
    slow, slowly_near, _ = ports.deviations(state.base, *given)
    both = near & slowly_near
    assert both.sum() >= max(0.98 * slowly_near.sum(), 0.8 * len(both))
    assert np.abs(quick[:, both] - slow[:, both]).max() < 2e-6
    assert np.abs(quick[:, both]).max() > 0.3
    monkeypatch.undo()
    monkeypatch.setattr(
        ports,
        "_each_by_itself",
        lambda base, at, some: (left_over.extend(some), one_by_one(base, at, some))[1],
    )
    ports.deviations(state.base, *given, few=True)
    assert len(left_over) <= 0.2 * len(both)
