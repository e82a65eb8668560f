"""A solution that starts from the passes of an earlier one is the one that starts from nothing."""

import math
from itertools import pairwise

import numpy as np
import pytest

from harness_studio.electrics import one_pass as solving
from harness_studio.electrics.passes import Trail
from harness_studio.electrics.solve import solve
from harness_studio.network.dialling import dialled
from harness_studio.network.expand import expand
from tests.support.vehicle import vehicle

DIAL = [*np.geomspace(1e-4, 20.0, 9).tolist(), math.inf, 0.0, 0.02]


@pytest.mark.parametrize("mode", ["running_lamps", "braking", "cranking"])
@pytest.mark.parametrize("seed", [1, 4])
def test_dialled_up_and_down(seed: int, mode: str) -> None:
    plain = expand(vehicle(seed, 30), mode)
    trail: Trail = {}
    solve(plain, trail=trail)
    states = []
    for joint in [a for a, n in plain.joints.items() if plain.branches.kind[n] == "stud"][:3]:
        for ohm in DIAL:
            network = dialled(plain, [(joint, ohm)])
            fresh = solve(network)
            found = solve(network, known=trail)
            assert found.states == fresh.states
            np.testing.assert_allclose(found.volts, fresh.volts, rtol=0, atol=1e-8)
            np.testing.assert_allclose(found.amperes, fresh.amperes, rtol=1e-6, atol=1e-7)
            states.append(tuple(fresh.states.values()))
    turned = sum(a != b for a, b in pairwise(states))
    assert trail
    assert turned or mode != "running_lamps" or seed != 1  # relays and batteries do turn on the way


def test_it_saves_factoring(monkeypatch: pytest.MonkeyPatch) -> None:
    plain = expand(vehicle(1, 30), "running_lamps")
    trail: Trail = {}
    solve(plain, trail=trail)
    built = []
    real = solving.build_system
    monkeypatch.setattr(solving, "build_system", lambda *a: built.append(1) or real(*a))
    joint = next(a for a, n in plain.joints.items() if plain.branches.kind[n] == "stud")
    network = dialled(plain, [(joint, 0.011)])
    solve(network)
    without = len(built)
    built.clear()
    solve(network, known=trail)
    assert len(built) < without
