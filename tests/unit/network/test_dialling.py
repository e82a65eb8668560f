"""A network whose joints are dialled is the one that expanding the harness with them gives."""

import math
import random

import numpy as np
import pytest

from harness_studio.base.errors import AddressError
from harness_studio.network.dialling import dialled
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.vehicle import vehicle


def same(first: object, second: object) -> bool:
    if isinstance(first, np.ndarray):
        return bool(np.array_equal(first, second))
    return first == second


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_it_is_what_expanding_gives(seed: int) -> None:
    harness = vehicle(seed, 20)
    rng = random.Random(seed)
    plain = expand(harness, "running_lamps")
    names = sorted(plain.joints)  # own names and aliases alike
    for ohm in (0.0, 0.003, 0.18, 7.0, math.inf):
        given = Overrides(joint_ohm=tuple((name, ohm * rng.uniform(0.5, 2)) for name in rng.sample(names, 4)))
        wanted, found = expand(harness, "running_lamps", given), dialled(plain, given.joint_ohm)
        for part in (
            "points",
            "index",
            "contacts",
            "joints",
            "mode",
            "grounded",
            "circuits",
            "worked",
            "elements",
        ):
            assert same(getattr(found, part), getattr(wanted, part)), part
        for column in ("address", "kind", "a", "b", "resistance_ohm"):
            assert same(getattr(found.branches, column), getattr(wanted.branches, column)), column


def test_two_names_of_a_joint() -> None:
    harness = vehicle(1, 20)
    plain = expand(harness)
    other = next(a for a, n in plain.joints.items() if plain.branches.address[n] != a)
    own = plain.branches.address[plain.joints[other]]
    for given in (((own, 0.5), (other, 0.7)), ((other, 0.7), (own, 0.5)), ((other, 0.7),)):
        wanted = expand(harness, None, Overrides(joint_ohm=given)).branches.resistance_ohm
        assert same(dialled(plain, given).branches.resistance_ohm, wanted)


def test_the_given_network_stays_as_it_was() -> None:
    plain = expand(vehicle(1, 20))
    before = plain.branches.resistance_ohm.copy()
    dialled(plain, [(next(iter(plain.joints)), 3.0)])
    assert same(plain.branches.resistance_ohm, before)


def test_a_joint_that_is_not_there() -> None:
    with pytest.raises(AddressError, match="'GP1x' is no joint of this network; nearest is 'GP1'"):
        dialled(expand(vehicle(1, 20)), [("GP1x", 1.0)])
