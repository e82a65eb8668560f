"""Positions solved one after the other, with what they share, are those solved from nothing."""

import math
import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from harness_studio.base.errors import SolveError
from harness_studio.electrics import one_pass as solving
from harness_studio.electrics.lawset import LawSet
from harness_studio.electrics.positions import Positions
from harness_studio.electrics.remembered import remembering
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.dialling import dialled
from harness_studio.network.expand import Expansion
from harness_studio.network.network import Network, Overrides
from harness_studio.storage.project_file import read_project
from tests.support.vehicle import vehicle


def shared(expansion: Expansion) -> LawSet:
    return replace(remembering(), positions=Positions(expansion.network(every_contact=True)))


def pressed(harness: Harness, seed: int, count: int) -> Iterator[Overrides]:
    """Yield positions one after the other: switches, the engine and fuses at random."""
    chance = random.Random(seed)
    switches = [p for p in harness.parts.values() if len(getattr(p.ratings, "positions", None) or ()) > 1]
    fuses = [p.id for p in harness.parts.values() if p.kind == "fuse"]
    now = Overrides()
    for step in range(count):
        part = chance.choice(switches)
        now = now.with_position(part.id, chance.choice(list(part.ratings.positions)))
        if step % 5 == 2:
            now = now.with_engine(chance.choice(["off", "idling", "running"]))
        if fuses and step % 5 == 4:
            now = now.with_pulled(chance.choice(fuses), chance.random() < 0.6)
        yield now


def assert_alike(network: Network, laws: LawSet) -> None:
    try:
        fresh = solve(network)
    except SolveError:
        with pytest.raises(SolveError):
            solve(network, laws)
        return
    found = solve(network, laws)
    assert found.states == fresh.states
    np.testing.assert_allclose(found.volts, fresh.volts, rtol=0, atol=1e-6)
    np.testing.assert_allclose(found.amperes, fresh.amperes, rtol=1e-5, atol=1e-6)
    assert [str(u) for u in found.unsolved] == [str(u) for u in fresh.unsolved]
    assert found.wire_c is not None
    assert fresh.wire_c is not None
    np.testing.assert_allclose(found.wire_c, fresh.wire_c, rtol=0, atol=0.01)


@pytest.mark.parametrize("seed", [1, 4, 7])
def test_positions_at_random(seed: int) -> None:
    harness = vehicle(seed, 30)
    expansion = Expansion(harness)
    laws = shared(expansion)
    for overrides in pressed(harness, seed, 10):
        assert_alike(expansion.network(None, overrides), laws)


@pytest.mark.parametrize("name", ["estuary_pickup", "track_buggy"])
def test_positions_of_a_project(sample_projects_dir: Path, name: str) -> None:
    harness = read_project(sample_projects_dir / f"{name}.yaml").harness
    expansion = Expansion(harness)
    laws = shared(expansion)
    for mode in list(harness.modes)[:3]:
        assert_alike(expansion.network(mode), laws)
    for overrides in pressed(harness, 1, 6):
        assert_alike(expansion.network(None, overrides), laws)


def test_dialled_on_the_way() -> None:
    harness = vehicle(1, 30)
    expansion = Expansion(harness)
    laws = shared(expansion)
    chance = random.Random(3)
    for overrides in pressed(harness, 3, 6):
        plain = expansion.network("running_lamps", overrides)
        assert_alike(plain, laws)
        studs = [a for a, n in plain.joints.items() if plain.branches.kind[n] == "stud"]
        contacts = [a for a, n in plain.joints.items() if plain.branches.kind[n] in ("switch", "relay")]
        for joint in (chance.choice(studs), chance.choice(contacts)):
            for ohm in (0.05, 0.0, 3.0, math.inf):
                assert_alike(dialled(plain, [(joint, ohm)]), laws)


def test_a_position_of_what_was_solved_before_is_built_from_it(monkeypatch: pytest.MonkeyPatch) -> None:
    harness = vehicle(1, 30)
    expansion = Expansion(harness)
    laws = shared(expansion)
    solve(expansion.network(), laws)

    def built(*_: object) -> None:
        raise AssertionError("a system was built from nothing")

    monkeypatch.setattr(solving, "build_system", built)
    for overrides in pressed(harness, 1, 2):
        solve(expansion.network(None, overrides), laws)


def test_every_contact_holds_those_of_each_position() -> None:
    harness = vehicle(4, 30)
    expansion = Expansion(harness)
    every = expansion.network(every_contact=True)
    for overrides in pressed(harness, 4, 8):
        network = expansion.network(None, overrides)
        assert set(network.joints) <= set(every.joints)
        assert set(network.points) <= set(every.points)
        switches = [a for a, n in network.joints.items() if network.branches.kind[n] == "switch"]
        for address in switches:
            one, other = network.joints[address], every.joints[address]
            ends = {network.points[p[one]] for p in (network.branches.a, network.branches.b)}
            assert ends == {every.points[p[other]] for p in (every.branches.a, every.branches.b)}
