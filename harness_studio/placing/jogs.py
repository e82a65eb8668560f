"""Steps aside: where a straight stretch finds no room, or where two wires would lie on each other."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from harness_studio.base.geometry import Point

from .stretches import Bools, Floats, Held, Ints, Stretches, Way, Which, some_of

_SAME_MM = 0.3
_OVERLAP_MM = 0.3
_ON_MM = 4 * _SAME_MM
_SEEN_MM = 60.0
_STEP_MM = 4.0
_WORTH = 1.4
"""A split must make this much more room."""
Frees = tuple[Point | None, ...]
"""Where the two ends of a way are free to turn; None for an end without a symbol."""


def jog_where_they_lie_on_each_other(ways: Sequence[Way], near: Held, frees: Sequence[Frees]) -> set[int]:
    """Give ways that share a stretch a step aside, to be moved apart after that; return which.

    Parameters
    ----------
    ways
        Ways that may change; `near` may not.
    frees
        For each of `ways`, where its ends are free to turn.
    """
    stepping: set[Which] = set()
    for first, second in overlaps(ways, near):
        for w, k in (second, first):
            if w < len(ways) and not ways[w].loose[k] and _may_step(ways[w], k, frees[w]):
                stepping.add((w, k))
                break
    found = {w for w, _ in stepping}
    for w in found:
        _step_aside(ways[w], {k for other, k in stepping if other == w}, frees[w])
    return found


def split_crowded(ways: Sequence[Way], crowded: Sequence[Which], boxes: Floats) -> set[int]:
    """Split stretches that stand too close to others where their parts have more room each; return which ways.

    A long stretch has only the room that is free along all of it; in two parts, with a step between them, each has its
    own.
    """
    done: set[int] = set()
    for w, k in sorted(crowded, reverse=True):
        way = ways[w]
        upright = (k % 2 == 0) != way.level_first
        found = _best_split(way, k, boxes if upright else boxes[:, [2, 3, 0, 1]], upright)
        if found is not None:
            a = way.points[k]
            corner = [a[0], found] if upright else [found, a[1]]
            way.points[k + 1 : k + 1] = [corner, list(corner)]
            way.loose[k : k + 1] = [True, True, True]
            done.add(w)
    return done


def _best_split(way: Way, k: int, table: Floats, upright: bool) -> float | None:
    """Return where along a stretch to split it so that the narrower part has most room, or None if nothing is won."""
    across, along = (0, 1) if upright else (1, 0)
    at = way.points[k][across]
    low, high = sorted((way.points[k][along], way.points[k + 1][along]))
    near, far, start, end = table.T
    beside = (
        (end > low)
        & (start < high)
        & ((far <= at) | (near >= at))
        & (near < at + _SEEN_MM)
        & (far > at - _SEEN_MM)
    )
    near, far, start, end = near[beside], far[beside], start[beside], end[beside]

    places = np.unique(np.concatenate((start - _STEP_MM, end + _STEP_MM)))
    places = places[(places > low + _STEP_MM) & (places < high - _STEP_MM)]
    rooms = np.minimum(
        _room(at, near, far, start[None, :] < places[:, None]),
        _room(at, near, far, end[None, :] > places[:, None]),
    )
    whole = float(_room(at, near, far, np.ones((1, len(near)), bool))[0])
    if not len(places) or rooms.max() <= whole * _WORTH + 0.1:
        return None
    return float(places[int(rooms.argmax())])


def _room(at: float, near: Floats, far: Floats, counts: Bools) -> Floats:
    """Return for each row of `counts` how much room the boxes that count leave about `at`."""
    least = np.where(counts & (far <= at), far, -np.inf).max(axis=1, initial=at - _SEEN_MM)
    most = np.where(counts & (near >= at), near, np.inf).min(axis=1, initial=at + _SEEN_MM)
    return np.asarray(most - least, float)


def overlaps(ways: Sequence[Way], near: Held | None = None) -> list[tuple[Which, Which]]:
    """Return the pairs of (way, stretch) of different ways that lie on each other; those of `near` come last.

    Pairs of which neither may change are left out.
    """
    every = near or Held()
    return [pair for upright in (False, True) for pair in lying_on(every.beside(ways, upright), len(ways))]


def lying_on(lines: Stretches, ways: int) -> list[tuple[Which, Which]]:
    """Return the pairs of (way, stretch) of different ways that lie on each other, of stretches along one axis.

    Parameters
    ----------
    ways
        How many ways may change, the first ones: pairs of others are left out.
    """
    own = int((lines.way < ways).sum())
    if own < len(lines.at):
        lines = some_of(lines, np.flatnonzero((lines.way < ways) | _on_a_line_of(lines, own)))
    found: list[tuple[Which, Which]] = []
    by_at = np.argsort(lines.at, kind="stable")
    line = np.zeros(len(by_at), np.int64)
    line[by_at] = np.cumsum(np.diff(lines.at[by_at], prepend=-np.inf) > _SAME_MM)
    in_order = np.lexsort((lines.low, line))
    row: list[int] = []
    for number in in_order[_meeting(lines, line, in_order)].tolist():
        low = lines.low[number] + _OVERLAP_MM
        row = [n for n in row if line[n] == line[number] and lines.high[n] > low]
        for other in row:
            way, other_way = lines.way[number], lines.way[other]
            if way != other_way and min(way, other_way) < ways and lines.high[number] > low:
                found.append((_which(lines, other), _which(lines, number)))
        row.append(number)
    return found


def _on_a_line_of(lines: Stretches, own: int) -> Bools:
    """Tell for each stretch whether one of the first `own` lies at about its coordinate."""
    mine = np.sort(lines.at[:own])
    first, last = mine.searchsorted(lines.at - _ON_MM), mine.searchsorted(lines.at + _ON_MM)
    return np.asarray(first < last, bool)


def _meeting(lines: Stretches, line: Ints, in_order: Ints) -> Bools:
    """Tell for each stretch, line by line in the order in which they start, whether it may meet one beside it there."""
    if not len(in_order):
        return np.zeros(0, bool)
    low, high = lines.low[in_order], lines.high[in_order]
    # Lines are set so far apart that the running maximum of one does not reach into the next.
    apart = line[in_order] * (float(high.max() - low.min()) + 1.0)
    reached = np.maximum.accumulate(high + apart)
    meets = np.zeros(len(in_order), bool)
    meets[1:] = low[1:] + apart[1:] < reached[:-1]
    meets[:-1] |= meets[1:]
    return meets


def _which(lines: Stretches, number: int) -> Which:
    return int(lines.way[number]), int(lines.number[number])


def _may_step(way: Way, k: int, frees: Frees) -> bool:
    """Tell whether a stretch that may not move starts or ends at a symbol with room to turn."""
    first = k == 0 and frees[0] is not None
    last = k == len(way.loose) - 1 and frees[-1] is not None
    return first or last


def _step_aside(way: Way, stretch_numbers: set[int], frees: Frees) -> None:
    """Split the first or last stretch of a way where it leaves its symbol; the rest of it may then move."""
    last = len(way.loose) - 1
    if last in stretch_numbers and frees[-1] is not None:
        corner = [frees[-1].x_mm, frees[-1].y_mm]
        way.points[-1:-1] = [corner, list(corner)]
        way.loose[-1:] = [last != 0 or frees[0] is None, True, False]
        if last == 0:
            way.loose[0] = False
    if 0 in stretch_numbers and frees[0] is not None:
        corner = [frees[0].x_mm, frees[0].y_mm]
        way.points[1:1] = [corner, list(corner)]
        way.loose[:1] = [False, True, True]
