"""Flags round a crowded drawing: each on a free place near what it is about, led to it by a line that meets no other.

Each takes the best free place; those that find none are placed first in the next round ('squeaky wheel' ordering, as in
Joslin and Clements, Journal of Artificial Intelligence Research 10, 1999). All begin with their shortest words; where
room is left they get longer ones.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from harness_studio.base.geometry import Box, Point

from .lines import Array, Segment, beads, crossing, ends, length, sides, through

Key = tuple[str, str]
"""Kind and id of what a flag is about."""

_REACHES_MM = (0.0, 1.2, 2.6, 4.2, 6.2, 8.5, 11.0, 14.0, 17.5, 21.5, 26.0, 31.0, 37.0, 44.0, 52.0)
_ANGLES = tuple(math.radians(a) for a in range(0, 360, 10))
_BETWEEN_MM = 0.5
"""Free between flags, on each side of one."""
_BESIDE_MM, _PUSH_MM = 10.0, 6.0
"""Flags of places so near one another may be in each other's way; they are then put farther off."""
_ROUNDS, _MOST_ROUNDS, _FEW = 2, 8, 4
"""More rounds are worth their time where few flags have no place."""
_HOPELESS, _HOPELESS_SHARE = 8, 0.15
"""Where more flags than that find no place, another order does not help."""
_WORTH_MM = 7.0
"""So much farther away a flag may go for longer words."""
_CROSSING_MM = 4.0
"""A leader over a bar costs as much as so much distance."""
_LED_FROM_MM = 1.0
_SQUEEZED_MM, _SQUEEZES = 22.0, 8
"""Flags so near to one without a place are put down anew, so many times."""
_NEXT_MM = 1.5
"""What the next of a flag's places costs."""


@dataclass(frozen=True, slots=True)
class Flag:
    """What wants a place.

    Parameters
    ----------
    at
        The places that it may be led to, best first.
    sizes
        (width, height) in mm of what may be shown, the largest first.
    gap
        Distance in mm that it keeps from the place.
    towards
        The direction in which it is best put.
    """

    key: Key
    at: tuple[Point, ...]
    sizes: tuple[tuple[float, float], ...]
    gap: float = 1.0
    rank: int = 0
    towards: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Put:
    """A flag that has its place: which of its sizes it has, and the line that leads to it where it stands away."""

    box: Box
    size: int
    leader: Segment | None


@dataclass(slots=True)
class _Table:
    """What is there already: boxes that nothing may cover, lines that no leader may cross."""

    fixed: Array
    bars: Array
    flags: dict[Key, Put] = field(default_factory=dict)
    covers: dict[Key, Array] = field(default_factory=dict)

    def add(self, key: Key, put: Put) -> None:
        """Put a flag down."""
        own = [sides(put.box, _BETWEEN_MM)]
        along = beads(*put.leader, 0.25, 1.2) if put.leader else []
        self.flags[key], self.covers[key] = put, np.array([*own, *along], dtype=float)

    def take(self, key: Key) -> Put | None:
        """Take a flag up again."""
        self.covers.pop(key, None)
        return self.flags.pop(key, None)

    def clear(self) -> None:
        """Take all flags up."""
        self.flags, self.covers = {}, {}

    def boxes(self) -> Array:
        """Return (n, 4) of left, top, right, bottom."""
        return np.concatenate([self.fixed, *self.covers.values()])

    def leaders(self) -> Array:
        """Return (n, 4) of the lines that lead to flags."""
        found = [ends(p.leader) for p in self.flags.values() if p.leader]
        return np.array(found, dtype=float).reshape(-1, 4)

    def texts(self) -> Array:
        """Return (n, 4) of the flags."""
        return np.array([sides(p.box, 0.2) for p in self.flags.values()], dtype=float).reshape(-1, 4)


def place(
    flags: Sequence[Flag],
    bars: Sequence[tuple[Segment, float]],
    discs: Sequence[tuple[Point, float]],
    room: Box,
    *,
    hurried: bool = False,
) -> tuple[dict[Key, Put], list[Key]]:
    """Place flags in a room; return those that have a place, and the keys of those that found none.

    One that is hurried gives up where too many find none, and finds longer words only where all have a place.

    Parameters
    ----------
    bars
        Straight pieces and half their breadth, which no flag may cover.
    discs
        Marks and their radius, which no flag and no leader of another may cover.
    """
    covered = [side for (a, b), half in bars for side in beads(a, b, half, max(1.0, 2 * half))]
    covered += [sides(Box(p.x_mm - r, p.y_mm - r, 2 * r, 2 * r), 0.1) for p, r in discs]
    table = _Table(
        np.array(covered, dtype=float).reshape(-1, 4),
        np.array([ends(s) for s, _ in bars], dtype=float).reshape(-1, 4),
    )
    marks = np.array(
        [(p.x_mm - r, p.y_mm - r, p.x_mm + r, p.y_mm + r) for p, r in discs], dtype=float
    ).reshape(-1, 4)
    most = int(max(_HOPELESS, len(flags) * _HOPELESS_SHARE))
    left = _rounds(flags, table, marks, room, most, hurried=hurried)
    if 0 < len(left) <= _FEW:
        left = [f for f in left if not _squeezed(f, flags, table, marks, room)]
    wordy = not left or (not hurried and len(left) <= most)
    for flag in sorted(flags, key=lambda f: f.rank) if wordy else ():
        _lengthen(flag, table, marks, room)
    return table.flags, [f.key for f in left]


