"""What differs between two modes: what is set, and what follows from it. Nothing that is alike."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.modes import resolve
from harness_studio.network.network import Overrides, ResolvedMode

from .loading import FUSES
from .readings import Change, compare, readings
from .solution import Solution
from .solve import solve

What = Literal["set", "reading", "ground", "fuse", "state"]
LEAST_A = 0.05
LEAST_RISE_V = 0.002
NOTICED = 1.0


@dataclass(frozen=True, slots=True)
class Differs:
    """One difference: of which thing (none for the engine), which value of it, in the first mode and in the second.

    `first` and `second` are numbers with a `unit`, or words; None stands for no value.
    """

    what: What
    thing: str
    name: str
    first: float | str | None
    second: float | str | None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class ModeChanges:
    """The differences between two modes: what is set first, then readings, states, grounds and fuses."""

    first: str | None
    second: str | None
    rows: tuple[Differs, ...]


def mode_changes(
    harness: Harness,
    first: str | None,
    second: str | None,
    overrides: Overrides | None = None,
    solved: Solution | None = None,
) -> ModeChanges:
    """Return what differs between two modes.

    Parameters
    ----------
    overrides
        What is set beside the file, in both modes alike.
    solved
        The solution of the first, to use it again.

    Raises
    ------
    AddressError
        If a mode is not there.
    SolveError
        If one of them has no solution.
    """
    one, two = resolve(harness, first, overrides), resolve(harness, second, overrides)
    before = solved or solve(expand(harness, first, overrides))
    after = solve(expand(harness, second, overrides))
    rows = [*_set(harness, one, two), *_read(harness, before, after), *_states(before, after)]
    rows += [*_carried(harness, before, after)]
    return ModeChanges(first, second, tuple(rows))


def _set(harness: Harness, one: ResolvedMode, two: ResolvedMode) -> Iterator[Differs]:
    if one.engine != two.engine:
        yield Differs("set", "", "engine", one.engine, two.engine)
    for part in harness.parts.values():
        positions = getattr(part.ratings, "positions", None)
        usual = next(iter(positions)) if positions else None
        for name, first, second, default in (
            ("position", one.positions, two.positions, usual),
            ("load", one.loads, two.loads, None),
            ("sender", one.senders, two.senders, None),
        ):
            a, b = first.get(part.id, default), second.get(part.id, default)
            if a != b:
                yield Differs("set", part.id, name, a, b)


def _read(harness: Harness, before: Solution, after: Solution) -> Iterator[Differs]:
    found: list[Change] = compare(readings(harness, before), readings(harness, after))
    for change in found:
        if change.weight >= NOTICED:
            thing = change.reading.partition(" ")[0].partition("/")[0]
            yield Differs("reading", thing, change.reading, change.clean, change.bad, change.unit)


def _states(before: Solution, after: Solution) -> Iterator[Differs]:
    for part in dict.fromkeys((*before.states, *after.states)):
        a, b = before.states.get(part), after.states.get(part)
        if a != b:
            yield Differs("state", part.partition("/")[0], part, a, b)


def _carried(harness: Harness, before: Solution, after: Solution) -> Iterator[Differs]:
    names = [(g, "ground") for g in harness.grounds]
    names += [(p.id, "fuse") for p in harness.parts.values() if p.kind in FUSES]
    for name, what in names:
        if name not in before.network.joints or name not in after.network.joints:
            continue
        a, b = (abs(s.joint(name).amperes) for s in (before, after))
        kind: What = "ground" if what == "ground" else "fuse"
        if abs(a - b) >= LEAST_A:
            yield Differs(kind, name, f"{name} current", a, b, "A")
        if kind == "ground":
            rise = [_volt(s, name) for s in (before, after)]
            if rise[0] is not None and rise[1] is not None and abs(rise[0] - rise[1]) >= LEAST_RISE_V:
                yield Differs(kind, name, f"{name} rise", rise[0], rise[1], "V")


def _volt(solution: Solution, ground: str) -> float | None:
    found = solution.volt(ground) if ground in solution.network.index else None
    return None if found is None or math.isnan(found) else found
