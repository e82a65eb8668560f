"""The lines along which a few wires may run on a page that is laid already, worked out only where a way is looked for.

A `Grid` knows what every place of a page costs, which pays where thousands of wires are laid. For a few wires that is
far more than anyone asks: here the costs of the lines that a search looks at are added up from the boxes and stretches
themselves, as sums over rectangles (F. Crow, 'Summed-area tables for texture mapping', SIGGRAPH 1984, 207-212, the
other way round: corners are written down, running sums along both axes give the rectangles).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from .grid import BLOCKED, CROSSING_MM, CROWDED, KEEP_MM, NARROW, PITCH_MM, lines_at, nearest
from .spines import Spines

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_NONE = np.zeros((0, 3))
_NO_MARKS = np.zeros(0, np.int64)


class Lanes:
    """The lines that a `Grid` of the same boxes and further lines has.

    Parameters
    ----------
    boxes, x_mm, y_mm
        As for a `Grid`.
    level, upright
        Stretches of wires that are there already: one row each of where it lies across, and from where to where along.
    level_marks, upright_marks
        With what each of them shares a run, see `spines.marks_of`.
    """

    def __init__(
        self,
        boxes: Floats,
        x_mm: Iterable[float],
        y_mm: Iterable[float],
        level: Floats = _NONE,
        upright: Floats = _NONE,
        level_marks: Ints = _NO_MARKS,
        upright_marks: Ints = _NO_MARKS,
    ) -> None:
        left, right, top, bottom = boxes.T
        self.x, self.edge_columns = lines_at(left, right, x_mm)
        self.y, self.edge_rows = lines_at(top, bottom, y_mm)
        self.spines = Spines()
        self._axes = {False: _Axis(top, bottom, left, right), True: _Axis(left, right, top, bottom)}
        self._there = {False: level, True: upright}
        self._laid: dict[bool, list[tuple[float, float, float]]] = {False: [], True: []}
        for is_upright, marks in ((False, level_marks), (True, upright_marks)):
            self._follow(is_upright, marks)

    def _follow(self, upright: bool, marks: Ints) -> None:
        """Let wires of some runs follow those that are there, on the lines nearest to them."""
        some = np.flatnonzero(marks)
        if not len(some):
            return
        at, low, high = self._there[upright][some].T
        lines, places = (self.x, self.y) if upright else (self.y, self.x)
        columns = -1 - some, marks[some], np.full(len(some), int(upright)), nearest(lines, at)
        self.spines.extend(np.stack((*columns, nearest(places, low), nearest(places, high)), 1))

    def use(self, corners: Sequence[tuple[int, int]], wires: int) -> None:
        """Count a wire that runs over these corners (row, column) in or, with -1, out again."""
        for (r0, c0), (r1, c1) in pairwise(corners):
            upright = c0 == c1
            if upright and r0 == r1:
                continue
            x0, x1 = sorted((float(self.x[c0]), float(self.x[c1])))
            y0, y1 = sorted((float(self.y[r0]), float(self.y[r1])))
            stretch = (x0, y0, y1) if upright else (y0, x0, x1)
            if wires > 0:
                self._laid[upright].append(stretch)
            else:
                self._laid[upright].remove(stretch)

    def closed(self, upright: bool, lines: Ints, along: tuple[int, int]) -> Floats:
        """Return how much of each line lies within boxes, see `paths.Field`."""
        at, places = (self.x, self.y) if upright else (self.y, self.x)
        axis = self._axes[upright]
        inside = np.minimum(axis.high, places[along[1]]) - np.maximum(axis.low, places[along[0]])
        np.maximum(inside, 0.0, out=inside)
        mine = at[lines]
        first, last = mine.searchsorted(axis.near, "right"), mine.searchsorted(axis.far, "left")
        last = np.maximum(first, last)
        count = len(lines) + 1
        steps = np.bincount(first, inside, count) - np.bincount(last, inside, count)
        return np.asarray(np.cumsum(steps)[:-1], float)

    def costs(self, rows: Ints, columns: Ints) -> tuple[Floats, Floats]:
        """Return what coming along the lines costs, see `paths.Field`."""
        x, y = self.x[columns], self.y[rows]
        level_there, upright_there = (self._stretches(upright) for upright in (False, True))
        level = _weights(self._axes[False], y, x, level_there, upright_there)
        upright = _weights(self._axes[True], x, y, upright_there, level_there)
        return _summed(level), np.ascontiguousarray(_summed(upright).T)

    def _stretches(self, upright: bool) -> Floats:
        """Return the stretches along one axis that are there and those that were laid since."""
        laid, there = self._laid[upright], self._there[upright]
        return np.concatenate((there, np.array(laid, float))) if laid else there


class _Axis:
    """The boxes as moves along one axis see them: their edges across the movement, near and far, and along it."""

    def __init__(self, near: Floats, far: Floats, low: Floats, high: Floats) -> None:
        self.near, self.far, self.low, self.high = near, far, low, high
        self.edges = np.unique(np.concatenate((near, far)))


def _summed(weights: Floats) -> Floats:
    found = np.zeros((len(weights), weights.shape[1] + 1))
    np.cumsum(weights, axis=1, out=found[:, 1:])
    return found


def _weights(axis: _Axis, lines: Floats, places: Floats, along: Floats, across: Floats) -> Floats:
    """Return (lines, places - 1): what moving along each line from place to place costs.

    Parameters
    ----------
    along, across
        The stretches that run beside the moves, and those that these may cross.
    """
    count, steps = len(lines), max(len(places) - 1, 0)
    if not steps:
        return np.zeros((count, 0))
    first, last = lines.searchsorted(axis.near, "right"), lines.searchsorted(axis.far, "left")
    start = np.maximum(places.searchsorted(axis.low, "right") - 1, 0)
    end = np.minimum(places.searchsorted(axis.high, "left"), steps)
    there = np.flatnonzero(start < end)
    first, last, start, end = first[there], last[there], start[there], end[there]
    some = np.flatnonzero(first < last)
    corners = _Corners(count, steps)
    corners.add(first[some], last[some], start[some], end[some])
    length = np.diff(places)
    found = np.where(corners.sums() > 0.5, BLOCKED, 0.0)
    found += length
    if len(across):
        found += _crossings(lines, places, across)
    if len(along):
        sizes = end - start
        step = np.arange(int(sizes.sum())) + np.repeat(start - np.cumsum(sizes) + sizes, sizes)
        before = np.full((count + 1, steps), -np.inf)
        after = np.full((count + 1, steps), np.inf)
        np.maximum.at(before, (np.repeat(last, sizes), step), np.repeat(axis.far[there], sizes))
        np.minimum.at(after, (np.repeat(first, sizes), step), np.repeat(axis.near[there], sizes))
        before = np.maximum.accumulate(before[:count], axis=0)
        after = np.minimum.accumulate(after[::-1], axis=0)[::-1][1:]
        found += length * _crowding(axis, places, before, after, along)
    return found


def _crowding(axis: _Axis, places: Floats, before: Floats, after: Floats, along: Floats) -> Floats:
    """Return what a mm costs more in gaps that are full.

    Parameters
    ----------
    before, after
        (lines, places - 1): the edges of the boxes on either side.
    """
    room = np.floor((after - before - 2 * KEEP_MM) / PITCH_MM)
    narrow = room < NARROW
    if not narrow.any():
        return np.zeros(before.shape)
    steps = len(places) - 1
    at, low, high = along.T
    near = (high > places[0]) & (low < places[-1])
    near &= (at > before[narrow].min()) & (at < after[narrow].max())
    at, low, high = at[near], low[near], high[near]
    rank = axis.edges.searchsorted(at)
    corners = _Corners(len(axis.edges) + 1, steps)
    start = np.maximum(places.searchsorted(low, "right") - 1, 0)
    end = np.minimum(places.searchsorted(high, "left"), steps)
    corners.add(rank, np.full(len(rank), len(axis.edges) + 1), start, end)
    # Row k of these sums: how many run beside the step below the edge of that number.
    below = corners.sums()
    step = np.broadcast_to(np.arange(steps), before.shape)[narrow]
    wires = below[axis.edges.searchsorted(after[narrow]), step]
    wires -= below[axis.edges.searchsorted(before[narrow]), step]
    found = np.zeros(before.shape)
    found[narrow] = CROWDED * np.maximum(wires - np.maximum(room[narrow], 0.0), 0.0)
    return found


def _crossings(lines: Floats, places: Floats, across: Floats) -> Floats:
    """Return what crossing stretches costs: half of it on either side of one that lies on a place; half at its ends."""
    at, low, high = across.T
    steps = len(places) - 1
    near = (at >= places[0]) & (at <= places[-1]) & (high >= lines[0]) & (low <= lines[-1])
    at, low, high = at[near], low[near], high[near]
    corners = _Corners(len(lines), steps)
    inner = lines.searchsorted(low, "right"), lines.searchsorted(high, "left")
    outer = lines.searchsorted(low, "left"), lines.searchsorted(high, "right")
    for step in (places.searchsorted(at, "left") - 1, places.searchsorted(at, "right") - 1):
        for first, last in (inner, outer):
            some = np.flatnonzero((step >= 0) & (step < steps) & (first < last))
            corners.add(first[some], last[some], step[some], step[some] + 1, CROSSING_MM / 4)
    return corners.sums()


class _Corners:
    """Rectangles of lines and steps by their corners."""

    def __init__(self, lines: int, steps: int) -> None:
        self._shape = lines + 1, steps + 1
        self._sums = np.zeros((lines + 1) * (steps + 1))

    def add(self, first: Ints, last: Ints, start: Ints, end: Ints, weight: float = 1.0) -> None:
        """Add a weight to lines `first` to `last` and steps `start` to `end`, the last of both not included."""
        wide = self._shape[1]
        plus = np.concatenate((first * wide + start, last * wide + end))
        minus = np.concatenate((first * wide + end, last * wide + start))
        size = len(self._sums)
        self._sums += weight * (np.bincount(plus, minlength=size) - np.bincount(minus, minlength=size))

    def sums(self) -> Floats:
        """Return (lines, steps): what was added up at each."""
        table = self._sums.reshape(self._shape)
        return np.asarray(table.cumsum(axis=0).cumsum(axis=1)[:-1, :-1], float)