def _rounds(
    flags: Sequence[Flag], table: _Table, marks: Array, room: Box, most: int, *, hurried: bool
) -> list[Flag]:
    """Put flags down in rounds, those that found no place earlier in the next; keep the best, return what it lacks."""
    order = sorted(flags, key=lambda f: (f.rank, -_crowd(f, flags)))
    pushed = dict.fromkeys((f.key for f in flags), 0.0)
    best: tuple[list[Flag], dict[Key, Put]] | None = None
    for number in range(_MOST_ROUNDS):
        table.clear()
        lost: list[Flag] = []
        for flag in order:
            put = _find(flag, table, marks, room, (len(flag.sizes) - 1,), pushed=pushed[flag.key])
            if put is None:
                lost.append(flag)
            else:
                table.add(flag.key, put)
            if hurried and len(lost) > most:
                return [f for f in flags if f.key not in table.flags]
        if best is None or len(lost) < len(best[0]):
            best = lost, dict(table.flags)
        if not lost or len(lost) > (most if number < _ROUNDS else _FEW):
            break
        order = [*lost, *(f for f in order if f not in lost)]
        for flag in flags:  # those that wall others in make room for their leaders
            pushed[flag.key] += _PUSH_MM * any(_beside(flag, other) for other in lost)
    assert best is not None
    table.clear()
    for key, put in best[1].items():
        table.add(key, put)
    return best[0]


def _squeezed(lost: Flag, flags: Sequence[Flag], table: _Table, marks: Array, room: Box) -> bool:
    """Give a flag a place by putting those about it down anew in other orders; tell whether it has one."""
    at = lost.at[0]
    near = [f for f in flags if math.dist((f.at[0].x_mm, f.at[0].y_mm), (at.x_mm, at.y_mm)) < _SQUEEZED_MM]
    near = [f for f in near if f.key in table.flags]
    before = {f.key: table.flags[f.key] for f in near}
    rng = random.Random(lost.key[1])
    for _ in range(_SQUEEZES):
        for flag in near:
            table.take(flag.key)
        done = []
        for flag in (lost, *near):
            put = _find(flag, table, marks, room, (len(flag.sizes) - 1,), pushed=rng.choice((0.0, 6.0)))
            if put is None:
                break
            table.add(flag.key, put)
            done.append(flag)
        else:
            return True
        for flag in done:
            table.take(flag.key)
        rng.shuffle(near)
    for key, put in before.items():
        table.add(key, put)
    return False


def _crowd(flag: Flag, flags: Sequence[Flag]) -> int:
    return sum(_beside(flag, other) for other in flags)


def _beside(flag: Flag, other: Flag) -> bool:
    a, b = flag.at[0], other.at[0]
    return abs(a.x_mm - b.x_mm) < _BESIDE_MM and abs(a.y_mm - b.y_mm) < _BESIDE_MM


def _lengthen(flag: Flag, table: _Table, marks: Array, room: Box) -> None:
    """Give a flag the longest words that have room."""
    before = table.take(flag.key)
    if before is None:
        return
    found = _find(flag, table, marks, room, range(before.size), length(before.leader) + _WORTH_MM)
    table.add(flag.key, found or before)


def _find(
    flag: Flag,
    table: _Table,
    marks: Array,
    room: Box,
    sizes: Sequence[int],
    most: float = math.inf,
    pushed: float = 0.0,
) -> Put | None:
    """Return the best free place of a flag, None where there is none within `most` mm; not nearer than is pushed."""
    boxes = table.boxes()
    for size in sizes:
        put = _best(flag, size, table, boxes, marks, room, (pushed, most))
        if put is not None:
            return put
    return None


