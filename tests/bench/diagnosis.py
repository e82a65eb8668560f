"""Seeded cases worked to the end: ``python -m tests.bench.diagnosis --cases N --seed S`` prints the table.

Truth is a full solution of a harness whose wires, contacts, loads and sources differ from what the program knows, with
one joint made worse; it shares model, network and electrics with the program and nothing of the casebook.
"""

from __future__ import annotations

import argparse
import dataclasses
import math
import random
import time
from collections.abc import Callable

import numpy as np

from harness_studio.base.errors import SolveError
from harness_studio.casebook.access import permitted
from harness_studio.casebook.next_reading import next_readings
from harness_studio.casebook.suspects import Suspects, suspects
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.modes import default_mode
from harness_studio.network.network import Network
from tests.support.vehicle import vehicle

MOST_READINGS = 6
SURE = 0.9
NOTICED_V = 0.35
LOADS = ("rated_w", "rated_a", "ohm")


@dataclasses.dataclass
class Truth:
    """What really is: the faulty joint, and the solution with it and without."""

    harness: Harness
    mode: str | None
    joint: str
    bad: Solution
    good: Solution


def unknown(network: Network, rng: random.Random, joint: str | None, added_ohm: float) -> Network:
    """Return the network as it really is: wires ± 10 %, contacts × 2 lognormal, loads ± 5 %, sources ± 0.2 V."""
    ohm = network.branches.resistance_ohm.copy()
    for number, kind in enumerate(network.branches.kind):
        spread = rng.gauss(0.0, 1.0)
        ohm[number] *= 1.0 + 0.1 * spread if kind in ("wire", "body") else math.exp(0.69 * spread)
    if joint is not None:
        ohm[network.joints[joint]] += added_ohm
    elements = []
    for element in network.elements:
        change: dict[str, float] = {}
        for name in ("rest_v", "set_v"):
            if getattr(element.ratings, name, None) is not None:
                change[name] = getattr(element.ratings, name) + rng.gauss(0.0, 0.2)
        for name in LOADS:
            if isinstance(getattr(element.ratings, name, None), float | int) and element.kind != "sender":
                change[name] = getattr(element.ratings, name) * (1.0 + rng.gauss(0.0, 0.05))
        ratings = dataclasses.replace(element.ratings, **change) if change else element.ratings
        elements.append(dataclasses.replace(element, ratings=ratings))
    branches = dataclasses.replace(network.branches, resistance_ohm=np.maximum(ohm, 0.0))
    return dataclasses.replace(network, branches=branches, elements=tuple(elements))


def truth(rng: random.Random, seed: int, circuits: int) -> Truth | None:
    """Draw a harness and a fault; None if nothing shows of it."""
    harness = vehicle(seed, circuits)
    mode = rng.choice(list(harness.modes)) if harness.modes else default_mode(harness)
    network = expand(harness, mode)
    joint = rng.choice([a for a in network.branches.address if a in network.joints])
    added_ohm = math.inf if rng.random() < 0.15 else 10.0 ** rng.uniform(math.log10(0.005), math.log10(20.0))
    spread = rng.random()
    try:
        bad = solve(unknown(network, random.Random(spread), joint, added_ohm))
        good = solve(unknown(network, random.Random(spread), None, 0.0))
    except SolveError:
        return None
    for element in network.elements:
        names = [network.points[t] for t in list(element.terminals.values())[:2]]
        volts = [(s.volt(names[0]) or 0.0) - (s.volt(names[-1]) or 0.0) for s in (bad, good)]
        if element.kind not in ("battery", "alternator", "dynamo") and abs(volts[0] - volts[1]) >= NOTICED_V:
            return Truth(harness, mode, joint, bad, good)
    return None


