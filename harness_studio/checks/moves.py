"""Moves of returns: a ring taken off one ground stud and put on another, or on a new stud beside one; as one edit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from harness_studio.base.ids import split_point
from harness_studio.model.edits import Edit, Put, Together, together
from harness_studio.model.entities import Ground, Page, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.removal import removal_edits
from harness_studio.model.returns import move_return
from harness_studio.model.values import At, End, Spot
from harness_studio.network.conductors import AMBIENT_C
from harness_studio.network.wires import area_mm2
from harness_studio.standards import insulation

from .ways import least_ways

KEEP_OFF = (
    "belt", "seatbelt", "restraint", "brake", "caliper", "steering", "fuel", "petrol", "gasoline", "diesel", "tank",
    "airbag", "srs",
)  # fmt: skip
"""Words by which a place or a stud is taken for one that carries safety parts or fuel: no ground is put there."""
HOT_WIRE = "TXL"
"""Insulation of a wire that is drawn anew where the present one does not bear the air: 125 °C, sold everywhere."""
_ROOM_K = 10.0
_TAIL_MM = 100.0
"""What a wire is taken to be long beyond its runs at each end, where its tails are not known."""
_NEW_STUD_MM = 30.0
"""How far beside the stud it was made from a new one is drawn."""


@dataclass(frozen=True, slots=True)
class Move:
    """One ring from a stud to another, or the whole wire off where `to` is empty.

    `beside` is set where `to` is a new stud on the same metal as that one. `length` tells how the new length is known:
    'by its runs', or 'as before' where no runs lead there; then it is to be measured. `insulation` is that of a new
    wire, where the present one does not bear the air on its new way.
    """

    wire: str
    start: str
    to: str
    beside: str | None = None
    length: str = "as before"
    insulation: str | None = None

    def words(self, harness: Harness) -> str:
        """Return the move as a person does it: 'W71 from GP5 bulkhead to GP3 cylinder head'."""
        if not self.to:
            far = harness.wires[self.wire].other_end(self.start)
            return f"{self.wire} off {harness.title_of(self.start)} and out: {far} is grounded without it"
        if self.beside is not None:
            to = f"a new stud {self.to} beside {harness.title_of(self.beside)}"
        else:
            to = harness.title_of(self.to)
        told = f", drawn anew in {self.insulation}" if self.insulation else ""
        told += "" if self.length == "by its runs" else "; its length is taken as before: measure it"
        return f"{self.wire} from {harness.title_of(self.start)} to {to}{told}"


def keeps_off(harness: Harness, ground: Ground) -> str | None:
    """Return the word by which a stud must not take another return, or None."""
    place = ground.place or ""
    body = harness.bodies.get(place.partition(".")[0])
    texts = (ground.title, ground.note, place, body.title if body else None)
    said = set(re.findall(r"[a-z]+", " ".join(t for t in texts if t).lower().replace("_", " ")))
    return next((w for w in KEEP_OFF if w in said or f"{w}s" in said), None)


def rings_on(harness: Harness, ground: str) -> tuple[str, ...]:
    """Return the wires that end on a ground."""
    return tuple(w.id for w in harness.wires.values() if any(end.point == ground for end in w.ends))


def new_stud(harness: Harness) -> str:
    """Return the next free designator in the series of the grounds that are there."""
    found = [m for g in harness.grounds if (m := re.fullmatch(r"(\D*?)(\d+)", g))]
    letters = found[0][1] if found else "GP"
    number = max((int(m[2]) for m in found if m[1] == letters), default=0) + 1
    while harness.section_of(f"{letters}{number}"):
        number += 1
    return f"{letters}{number}"


def candidates(
    harness: Harness, wires: Sequence[str], start: str, beside: Sequence[str] = (), *, off: bool = False
) -> Iterator[Move]:
    """Yield the moves of wires from a stud: to each other stud, to a new one beside some, or `off` altogether.

    Never to a stud or place that carries seat belts, brakes, steering or fuel.
    """
    fresh = new_stud(harness)
    fit = [g for g in harness.grounds.values() if g.place and keeps_off(harness, g) is None]
    for wire in wires:
        if off:
            yield Move(wire, start, "", length="by its runs")
        for ground in fit:
            if ground.id != start and not any(e.point == ground.id for e in harness.wires[wire].ends):
                yield _with_length(harness, Move(wire, start, ground.id))
        for ground in fit:
            if ground.id in beside:
                yield _with_length(harness, Move(wire, start, fresh, ground.id))


def _with_length(harness: Harness, move: Move) -> Move:
    if move.beside == move.start:
        return replace(move, length="by its runs")
    route = _route(harness, move)
    hottest_c = max((_ambient_c(harness, r) for r in route.runs), default=0.0) if route else 0.0
    ground = harness.grounds[move.beside or move.to]
    hottest_c = max(hottest_c, _zone_c(harness, ground.zone))
    known = insulation.temperature_class(harness.wires[move.wire].insulation or "")
    too_hot = known is not None and known.max_c < hottest_c + _ROOM_K
    return replace(
        move, length="by its runs" if route else "as before", insulation=HOT_WIRE if too_hot else None
    )


def _ambient_c(harness: Harness, run_id: str) -> float:
    run = harness.runs[run_id]
    return max(_zone_c(harness, zone) for zone in (run.zone, *(harness.breakouts[b].zone for b in run.ends)))


def _zone_c(harness: Harness, zone: str | None) -> float:
    """Return the warmest air of a zone in any mode."""
    if zone is None:
        return AMBIENT_C
    known = harness.zones[zone].ambient_c if zone in harness.zones else None
    modes = [m.ambient_c[zone] for m in harness.modes.values() if zone in m.ambient_c]
    return max([known if known is not None else AMBIENT_C, *modes])


@dataclass(frozen=True, slots=True)
class Route:
    """The runs from a wire's other end to a stud, and their length between the two."""

    runs: tuple[str, ...]
    length_mm: float


