"""What is said on the build board, and about which places: breakouts, runs, splices, and the things at the ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from harness_studio.base.geometry import Point
from harness_studio.model.harness import Harness

from .plan import Plan, known_as
from .stretch import Stretch

Kind = Literal["breakout", "connector", "thing", "splice", "run", "bunch", "cut"]
RANKS: dict[Kind, int] = {
    "cut": -1,
    "bunch": 0,
    "breakout": 0,
    "splice": 1,
    "connector": 2,
    "thing": 2,
    "run": 3,
}


@dataclass(frozen=True, slots=True)
class Tag:
    """Words about a place.

    Parameters
    ----------
    id
        The run or what has its place in the plan: key of `Plan.nodes`, `things`, `splices`.
    name
        Its id in the harness.
    words
        (strong, plain) words that may be said, the longest first; the last ones must be.
    at
        Where it may point to, in mm of the build board, best first.
    towards
        The direction in which it is best put, as a vector; (0, 0) for none.
    """

    id: str
    kind: Kind
    name: str
    words: tuple[tuple[str, str], ...]
    at: tuple[Point, ...]
    towards: tuple[float, float] = (0.0, 0.0)

    @property
    def key(self) -> tuple[str, str]:
        """What tells it from all others."""
        return self.kind, self.id


def tags(harness: Harness, made: Plan) -> list[Tag]:
    """Return all that is said on the build board of a harness."""
    return [
        *_things(harness, made),
        *_breakouts(harness, made),
        *_splices(harness, made),
        *_runs(harness, made),
    ]


def long(mm: float) -> str:
    """Return a length as it is said on the build board."""
    return f"{mm:g} mm"


def _things(harness: Harness, made: Plan) -> Iterator[Tag]:
    for thing, at in made.things.items():
        tail = made.tail_of(thing)
        name = known_as(thing)
        title = harness.title_of(name).partition(" ")[2]
        said = long(tail.length_mm)
        words = tuple((name, w) for w in ((f"{title}, {said}",) if title else ()) + (said, ""))
        kind: Kind = "connector" if name in harness.halves else "thing"
        yield Tag(thing, kind, name, words, (at,), (at.x_mm - tail.start.x_mm, at.y_mm - tail.start.y_mm))


def _breakouts(harness: Harness, made: Plan) -> Iterator[Tag]:
    for node, at in made.nodes.items():
        found = harness.tables["breakouts"].get(node)
        titles = (found.title, "") if found and found.title else ("",)
        words = tuple((node, w) for w in titles)
        yield Tag(node, "breakout", node, words, (at,))


def _splices(harness: Harness, made: Plan) -> Iterator[Tag]:
    """Yield the splices; those at one place together."""
    places: dict[tuple[float, float], list[str]] = {}
    for splice, at in made.splices.items():
        places.setdefault((round(at.x_mm, 1), round(at.y_mm, 1)), []).append(splice)
    for here in places.values():
        spot = harness.splices[here[0]].at
        name = " ".join(here)
        words: tuple[tuple[str, str], ...] = ((name, ""),)
        if spot and spot.mm is not None and spot.run in harness.runs:
            first = harness.runs[spot.run].ends[0]
            words = ((name, f"{long(spot.mm)} from {first}"), (name, long(spot.mm)))
        yield Tag(here[0], "splice", name, words, (made.splices[here[0]],))


def _runs(harness: Harness, made: Plan) -> Iterator[Tag]:
    for stretch in made.stretches:
        if stretch.kind != "run":
            continue
        run = harness.runs[stretch.id]
        said = long(stretch.length_mm) if stretch.known else "length not known"
        onward = f"goes on at {stretch.onward}" if stretch.onward else ""
        full = ", ".join(filter(None, (said, run.covering or "", onward)))
        short = f"{stretch.length_mm:g}" if stretch.known else "?"
        words = (("", f"{run.id}, {full}"), ("", full), ("", ", ".join(filter(None, (short, onward)))))
        yield Tag(stretch.id, "run", stretch.id, words, _along(stretch))


def _along(stretch: Stretch) -> tuple[Point, ...]:
    shares = (0.9, 0.97, 0.75) if stretch.onward else (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
    return tuple(stretch.along(stretch.length_mm * share) for share in shares)
