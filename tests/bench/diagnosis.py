"""Seeded cases worked to the end: ``python -m tests.bench.diagnosis --kind faults --cases N --seed S`` prints a table.

Truth is a full solution of a harness whose wires, contacts, loads and sources differ from what the program knows, with
one joint made worse. Kinds: `faults` (stratified: half shared returns, a quarter shared feeds, a quarter anywhere),
`spice` (the same with the volts of ngspice), `prior` (faults drawn from the program's own prior), `none` (no fault),
`two` (two faults). Seed 1 is the one that is reported; nothing is tuned on it.
"""

import argparse
import dataclasses
import math
import random
import time
from collections.abc import Callable

import numpy as np

from harness_studio.casebook.known import Known
from harness_studio.casebook.next_reading import next_readings
from harness_studio.casebook.suspects import Suspects, suspects
from harness_studio.model.cases import Case, Reading
from tests.bench.diagnosis_rival import halving
from tests.bench.diagnosis_table import Worked, table
from tests.bench.diagnosis_truth import Truth, draw, healthy, sightings, unknown
from tests.bench.diagnosis_truth import real as make_real

__all__ = ["run", "unknown"]
MOST_READINGS = 6
SURE = 0.9
TARGETS = {"faults": "shared", "spice": "shared"}


def place(found: Suspects, joints: tuple[str, ...]) -> int:
    """Return the place of the first true group: how many others are at least as probable."""
    mine = [n for n, g in enumerate(found.groups) if set(joints) & set(g.members) and g.fault == "series"]
    if not mine:
        return len(found.groups)
    chance = found.probability
    best = max(mine, key=lambda n: chance[n])
    rivals = np.setdiff1d(np.flatnonzero(chance >= chance[best]), mine)
    return len(rivals) + int(found.none_fits >= chance[best])


def work(
    truth: Truth, rng: random.Random, *, rival: bool = False, to_end: bool = False, tell: bool = False
) -> Worked:
    """Work a case with proposed readings, or with those of half-splitting; note everything after each reading."""
    case = Case("bench", sightings=sightings(truth, rng))
    known = Known(truth.harness)
    done = Worked(truth.stratum)
    halver = halving(truth, case) if rival else None
    network = truth.bad.network
    for number in range(MOST_READINGS + 1):
        found = suspects(truth.harness, case, known=known)
        done.note(found, place(found, truth.joints), truth.joints)
        sure = (
            max(float(found.probability.max(initial=0.0)), found.none_fits if not truth.joints else 0.0)
            >= SURE
        )
        if number == MOST_READINGS or (sure and number >= 4 and not to_end) or (rival and sure):
            break
        if halver is not None:
            tips = halver.next(case)
        else:
            proposals = next_readings(truth.harness, found)
            best = proposals[0] if proposals else None
            tips = (best.plus, best.minus) if best else None
        if tips is None:
            break
        allowed = dict(zip(known.state(truth.mode).network.points, known.permitted(truth.mode), strict=True))
        assert allowed[tips[0]], f"{tips[0]} cannot be touched"
        assert allowed[tips[1]], f"{tips[1]} cannot be touched"
        volts = float(np.nan_to_num(truth.bad.volts[network.index[tips[0]]]))
        volts -= float(np.nan_to_num(truth.bad.volts[network.index[tips[1]]]))
        volts += rng.gauss(0.0, 0.005 * abs(volts) + 0.002)
        reading = Reading(
            "volts", mode=truth.mode, plus=tips[0], minus=tips[1], value=volts, symptom_present="yes"
        )
        case = dataclasses.replace(case, readings=(*case.readings, reading))
    if tell:
        _tell(truth, case, found)
    return done


