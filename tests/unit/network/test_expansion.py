"""One expansion asked for one position after the other gives what expanding the harness anew gives."""

import random
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest

from harness_studio.base.errors import AddressError
from harness_studio.network.expand import Expansion, expand
from harness_studio.network.network import Network
from tests.support.vehicle import vehicle
from tests.support.walks import SAMPLES, harness_of, walk


def same(first: object, second: object) -> bool:
    if isinstance(first, np.ndarray):
        return bool(np.array_equal(first, second, equal_nan=True))
    if type(first).__name__ in ("Branches", "Conductors", "FuseElements"):
        return all(same(getattr(first, f.name), getattr(second, f.name)) for f in fields(first))
    return first == second


def differing(first: Network, second: Network) -> list[str]:
    return [f.name for f in fields(first) if not same(getattr(first, f.name), getattr(second, f.name))]


@pytest.mark.parametrize("clean", [False, True])
@pytest.mark.parametrize("name", [*SAMPLES, "1", "7"])
def test_each_is_what_expanding_gives(name: str, clean: bool, sample_projects_dir: Path) -> None:
    harness = harness_of(name, sample_projects_dir)
    expansion = Expansion(harness, clean=clean)
    for mode, overrides in walk(harness, random.Random(name), 25):
        wanted = expand(harness, mode, overrides, clean=clean)
        assert not differing(expansion.network(mode, overrides), wanted)


def test_what_it_gave_stays_as_it_was() -> None:
    harness = vehicle(7, 30)
    expansion = Expansion(harness)
    walked = walk(harness, random.Random(3), 12)
    given = [expansion.network(mode, overrides) for mode, overrides in walked]
    for (mode, overrides), network in zip(walked, given, strict=True):
        assert not differing(network, expand(harness, mode, overrides))


def test_it_goes_on_after_a_mode_that_is_not_there() -> None:
    harness = vehicle(7, 30)
    expansion = Expansion(harness)
    with pytest.raises(AddressError, match="there is no mode 'runing'; nearest is 'running'"):
        expansion.network("runing")
    assert not differing(expansion.network("running"), expand(harness, "running"))