def sightings(real: Truth, rng: random.Random) -> tuple[Sighting, ...]:
    """Return three things a person saw: up to two that changed by a tenth and more, and things that stayed."""
    before, after = readings(real.harness, real.good), readings(real.harness, real.bad)
    changed: dict[str, str] = {}
    stayed: list[str] = []
    for key, reading in before.items():
        then, now = reading.value, after[key].value if key in after else None
        if then is None or now is None or abs(then) < 1e-6 or reading.unit == "V":
            continue
        part = (now - then) / abs(then)
        if abs(part) > 0.1:
            changed[reading.id] = "down" if part < 0 else "up"
        elif abs(part) < 0.02:
            stayed.append(reading.id)
    first = rng.sample(sorted(changed.items()), min(2, len(changed)))
    rest = rng.sample(
        sorted(set(stayed) - set(changed)), min(3 - len(first), len(set(stayed) - set(changed)))
    )
    return tuple(
        Sighting(on, seen, to_mode=real.mode) for on, seen in [*first, *((r, "stays") for r in rest)]
    )  # type: ignore[arg-type]


def rank(found: Suspects, joint: str) -> int:
    """Return the place of the true group: how many others are at least as probable."""
    mine = next((n for n, g in enumerate(found.groups) if joint in g.members), None)
    if mine is None:
        return len(found.groups)
    chance = found.probability
    return int((chance >= chance[mine]).sum()) - 1


def work(real: Truth, rng: random.Random) -> tuple[list[int], int | None, bool]:
    """Work a case; return the true group's place after each reading, readings until sure, and if that was right."""
    case = Case("bench", sightings=sightings(real, rng))
    network = expand(real.harness, real.mode)
    touchable = dict(zip(network.points, permitted(real.harness, network), strict=True))
    places: list[int] = []
    sure: int | None = None
    right = True
    for number in range(MOST_READINGS + 1):
        found = suspects(real.harness, case)
        places.append(rank(found, real.joint))
        if sure is None and float(found.probability.max()) >= SURE:
            sure, right = number, places[-1] == 0
        if number == MOST_READINGS or (sure is not None and number >= 4):
            break
        proposals = next_readings(real.harness, found)
        if not proposals:
            break
        best = proposals[0]
        assert touchable[best.plus]
        assert touchable[best.minus]
        volts = (real.bad.volt(best.plus) or 0.0) - (real.bad.volt(best.minus) or 0.0)
        volts += rng.gauss(0.0, 0.005 * abs(volts) + 0.002)
        reading = Reading("volts", mode=best.mode, plus=best.plus, minus=best.minus, value=volts)
        case = dataclasses.replace(case, readings=(*case.readings, reading))
    return places, sure, right


def run(
    cases: int, seed: int, circuits: int, minutes: float = math.inf, say: Callable[[str], None] = print
) -> dict[str, float]:
    """Work cases and print the table; return its numbers."""
    rng = random.Random(f"diagnosis {seed}")
    results = []
    rejected, at = 0, time.perf_counter()
    while len(results) < cases and time.perf_counter() - at < 60.0 * minutes:
        real = truth(rng, seed * 1000 + rng.randrange(8), circuits)
        if real is None:
            rejected += 1
            continue
        results.append(work(real, rng))
    took = time.perf_counter() - at
    drawn = f"seed {seed}, {circuits} circuits; {rejected} drawn without effect"
    asked, cases = cases, max(len(results), 1)
    say(f"{len(results)} of {asked} cases worked, {drawn}; {took:.0f} s")
    numbers: dict[str, float] = {}
    for number in range(5):
        first = sum(places[min(number, len(places) - 1)] == 0 for places, _, _ in results) / cases
        numbers[f"first after {number}"] = first
        say(f"| true group first after {number} readings | {first:.2f} |")
    stopped = [(sure, right) for _, sure, right in results if sure is not None]
    numbers["mean readings"] = sum(s for s, _ in stopped) / max(len(stopped), 1)
    numbers["wrong when sure"] = sum(not right for _, right in stopped) / max(len(stopped), 1)
    say(f"| sure (p >= {SURE}) within {MOST_READINGS} readings | {len(stopped)} of {cases} |")
    say(f"| readings until sure, mean of those | {numbers['mean readings']:.1f} |")
    say(f"| wrong when sure | {numbers['wrong when sure']:.2f} |")
    return numbers


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--circuits", type=int, default=12)
    parser.add_argument("--minutes", type=float, default=math.inf, help="stop after the case at hand")
    given = parser.parse_args()
    run(given.cases, given.seed, given.circuits, given.minutes)
