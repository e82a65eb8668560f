"""What was noted of worked cases, and the table of it; a missed target is printed as missed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from harness_studio.casebook.suspects import Suspects

SURE, LEAST_P = 0.9, 0.05
JUDGED, BINS, OFF = 100, 10, 0.08


@dataclass
class Worked:
    """A worked case: after each reading the true group's place, the greatest probability, and what none fits has."""

    stratum: str
    places: list[int] = field(default_factory=list)
    greatest: list[float] = field(default_factory=list)
    none_fits: list[float] = field(default_factory=list)
    chances: list[tuple[float, bool]] = field(default_factory=list)
    rival: "Worked | None" = None

    @staticmethod
    def of(told: dict[str, Any]) -> "Worked":
        """Return a case that was written down."""
        rival = told.pop("rival")
        chances = [(float(p), bool(true)) for p, true in told.pop("chances")]
        return Worked(**told, chances=chances, rival=Worked.of(rival) if rival else None)

    def note(self, found: Suspects, place: int, joints: tuple[str, ...]) -> None:
        """Take down how it stands."""
        chance = found.probability
        self.places.append(place)
        self.greatest.append(float(chance.max(initial=0.0)))
        self.none_fits.append(found.none_fits)
        for n, p in enumerate(chance.tolist()):
            if p > LEAST_P:
                group = found.groups[n]
                self.chances.append((p, group.fault == "series" and bool(set(joints) & set(group.members))))

    def place(self, readings: int) -> int:
        """Return the place after so many readings, or after the last."""
        return self.places[min(readings, len(self.places) - 1)]

    @property
    def sure(self) -> int | None:
        """Readings until one group had 0.9; None if none ever had."""
        return next((n for n, p in enumerate(self.greatest) if p >= SURE), None)


def table(kind: str, results: Sequence[Worked]) -> Iterator[str]:
    """Yield the lines of the table."""
    if not results:
        return
    yield "| | target | measured |"
    yield "| --- | --- | --- |"
    if kind == "none":
        yield from _none_lines(results)
    elif kind == "two":
        part = sum(w.place(6) <= 1 for w in results) / len(results)
        yield _line("one of two named in the first two after six", 0.80, part, part >= 0.80)
    else:
        yield from _fault_lines(results)
        yield from _calibration(results, "prior" in kind)


def _line(what: str, target: float | str, measured: float, met: bool) -> str:
    return f"| {what} | {target} | {measured:.3g}{'' if met else ', missed'} |"


def _fault_lines(results: Sequence[Worked]) -> Iterator[str]:
    count = len(results)
    targets = {3: 0.85, 4: 0.93}
    for readings in range(5):
        part = sum(w.place(readings) == 0 for w in results) / count
        target = targets.get(readings)
        yield _line(
            f"true group strictly first after {readings}",
            target or "-",
            part,
            target is None or part >= target,
        )
    for stratum in sorted({w.stratum for w in results}):
        some = [w for w in results if w.stratum == stratum]
        part = sum(w.place(3) == 0 for w in some) / len(some)
        yield _line(f"of {len(some)} {stratum}: first after 3", "-", part, True)
    sure = [w for w in results if w.sure is not None]
    yield _line("sure (p >= 0.9) within six readings", "-", len(sure) / count, True)
    if sure:
        mean = sum(w.sure or 0 for w in sure) / len(sure)
        yield _line("readings until sure, mean of those", 3.3, mean, mean <= 3.3)
        wrong = sum(w.places[w.sure or 0] != 0 for w in sure) / len(sure)
        yield _line("wrong when it stops", 0.05, wrong, wrong <= 0.05)
    yield from _rival_lines(results)


def _rival_lines(results: Sequence[Worked]) -> Iterator[str]:
    pairs = [(w, w.rival) for w in results if w.rival is not None]
    if not pairs:
        return
    never = 7
    ours = sum(never if w.sure is None else w.sure for w, _ in pairs) / len(pairs)
    theirs = sum(never if r.sure is None else r.sure for _, r in pairs) / len(pairs)
    yield _line("readings until sure, never counted as 7", "-", ours, True)
    yield _line("the same by half-splitting", "-", theirs, True)
    both = [(w.sure, r.sure) for w, r in pairs if w.sure is not None and r.sure is not None]
    if both:
        yield _line(
            "half-splitting, mean of those both got sure of", "-", sum(r for _, r in both) / len(both), True
        )
        yield _line("ours, mean of the same", "-", sum(s for s, _ in both) / len(both), True)
    part = ours / max(theirs, 1e-9)
    yield _line("ours / half-splitting", 0.8, part, part <= 0.8)


def _none_lines(results: Sequence[Worked]) -> Iterator[str]:
    count = len(results)
    part = (
        sum(any(n >= 0.5 and n > g for n, g in zip(w.none_fits, w.greatest, strict=True)) for w in results)
        / count
    )
    yield _line("'none fits' first and >= 0.5 within six readings", 0.90, part, part >= 0.90)
    wrong = sum(max(w.greatest) >= SURE for w in results) / count
    yield _line("some group ever >= 0.9", 0.0, wrong, wrong == 0.0)


def _calibration(results: Sequence[Worked], judged: bool) -> Iterator[str]:
    """Yield observed against predicted in ten bins: judged where faults come from the program's own prior."""
    entries = [e for w in results for e in w.chances]
    for number in range(BINS):
        low, high = number / BINS, (number + 1) / BINS
        some = [(p, true) for p, true in entries if low <= p < high or (p == 1.0 and number == BINS - 1)]
        if not some:
            continue
        predicted = sum(p for p, _ in some) / len(some)
        observed = sum(true for _, true in some) / len(some)
        off = abs(observed - predicted)
        target: float | str = (
            f"{predicted:.2f} ± {OFF}" if judged and len(some) >= JUDGED else f"({predicted:.2f})"
        )
        yield _line(
            f"p {low:.1f}-{high:.1f}, {len(some)} entries: truth",
            target,
            observed,
            off <= OFF or not judged or len(some) < JUDGED,
        )