def _best(
    flag: Flag,
    size: int,
    table: _Table,
    boxes: Array,
    marks: Array,
    room: Box,
    span: tuple[float, float],
) -> Put | None:
    wide, high = flag.sizes[size]
    far = _REACHES_MM[-1] + flag.gap + max(wide, high)
    boxes, texts = (_about(some, flag, far) for some in (boxes, table.texts()))
    leaders = table.leaders()
    best: tuple[float, Put] | None = None
    for number, at in enumerate(flag.at):
        holds = (marks[:, 0] <= at.x_mm + 0.3) & (marks[:, 2] >= at.x_mm - 0.3)
        holds &= (marks[:, 1] <= at.y_mm + 0.3) & (marks[:, 3] >= at.y_mm - 0.3)
        others = marks[~holds]
        for ring in _rings():
            if ring.reach > span[1] or (best is not None and best[0] <= ring.reach + number * _NEXT_MM):
                break
            found = _round(flag, at, (wide, high), ring, room, boxes)
            if found is None:
                continue
            costs, places, tips = found
            costs = costs + 1.5 * np.maximum(0.0, span[0] - costs)
            lines = np.concatenate([np.broadcast_to([at.x_mm, at.y_mm], tips.shape), tips], axis=1)
            led = np.hypot(*(tips - [at.x_mm, at.y_mm]).T) > flag.gap + _LED_FROM_MM
            if led.any():
                barred = through(lines, texts).any(axis=1) | crossing(lines, leaders).any(axis=1)
                barred |= through(lines, others).any(axis=1)
                costs = costs + np.where(led, _CROSSING_MM * crossing(lines, table.bars).sum(axis=1), 0.0)
                costs = np.where(led & barred, math.inf, costs)
            k = int(np.argmin(costs))
            cost = float(costs[k]) + number * _NEXT_MM
            if math.isfinite(cost) and (best is None or cost < best[0]):
                x, y = (float(v) for v in places[k, :2])
                line = (at, Point(float(tips[k, 0]), float(tips[k, 1]))) if led[k] else None
                best = cost, Put(Box(x, y, wide, high), size, line)
    return best[1] if best else None


def _round(
    flag: Flag, at: Point, size: tuple[float, float], ring: _Ring, room: Box, boxes: Array
) -> tuple[Array, Array, Array] | None:
    """Return what the free places at some distances cost, the places, and where a leader would end; None for none."""
    wide, high = size
    # A direction is from the place to the nearest point of the flag, more or less: wide flags stand off by less.
    left = at.x_mm + ring.unit[:, 0] * (ring.far + flag.gap + wide / 2) - wide / 2
    top = at.y_mm + ring.unit[:, 1] * (ring.far + flag.gap + high / 2) - high / 2
    free = (left >= room.left_mm) & (top >= room.top_mm) & (left + wide <= room.right_mm)
    kept = np.flatnonzero(free & (top + high <= room.bottom_mm))
    if not kept.size:
        return None
    l, t = left[kept, None], top[kept, None]  # noqa: E741
    near = (boxes[:, 0] < l.max() + wide) & (boxes[:, 2] > l.min())
    near &= (boxes[:, 1] < t.max() + high) & (boxes[:, 3] > t.min())
    x1, y1, x2, y2 = np.ascontiguousarray(boxes[near].T)
    hit = (l < x2) & (x1 < l + wide) & (t < y2) & (y1 < t + high)
    kept = kept[~hit.any(axis=1)]
    if not kept.size:
        return None
    places = np.stack([left, top, left + wide, top + high], axis=1)[kept]
    tips = np.clip([at.x_mm, at.y_mm], places[:, :2], places[:, 2:])
    return ring.far[kept] + _bent(flag, ring.turn[kept]), places, tips


def _bent(flag: Flag, turn: Array) -> Array:
    """Return what it costs to stand elsewhere than where the flag is best put."""
    if math.hypot(*flag.towards) < 1e-6:
        return 0.0 * turn
    return 8.0 * (1 - np.cos(turn - math.atan2(flag.towards[1], flag.towards[0])))


def _about(boxes: Array, flag: Flag, by: float) -> Array:
    """Return the boxes that a flag may meet at all."""
    xs, ys = [p.x_mm for p in flag.at], [p.y_mm for p in flag.at]
    near = (boxes[:, 0] < max(xs) + by) & (boxes[:, 2] > min(xs) - by)
    near &= (boxes[:, 1] < max(ys) + by) & (boxes[:, 3] > min(ys) - by)
    return boxes[near]


@dataclass(frozen=True, slots=True)
class _Ring:
    """Places round a point that are tried together: the least distance, and direction, distance and angle of each."""

    reach: float
    unit: Array
    far: Array
    turn: Array


@cache
def _rings() -> tuple[_Ring, ...]:
    """Return the places round a point from near to far."""
    found = []
    for k in range(0, len(_REACHES_MM), 3):
        turn, far = (g.ravel() for g in np.meshgrid(np.array(_ANGLES), np.array(_REACHES_MM[k : k + 3])))
        found.append(_Ring(_REACHES_MM[k], np.stack([np.cos(turn), np.sin(turn)], axis=1), far, turn))
    return tuple(found)
