"""Truths of seeded cases: a harness that differs from what the program knows, with one joint made worse, and a person.

Shares model, network and electrics with the program and nothing of the casebook but which points a tip may touch.
"""

import dataclasses
import math
import random
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np

from harness_studio.base.errors import SolveError
from harness_studio.electrics.common import _flows
from harness_studio.electrics.readings import Reading as Seen
from harness_studio.electrics.readings import readings
from harness_studio.electrics.returns import metal_of
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network
from harness_studio.storage.project_file import read_project
from tests.support.vehicle import vehicle

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"
SHARED_LOADS, SHARED_PART = 2, 0.3
"""A joint is shared if so many loads pass so much of their current through it."""
LEAST_V, LEAST_NEEDLE = 0.35, 0.03
"""A fault is kept if in some named mode it changes a load by so many volts or a gauge by so much of its scale."""
NEEDLE, LIGHT, OTHER = 0.03, 0.10, 0.05
"""What a person notices: of a scale; of a lamp's light as a step; of a speed, a rate or a measured value."""
STRONG = 3.0
"""How many times that a change is which a person calls strong."""
LEAST_OHM, MOST_OHM, OPEN_SHARE = 0.005, 20.0, 0.15
SOURCES = ("battery", "alternator", "dynamo")
LOADS = ("rated_w", "rated_a", "ohm")
STRATA = ("shared return", "shared return", "shared feed", "anywhere")


@dataclasses.dataclass
class Truth:
    """What really is: the faulty joints, and the solution with them and without, in the mode complained of."""

    harness: Harness
    mode: str | None
    joints: tuple[str, ...]
    ohm: float
    stratum: str
    bad: Solution
    good: Solution


def unknown(network: Network, rng: random.Random, joint: str | None, added_ohm: float) -> Network:
    """Return the network as it really is: wires ± 10 %, contacts × 2 lognormal, loads ± 5 %, sources ± 0.2 V."""
    return _worse(_unknown(network, rng), {} if joint is None else {joint: added_ohm})


def _unknown(network: Network, rng: random.Random) -> Network:
    ohm = network.branches.resistance_ohm.copy()
    for number, kind in enumerate(network.branches.kind):
        spread = rng.gauss(0.0, 1.0)
        if kind in ("wire", "body", "fuse", "through"):
            ohm[number] *= max(1.0 + 0.1 * spread, 0.5)
        else:
            ohm[number] *= math.exp(math.log(2.0) * spread)
    elements = []
    for element in network.elements:
        change: dict[str, float] = {}
        for name, usual in (("rest_v", 12.65), ("set_v", 14.2)):
            if hasattr(element.ratings, name) and element.kind in SOURCES:
                change[name] = (getattr(element.ratings, name) or usual) + rng.gauss(0.0, 0.2)
        for name in LOADS:
            if isinstance(getattr(element.ratings, name, None), float | int) and element.kind != "sender":
                change[name] = getattr(element.ratings, name) * (1.0 + rng.gauss(0.0, 0.05))
        ratings = dataclasses.replace(element.ratings, **change) if change else element.ratings
        elements.append(dataclasses.replace(element, ratings=ratings))
    branches = dataclasses.replace(network.branches, resistance_ohm=np.maximum(ohm, 0.0))
    return dataclasses.replace(network, branches=branches, elements=tuple(elements))


def _worse(network: Network, added: dict[str, float]) -> Network:
    ohm = network.branches.resistance_ohm.copy()
    for joint, more in added.items():
        if joint in network.joints:
            ohm[network.joints[joint]] += more
    return dataclasses.replace(network, branches=dataclasses.replace(network.branches, resistance_ohm=ohm))


@cache
def harnesses(seed: int) -> tuple[Harness, ...]:
    """Return the harnesses that truths are drawn from: the sample projects and eight generated ones."""
    projects = [read_project(p).harness for p in sorted(SAMPLES.glob("*.yaml"))]
    fit = [
        h
        for h in projects
        if h.modes and len(h.parts) > 8 and any(p.kind == "battery" for p in h.parts.values())
    ]
    return (*fit, *(vehicle(1000 * seed + n, 12 + 4 * n) for n in range(8)))


@cache
def pools(seed: int, number: int) -> dict[str, tuple[str, ...]]:
    """Return the joints of a harness by stratum, over all its modes."""
    harness = harnesses(seed)[number]
    shared: dict[str, dict[str, None]] = {"shared return": {}, "shared feed": {}, "anywhere": {}}
    for mode in harness.modes:
        network = expand(harness, mode)
        try:
            solution = solve(network)
        except SolveError:
            continue
        for side in ("return", "feed"):
            for joint in _shared(network, solution, side):
                shared[f"shared {side}"].setdefault(joint)
        shared["anywhere"].update(dict.fromkeys(a for a in network.branches.address if a in network.joints))
    return {name: tuple(joints) for name, joints in shared.items()}


def _shared(network: Network, solution: Solution, side: str) -> Iterator[str]:
    metal = metal_of(network, solution.ohm)
    count = np.zeros(len(metal.number))
    drawn = {e.address: max(map(abs, e.amperes), default=0.0) for e in solution.elements}
    for element in network.elements:
        if element.kind in SOURCES or drawn.get(element.address, 0.0) < 0.05:
            continue
        flows = _flows(network, solution, metal, element, side)  # type: ignore[arg-type]
        if flows is not None:
            count += flows >= SHARED_PART
    joints = set(network.joints.values())
    for at in np.flatnonzero(count >= SHARED_LOADS).tolist():
        number = int(metal.number[at])
        if number in joints and network.branches.kind[number] not in ("wire", "body", "bond"):
            yield network.branches.address[number]


