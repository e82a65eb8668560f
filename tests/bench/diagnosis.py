"""Seeded cases worked to the end: ``python -m tests.bench.diagnosis --kind faults --cases N --seed S`` prints a table.

Truth is a full solution of a harness whose wires, contacts, loads and sources differ from what the program knows, with
one joint made worse. Kinds: `faults` (stratified: half shared returns, a quarter shared feeds, a quarter anywhere),
`spice` (the same with the volts of ngspice), `prior` (faults drawn from the program's own prior), `none` (no fault),
`two` (two faults). ``--kind all --keep FOLDER`` works the whole proof, writes each case down and goes on where it was
stopped; with ``--minutes 0`` it only prints how it stands. Nothing is tuned on the seeds of the proof.
"""

import argparse
import dataclasses
import json
import math
import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

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


class Run:
    """Cases of a kind and seed as far as they are worked; with `keep` each is written down at once, and read again."""

    def __init__(self, kind: str, seed: int, rival: bool = False, keep: Path | None = None) -> None:
        self.kind, self.seed, self.rival = kind, seed, rival
        self.file = keep / f"{kind}-{seed}.jsonl" if keep else None
        self.results: list[Worked] = []
        self.rejected = self.index = 0
        self.took = 0.0
        for line in self.file.read_text().splitlines() if self.file and self.file.exists() else ():
            self._take(json.loads(line))

    def _take(self, told: dict[str, Any]) -> None:
        self.index, self.took = int(told["index"]) + 1, self.took + float(told["seconds"])
        if told["worked"] is None:
            self.rejected += 1
        else:
            self.results.append(Worked.of(told["worked"]))

    def step(self, tell: bool = False) -> None:
        """Draw the next truth, and work it if enough of it shows."""
        begun, truth = time.process_time(), drawn(self.kind, self.seed, self.index)
        done = None
        if truth is not None:
            to_end = self.kind in ("none", "two")
            done = work(truth, self._rng(), to_end=to_end)
            if tell and done.places[min(3, len(done.places) - 1)] != 0:
                work(truth, self._rng(), to_end=to_end, tell=True)
            if self.rival:
                done.rival = work(truth, self._rng(), rival=True)
        told = {"index": self.index, "seconds": time.process_time() - begun}
        told["worked"] = dataclasses.asdict(done) if done else None
        if self.file:
            with self.file.open("a") as out:
                out.write(json.dumps(told) + "\n")
        self._take(told)

    def _rng(self) -> random.Random:
        return random.Random(f"work {self.seed} {self.index + 1}")

    def lines(self, cases: int) -> Iterator[str]:
        """Yield how it stands."""
        drawn_words = f"seed {self.seed}; {self.rejected} drawn without enough effect"
        yield f"{self.kind}: {len(self.results)} of {cases} cases worked, {drawn_words}; {self.took:.0f} s"
        yield from table(self.kind, self.results)


def run(
    kind: str,
    cases: int,
    seed: int,
    minutes: float = math.inf,
    say: Callable[[str], None] = print,
    rival: bool = False,
    tell: bool = False,
    keep: Path | None = None,
) -> list[Worked]:
    """Work cases and print the table; return them."""
    one, at = Run(kind, seed, rival, keep), time.perf_counter()
    while len(one.results) < cases and time.perf_counter() - at < 60.0 * minutes:
        before = len(one.results)
        one.step(tell)
        if len(one.results) % 20 == 0 and len(one.results) > before:
            say(f"... {len(one.results)} cases, {time.perf_counter() - at:.0f} s")
    for line in one.lines(cases):
        say(line)
    return one.results


PROOF = {
    "faults": (300, 7026),
    "spice": (50, 7027),
    "none": (100, 7028),
    "two": (100, 7029),
    "prior": (150, 7030),
}
"""Cases and seed of each kind in the whole proof."""


def proof(minutes: float, keep: Path | None) -> None:
    """Work all kinds side by side, the one that is furthest behind first, and print how they stand."""
    at = time.perf_counter()
    runs = {kind: Run(kind, seed, kind == "faults", keep) for kind, (_, seed) in PROOF.items()}
    while time.perf_counter() - at < 60.0 * minutes:
        kind = min(runs, key=lambda k: len(runs[k].results) / PROOF[k][0])
        if len(runs[kind].results) >= PROOF[kind][0]:
            break
        runs[kind].step()
    for kind, one in runs.items():
        print("\n".join(one.lines(PROOF[kind][0])))


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kind", default="faults", choices=(*PROOF, "all"))
    parser.add_argument("--cases", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=math.inf, help="stop after the case at hand")
    parser.add_argument("--rival", action="store_true", help="work each case by half-splitting as well")
    parser.add_argument("--keep", type=Path, help="folder to write each case to, and to go on from")
    parser.add_argument(
        "--tell", action="store_true", help="print cases whose true group is not first after three"
    )
    given = parser.parse_args()
    if given.keep:
        given.keep.mkdir(parents=True, exist_ok=True)
    if given.kind == "all":
        proof(given.minutes, given.keep)
    else:
        run(
            given.kind,
            given.cases,
            given.seed,
            given.minutes,
            rival=given.rival,
            tell=given.tell,
            keep=given.keep,
        )
