"""Shares found with the chains of the metal taken together are those found branch by branch."""

import random
from dataclasses import replace

import numpy as np
import pytest

from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.positions import Positions
from harness_studio.electrics.returns import Metal, metal_of
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import Expansion
from harness_studio.network.network import Network
from tests.support.vehicle import vehicle


@pytest.fixture(scope="module", params=[(1, None), (4, "running_lamps"), (7, "cranking")])
def both(request: pytest.FixtureRequest) -> tuple[Network, object, Metal, Metal]:
    seed, mode = request.param
    expansion = Expansion(vehicle(seed, 30))
    network = expansion.network(mode)
    positions = Positions(expansion.network(every_contact=True))
    solution = solve(network, replace(FULL, positions=positions))
    chained = positions.metal(network, solution.ohm)
    assert chained.chained is not None
    return network, solution, metal_of(network, solution.ohm), chained


def test_what_passes_each_branch(both) -> None:
    network, _, plain, chained = both
    sink = network.index[network.grounded]
    numbers = random.Random(1).sample(range(len(network.branches)), 120)
    one = plain.unit_drop(int(plain.node[sink]), numbers)[:, plain.node]
    other = chained.unit_drop(int(chained.node[sink]), numbers)[:, chained.node]
    np.testing.assert_allclose(other, one, rtol=0, atol=1e-9)
    assert (np.abs(one) > 0.5).any()


def test_what_still_reaches_the_post_without_a_branch(both) -> None:
    network, _, plain, chained = both
    sink = network.index[network.grounded]
    cut_off = 0
    for number in random.Random(3).sample(range(len(network.branches)), 80):
        one, other = (m.reached_without(int(m.node[sink]), {number}, set())[m.node] for m in (plain, chained))
        assert (one == other).all()
        cut_off += int((~one).sum())
    assert cut_off
    one, other = (m.label[m.node] for m in (plain, chained))
    assert ((one[:, None] == one) == (other[:, None] == other)).all()


def test_what_flows_for_currents_at_elements(both) -> None:
    network, _, plain, chained = both
    sink = network.index[network.grounded]
    put_in = [i for e in network.elements for i in e.terminals.values()]
    found = {}
    for metal in (plain, chained):
        injected = np.zeros((metal.count, 2))
        np.add.at(injected, metal.node[put_in], np.array([[1.0, k % 7] for k in range(len(put_in))]))
        flows = np.zeros((len(network.branches), 2))
        flows[metal.number] = metal.flows(int(metal.node[sink]), injected)
        found[metal is plain] = flows
    np.testing.assert_allclose(found[False], found[True], rtol=0, atol=1e-7)
    assert np.abs(found[True]).max() > 1.0


def test_who_shares_each_joint(both) -> None:
    network, solution, plain, chained = both
    for joint in random.Random(2).sample(sorted(network.joints), 40):
        one, other = (shares(network, solution, joint, metal) for metal in (plain, chained))
        ways = [{(r.point, r.element): r.way for r in found.rows} for found in (one, other)]
        assert ways[0] == ways[1]
        assert one.sharing_wires == other.sharing_wires
        assert dict(other.carriers) == pytest.approx(dict(one.carriers), abs=1e-9)
        assert one.joint_amperes == pytest.approx(other.joint_amperes)