def draw(seed: int, index: int, faults: int = 1) -> Truth | None:
    """Draw the truth of a case; None if nothing of it shows. The stratum goes round: half, a quarter, a quarter."""
    rng = random.Random(f"diagnosis {seed} {index}")
    number = rng.randrange(len(harnesses(seed)))
    stratum = STRATA[index % len(STRATA)]
    pool = pools(seed, number)[stratum]
    if not pool:
        return None
    joints = tuple(rng.sample(pool, faults))
    opens = rng.random() < OPEN_SHARE
    ohm = math.inf if opens else 10.0 ** rng.uniform(math.log10(LEAST_OHM), math.log10(MOST_OHM))
    return real(harnesses(seed)[number], joints, ohm, rng, stratum)


def real(
    harness: Harness, joints: tuple[str, ...], ohm: float, rng: random.Random, stratum: str
) -> Truth | None:
    """Return the truth of faults in the mode in which most of it shows; None if none shows enough."""
    spread = rng.random()
    best: tuple[float, Truth] | None = None
    for mode in harness.modes:
        network = _unknown(expand(harness, mode), random.Random(spread))
        try:
            good = solve(network)
            bad = solve(_worse(network, dict.fromkeys(joints, min(ohm, 1e9))))
        except SolveError:
            continue
        shows = _shows(harness, good, bad)
        if shows >= 1.0 and (best is None or shows > best[0]):
            best = shows, Truth(harness, mode, joints, ohm, stratum, bad, good)
    return best[1] if best else None


def _shows(harness: Harness, good: Solution, bad: Solution) -> float:
    """Return how much of a fault shows, in units of what is enough."""
    most = 0.0
    before, after = readings(harness, good), readings(harness, bad)
    for key, reading in before.items():
        now = after.get(key)
        least = {"V": LEAST_V, "of scale": LEAST_NEEDLE}.get(reading.unit)
        if least is not None and reading.value is not None and now and now.value is not None:
            most = max(most, abs(now.value - reading.value) / least)
    return most


def healthy(seed: int, index: int) -> Truth | None:
    """Draw a harness without a fault, in a mode in which something works."""
    rng = random.Random(f"healthy {seed} {index}")
    harness = rng.choice(harnesses(seed))
    mode = rng.choice([m for m in harness.modes if m != "off"])
    try:
        good = solve(_unknown(expand(harness, mode), random.Random(rng.random())))
    except SolveError:
        return None
    return Truth(harness, mode, (), 0.0, "no fault", good, good)


def sightings(truth: Truth, rng: random.Random) -> tuple[Sighting, ...]:
    """Return three things a person saw: up to two that changed, and things that stayed."""
    before, after = readings(truth.harness, truth.good), readings(truth.harness, truth.bad)
    changed: dict[str, tuple[str, str | None]] = {}
    stayed: list[str] = []
    for key, reading in before.items():
        now = after.get(key)
        if now is None or (
            reading.unit == "V" and any(f"{reading.id} {w}" in before for w in ("light", "speed"))
        ):
            continue
        volts = [r.get(f"{reading.id} volts") for r in (before, after)]
        moved = abs((volts[0].value or 0.0) - (volts[1].value or 0.0)) if volts[0] and volts[1] else 0.0
        seen, strength = _noticed(reading, now, moved)
        if seen == "stays":
            stayed.append(reading.id)
        elif seen is not None:
            changed[reading.id] = seen, strength
    first = rng.sample(sorted(changed.items()), min(2, len(changed)))
    left = sorted(set(stayed) - set(changed))
    rest = rng.sample(left, min(3 - len(first), len(left)))
    both = [*((on, *seen) for on, seen in first), *((r, "stays", None) for r in rest)]
    return tuple(
        Sighting(on, seen, to_mode=truth.mode, strength=strength)  # type: ignore[arg-type]
        for on, seen, strength in both
    )


def _noticed(before: Seen, now: Seen, moved_v: float) -> tuple[str | None, str | None]:
    """Return what a person says of a reading, and how strong it is: None where it is too little to say.

    What makes a case (so many volts across a load) is noticed as well.
    """
    was, is_ = before.value, now.value
    if was is None or is_ is None:
        return None, None
    if before.unit != "of scale" and abs(was) < 1e-3:
        glows = before.what == "light" and is_ > 2.0
        return ("glows when off" if glows else "up" if moved_v >= LEAST_V else None), None
    if before.unit == "of scale":
        size, change = NEEDLE, is_ - was
    elif before.unit == "V":
        size, change = LEAST_V, abs(is_) - abs(was)
    else:
        size, change = (LIGHT if before.what == "light" else OTHER), (is_ - was) / abs(was)
        if before.what in ("light", "speed") and is_ < 0.1 * was:
            return "dead", None
    if abs(change) >= size or (before.unit == "%" and moved_v >= LEAST_V):
        return "down" if change < 0 else "up", "strong" if abs(change) >= STRONG * size else "slight"
    return ("stays" if abs(change) < size / 3.0 else None), None
