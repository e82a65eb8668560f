"""Walks through the states of a harness: modes, and what is pressed beside them."""

import random
from pathlib import Path

from harness_studio.model.harness import Harness
from harness_studio.network.fixtures import SWITCH_KINDS
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project

from .vehicle import vehicle

SAMPLES = ("estuary_pickup", "first_harness", "track_buggy", "trailer_wiring")


def harness_of(name: str, folder: Path) -> Harness:
    """Return the sample of a name in a folder; a number is the seed of a generated vehicle."""
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