def _route(harness: Harness, move: Move) -> Route | None:
    """Return the shortest way through the runs from a wire's other end to the new stud, None if that is not known."""
    ground = harness.grounds[move.beside or move.to]
    there = _starts(harness, ground.at)
    here = _starts(harness, _spot(harness, harness.wires[move.wire].other_end(move.start)))
    number = {name: n for n, name in enumerate(harness.breakouts)}
    runs = [r for r in harness.runs.values() if r.length_mm is not None]
    near: dict[int, list[tuple[int, int]]] = {}
    for n, run in enumerate(runs):
        a, b = (number[end] for end in run.ends)
        near.setdefault(a, []).append((b, n))
        near.setdefault(b, []).append((a, n))
    lengths = [float(r.length_mm or 0.0) for r in runs]
    best: Route | None = None
    for name, (before_mm, before) in here.items():
        reached, via = least_ways(near, lengths, [number[name]])
        for goal, (after_mm, after) in there.items():
            if number[goal] not in reached:
                continue
            total = before_mm + reached[number[goal]] + after_mm
            if best is None or total < best.length_mm:
                at, between = number[goal], []
                while at in via:
                    at, n = via[at]
                    between.append(runs[n].id)
                named = tuple(dict.fromkeys((*before, *reversed(between), *after)))
                best = Route(named, total)
    return best


def _starts(harness: Harness, spot: Spot | None) -> dict[str, tuple[float, tuple[str, ...]]]:
    """Return by breakout how far a spot is from it, and the run it lies on; nothing where that is not known."""
    if spot is None:
        return {}
    if spot.breakout is not None:
        return {spot.breakout: (0.0, ())}
    run = harness.runs.get(spot.run or "")
    if run is None or run.length_mm is None or spot.mm is None:
        return {}
    first, second = run.ends
    return {first: (spot.mm, (run.id,)), second: (max(run.length_mm - spot.mm, 0.0), (run.id,))}


def _spot(harness: Harness, end: End) -> Spot | None:
    if end.point is None:
        return None
    owner = split_point(end.point)[0]
    half = harness.halves.get(owner)
    if half is not None and half.at is None and half.part:
        owner = half.part
    for table in (harness.parts, harness.halves, harness.splices, harness.grounds):
        if owner in table:
            return table[owner].at
    return None


def edit_of(harness: Harness, moves: Sequence[Move]) -> Together | None:
    """Return the one step that makes moves, the stacks in order, largest next to the metal; None without moves."""
    if not moves:
        return None
    tried = harness.snapshot()
    edits: list[Edit] = []
    for move in moves:
        for edit in _one(tried, move):
            edit.apply(tried)
            edits.append(edit)
    count = len(moves)
    return together(edits, f"move {count} {'returns' if count > 1 else 'return'} to other studs")


def _one(harness: Harness, move: Move) -> Iterator[Edit]:
    if not move.to:
        yield from list(removal_edits(harness, [("wires", move.wire)]))
        return
    if move.beside is not None and move.to not in harness.grounds:
        pattern = harness.grounds[move.beside]
        title = f"beside {pattern.title or pattern.id}"
        yield Put(
            "grounds",
            Ground(move.to, title, pattern.place, pattern.zone, pattern.at, pattern.stud, pattern.reach),
        )
        for page in list(harness.pages.values()):
            if move.beside in page.items:
                yield Put("pages", _with_symbol(page, move.to, page.items[move.beside]))
    tried, route = harness.snapshot(), None if move.beside == move.start else _route(harness, move)
    for edit in move_return(harness, move.wire, move.to, move.start).edits:
        edit.apply(tried)
        yield edit
    wire = _drawn(tried, move, route)
    if wire != tried.wires[move.wire]:
        yield Put("wires", wire)
    ground = tried.grounds[move.to]
    ordered = tuple(sorted(ground.stack, key=lambda ring: -_largest(tried, ring)))
    if ordered != ground.stack:
        yield Put("grounds", replace(ground, stack=ordered))


def _with_symbol(page: Page, key: str, beside: At) -> Page:
    return replace(page, items={**page.items, key: replace(beside, x_mm=beside.x_mm + _NEW_STUD_MM)})


def _drawn(harness: Harness, move: Move, route: Route | None) -> Wire:
    """Return a moved wire with the length of its new way."""
    wire = harness.wires[move.wire]
    if move.insulation is not None:
        wire = replace(wire, insulation=move.insulation)
    if route is None:
        return wire
    tails = sum(wire.tails_mm) if wire.tails_mm else 2 * _TAIL_MM
    length_mm = round(route.length_mm + tails + (wire.slack_mm or 0.0), -1)
    return replace(wire, runs=route.runs, tails_mm=None, slack_mm=None, length_mm=length_mm)


def _largest(harness: Harness, ring: Sequence[str]) -> float:
    return max((area_mm2(harness.wires[w]) or 0.0) for w in ring)
