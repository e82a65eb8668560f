"""The level and upright lines along which wires may run on a page, what blocks them, and how much they are used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from harness_studio.base.geometry import Box

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Counts = NDArray[np.int16]


KEEP_MM = 1.0
"""Lines run this far outside of what must be kept clear."""
PITCH_MM = 4.0
"""Wires beside each other would like this distance."""
BLOCKED = 1e6
"""What running through something that must be kept clear costs, in mm."""
_NARROW = 40
"""Gaps with room for more wires than this are not counted: they do not fill up."""
_CROWDED = 6.0
"""What a mm costs more for each wire above what fits beside each other."""
CROSSING_MM = 8.0
"""What crossing another wire costs."""


@dataclass(slots=True)
class Direction:
    """What there is to know about moving along one axis, on arrays of shape (lines, places along them).

    Parameters
    ----------
    length
        (places - 1,): from one place to the next, in mm.
    weight
        (lines, places - 1): what moving there costs, but for crossings.
    room
        (lines, places - 1): how many wires fit beside each other there.
    from_line, to_line
        (lines, places - 1): the range of lines that lie in the same gap.
    used
        (lines, places - 1): how many wires run in that gap.
    crossed
        (lines, places): how many wires run across at each place; each counts twice, one that turns there once.
    closed
        (lines, places): how much of the line is blocked up to each place, in mm.
    """

    length: Floats
    weight: Floats
    room: Counts
    from_line: Counts
    to_line: Counts
    used: Counts
    crossed: Counts
    closed: Floats


class Grid:
    """Lines at both sides of everything that must be kept clear, and through every place where a wire starts.

    Parameters
    ----------
    boxes
        What must be kept clear.
    x_mm, y_mm
        Further lines: upright ones at `x_mm`, level ones at `y_mm`.
    """

    def __init__(self, boxes: Sequence[Box], x_mm: Iterable[float], y_mm: Iterable[float]) -> None:
        left, top, right, bottom = _edges(boxes)
        self.edge_x = np.unique(np.round(np.concatenate((left - KEEP_MM, right + KEEP_MM)), 3))
        self.edge_y = np.unique(np.round(np.concatenate((top - KEEP_MM, bottom + KEEP_MM)), 3))
        self.x = np.union1d(self.edge_x, np.round(np.array(list(x_mm), float), 3))
        self.y = np.union1d(self.edge_y, np.round(np.array(list(y_mm), float), 3))
        self.is_edge_x = np.isin(self.x, self.edge_x)
        self.is_edge_y = np.isin(self.y, self.edge_y)
        # Level moves: lines are rows. Upright moves: lines are columns, so arrays are transposed.
        self.level = _direction(self.x, self.y, left, top, right, bottom)
        self.upright = _direction(self.y, self.x, top, left, bottom, right)

    def column(self, x_mm: float) -> int:
        """Return the number of the upright line at x."""
        return _nearest(self.x, x_mm)

    def row(self, y_mm: float) -> int:
        """Return the number of the level line at y."""
        return _nearest(self.y, y_mm)

    def use(self, corners: Sequence[tuple[int, int]], wires: int) -> None:
        """Count a wire that runs over these corners (row, column) in or, with -1, out again."""
        for (r0, c0), (r1, c1) in pairwise(corners):
            if r0 == r1 and c0 != c1:
                _use(self.level, self.upright, r0, min(c0, c1), max(c0, c1), wires)
            elif c0 == c1 and r0 != r1:
                _use(self.upright, self.level, c0, min(r0, r1), max(r0, r1), wires)


def _edges(boxes: Sequence[Box]) -> tuple[Floats, Floats, Floats, Floats]:
    table = np.array([(b.left_mm, b.top_mm, b.right_mm, b.bottom_mm) for b in boxes], float).reshape(-1, 4)
    return table[:, 0], table[:, 1], table[:, 2], table[:, 3]


def _nearest(lines: Floats, value: float) -> int:
    number = int(np.searchsorted(lines, value))
    if number == len(lines) or (number and value - lines[number - 1] < lines[number] - value):
        number -= 1
    return number


def _direction(
    along: Floats, lines: Floats, low: Floats, near: Floats, high: Floats, far: Floats
) -> Direction:
    """Build the arrays for moving along one axis.

    Parameters
    ----------
    along, lines
        Coordinates of the places along each line, and of the lines.
    low, high
        Edges of the boxes along the movement; `near`, `far` across it.
    """
    count, places = len(lines), max(1, len(along))
    blocked = np.zeros((count, places - 1), bool)
    before = np.full((count + 1, places - 1), -np.inf)
    after = np.full((count + 1, places - 1), np.inf)
    i0 = np.maximum(np.searchsorted(along, low, "right") - 1, 0)
    i1 = np.searchsorted(along, high, "left")
    j0 = np.searchsorted(lines, near, "right")
    j1 = np.searchsorted(lines, far, "left")
    for k in range(len(low)):
        stretch = slice(i0[k], i1[k])
        blocked[j0[k] : j1[k], stretch] = True
        np.maximum(before[j1[k], stretch], far[k], out=before[j1[k], stretch])
        np.minimum(after[j0[k], stretch], near[k], out=after[j0[k], stretch])
    before = np.maximum.accumulate(before[:count], axis=0)
    # `after` at line j0 means: the lines before j0 are limited by it.
    after = np.minimum.accumulate(after[::-1], axis=0)[::-1][1:]
    free = np.clip(after - before - 2 * KEEP_MM, 0.0, 1e4)
    room = (free / PITCH_MM).astype(np.int16) + np.int16(1)
    from_line = np.searchsorted(lines, before).astype(np.int16)
    to_line = np.searchsorted(lines, after, "right").astype(np.int16)
    used = np.zeros((count, places - 1), np.int16)
    crossed = np.zeros((count, len(along)), np.int16)
    length = np.diff(along)
    closed = np.zeros((count, places))
    np.cumsum(blocked * length, axis=1, out=closed[:, 1:])
    weight = length * np.ones((count, 1)) + BLOCKED * blocked
    return Direction(length, weight, room, from_line, to_line, used, crossed, closed)


def _use(own: Direction, other: Direction, line: int, first: int, last: int, wires: int) -> None:
    """Count a stretch on a line from place `first` to `last`."""
    starts, ends = own.from_line[line, first:last], own.to_line[line, first:last]
    changes = np.flatnonzero((np.diff(starts) != 0) | (np.diff(ends) != 0)) + 1
    bounds = [0, *changes.tolist(), last - first]
    room = own.room[line, first:last]
    for a, b in pairwise(bounds):
        if room[a] > _NARROW:
            continue
        lines, places = slice(starts[a], ends[a]), slice(first + a, first + b)
        before = np.maximum(own.used[lines, places] + 1 - own.room[lines, places], 0)
        own.used[lines, places] += wires
        after = np.maximum(own.used[lines, places] + 1 - own.room[lines, places], 0)
        own.weight[lines, places] += own.length[places] * (_CROWDED * (after - before))
    # A wire that turns on a line may lie on either side of another one that runs along there.
    other.crossed[first:last, line] += wires
    other.crossed[first + 1 : last + 1, line] += wires


def costs(direction: Direction, lines: Ints, first: int, last: int) -> Floats:
    """Return what it costs to come along each of some lines from place `first` to every place up to `last`.

    Returns
    -------
    ndarray
        (lines, last - first + 1), in mm; differences between two places are the cost of moving between them.
    """
    crossed = direction.crossed[lines, first : last + 1] * (CROSSING_MM / 4)
    step = direction.weight[lines, first:last]
    step += crossed[:, :-1]
    step += crossed[:, 1:]
    total = np.zeros((len(lines), last - first + 1))
    np.cumsum(step, axis=1, out=total[:, 1:])
    return total
