"""One expansion asked for one position after the other gives what expanding the harness anew gives."""

import random
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest

from harness_studio.base.errors import AddressError
from harness_studio.model.harness import Harness
from harness_studio.network.expand import Expansion, expand
from harness_studio.network.fixtures import SWITCH_KINDS
from harness_studio.network.network import Network, Overrides
from harness_studio.storage.project_file import read_project
from tests.support.vehicle import vehicle

SAMPLES = ("estuary_pickup", "first_harness", "track_buggy", "trailer_wiring")


def harness_of(name: str, folder: Path) -> Harness:
    return vehicle(int(name), 30) if name.isdigit() else read_project(folder / f"{name}.yaml").harness


def walk(harness: Harness, rng: random.Random, steps: int) -> list[tuple[str | None, Overrides]]:
    """Return modes with what is pressed beside them: positions, loads, senders, the engine, fuses pulled."""
    found, overrides = [], Overrides()
    parts = list(harness.parts.values())
    switches = [p for p in parts if p.kind in SWITCH_KINDS and p.ratings.positions]
    fuses = [p.id for p in parts if p.kind == "fuse"]
    motors = [p.id for p in parts if p.kind == "motor"]
    for _ in range(steps):
        what = rng.choice(["position", "position", "load", "engine", "pulled", "nothing"])
        if what == "position" and switches:
            switch = rng.choice(switches)
            overrides = overrides.with_position(switch.id, rng.choice([None, *switch.ratings.positions]))
        elif what == "load" and motors:
            overrides = overrides.with_load(rng.choice(motors), rng.choice([None, "off", "stall"]))
        elif what == "engine":
            overrides = overrides.with_engine(rng.choice([None, "off", "idling", "running"]))
        elif what == "pulled" and fuses:
            overrides = overrides.with_pulled(rng.choice(fuses), rng.random() < 0.5)
        elif what == "nothing":
            overrides = Overrides()
        found.append((rng.choice([None, *harness.modes]), overrides))
    return found


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