def _tell(truth: Truth, case: Case, found: Suspects) -> None:
    ohm = "open" if math.isinf(truth.ohm) else f"{1e3 * truth.ohm:.1f} mΩ"
    print(
        f"--- {truth.harness.settings.title} {truth.mode}: {', '.join(truth.joints)} {ohm} ({truth.stratum})"
    )
    for sighting in case.sightings:
        print(f"    {sighting.on} {sighting.seen}")
    for n, reading in enumerate(case.readings):
        print(
            f"    {reading.plus} to {reading.minus} {reading.value:.4f} V, clean {found.weighed.clean[n]:.4f} V"
        )
    mine = [
        n for n, g in enumerate(found.groups) if set(truth.joints) & set(g.members) and g.fault == "series"
    ]
    for group in [*found.ranked()[:3], *mine]:
        best = int(found.weight[group].argmax())
        predicted = ", ".join(f"{v:.4f}" for v in found.predicted(group, best))
        name = f"{found.groups[group].fault} {'/'.join(found.groups[group].members[:3])}"
        print(f"    {found.probability[group]:.3f} {name} {found.fine_ohm[best]:.4f} Ω: {predicted}")
    print(f"    {found.none_fits:.3f} none fits; {'; '.join(found.observed.notes)}")


def drawn(kind: str, seed: int, index: int) -> Truth | None:
    """Draw the truth of a case of a kind."""
    if kind == "none":
        return healthy(seed, index)
    if kind == "two":
        return draw(seed, index, faults=2)
    if kind == "prior":
        return _from_prior(seed, index)
    truth = draw(seed, index)
    if kind == "spice" and truth is not None:
        from tests.bench.diagnosis_spice import by_ngspice

        return by_ngspice(truth)
    return truth


def _from_prior(seed: int, index: int) -> Truth | None:
    """Draw a fault from the program's own prior over groups, members and added resistances."""
    from harness_studio.casebook.posterior import fine_grid
    from harness_studio.casebook.prior import member_weight, of_resistance, priors
    from tests.bench.diagnosis_truth import harnesses

    rng = random.Random(f"prior {seed} {index}")
    harness = rng.choice(harnesses(seed))
    mode = rng.choice(list(harness.modes))
    known, case = Known(harness), Case("prior")
    groups = known.groups([mode])
    network = known.state(mode).network
    series = [n for n, g in enumerate(groups) if g.fault == "series"]
    weight = priors(harness, case, network, groups)[series]
    group = groups[rng.choices(series, weight.tolist())[0]]
    members = [m for m in group.members if m in network.joints] or [group.joint]
    joint = rng.choices(members, [member_weight(harness, case, network, m) for m in members])[0]
    fine, _, _ = fine_grid()
    ohm = rng.choices(fine.tolist(), of_resistance(fine).tolist())[0]
    return make_real(harness, (joint,), math.inf if ohm > 1e5 else ohm, rng, "own prior")


def run(
    kind: str,
    cases: int,
    seed: int,
    minutes: float = math.inf,
    say: Callable[[str], None] = print,
    rival: bool = False,
    tell: bool = False,
) -> list[Worked]:
    """Work cases and print the table; return them."""
    results: list[Worked] = []
    rejected, index, at = 0, 0, time.perf_counter()
    while len(results) < cases and time.perf_counter() - at < 60.0 * minutes:
        truth = drawn(kind, seed, index)
        index += 1
        if truth is None:
            rejected += 1
            continue
        done = work(truth, random.Random(f"work {seed} {index}"), to_end=kind in ("none", "two"), tell=False)
        if tell and done.places[min(3, len(done.places) - 1)] != 0:
            work(truth, random.Random(f"work {seed} {index}"), to_end=kind in ("none", "two"), tell=True)
        if rival:
            done.rival = work(truth, random.Random(f"work {seed} {index}"), rival=True)
        results.append(done)
        if len(results) % 20 == 0:
            say(f"... {len(results)} cases, {time.perf_counter() - at:.0f} s")
    took = time.perf_counter() - at
    drawn_words = f"seed {seed}; {rejected} drawn without enough effect; {took:.0f} s"
    say(f"{kind}: {len(results)} of {cases} cases worked, {drawn_words}")
    for line in table(kind, results):
        say(line)
    return results


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kind", default="faults", choices=("faults", "spice", "prior", "none", "two"))
    parser.add_argument("--cases", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=math.inf, help="stop after the case at hand")
    parser.add_argument("--rival", action="store_true", help="work each case by half-splitting as well")
    parser.add_argument(
        "--tell", action="store_true", help="print cases whose true group is not first after three"
    )
    given = parser.parse_args()
    run(given.kind, given.cases, given.seed, given.minutes, rival=given.rival, tell=given.tell)
