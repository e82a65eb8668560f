"""The level and upright lines along which wires may run on a page, what blocks them, and how much they are used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .spines import Spines

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
NARROW = 40
"""Gaps with room for more wires than this are not counted: they do not fill up."""
CROWDED = 6.0
"""What a mm costs more for each wire above what fits beside each other."""
_STEPS_PER_MM = 1024
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
        (lines, places - 1): what moving there costs: its length, and for each wire that runs across at one of the two
        places half a crossing; a wire that turns there counts half.
    spare
        (lines, places - 1): how many wires more fit beside each other in the gap there, one less than that; less than
        nothing where it is overfull.
    fills
        (lines, places - 1): whether the gap is narrow enough to fill up.
    from_line, to_line
        (lines, places - 1): the range of lines that lie in the same gap.
    gaps
        (lines, places - 1): whether the gap is another one than at the place before.
    closed
        (lines, places): how much of the line is blocked up to each place, in mm.
    """

    length: Floats
    weight: Floats
    spare: Counts
    fills: Bools
    from_line: Counts
    to_line: Counts
    gaps: Bools
    closed: Floats


class Grid:
    """Lines at both sides of everything that must be kept clear, and through every place where a wire starts.

    Parameters
    ----------
    boxes
        What must be kept clear, as `stretches.table_of` gives it.
    x_mm, y_mm
        Further lines: upright ones at `x_mm`, level ones at `y_mm`.
    """

    def __init__(self, boxes: Floats, x_mm: Iterable[float], y_mm: Iterable[float]) -> None:
        left, right, top, bottom = boxes.T
        self.x, self.edge_columns = lines_at(left, right, x_mm)
        self.y, self.edge_rows = lines_at(top, bottom, y_mm)
        self.spines = Spines()
        # Level moves: lines are rows. Upright moves: lines are columns, so arrays are transposed.
        self.level = _direction(self.x, self.y, left, top, right, bottom)
        self.upright = _direction(self.y, self.x, top, left, bottom, right)

    def closed(self, upright: bool, lines: Ints, along: tuple[int, int]) -> Floats:
        """Return how much of each line is blocked, see `paths.Field`."""
        found = (self.upright if upright else self.level).closed
        return np.asarray(found[lines, along[1]] - found[lines, along[0]], float)

    def costs(self, rows: Ints, columns: Ints) -> tuple[Floats, Floats]:
        """Return what coming along the lines costs, see `paths.Field`."""
        level, upright = costs(self.level, rows, columns), costs(self.upright, columns, rows)
        return level, np.ascontiguousarray(upright.T)

    def use(self, corners: Sequence[tuple[int, int]], wires: int) -> None:
        """Count a wire that runs over these corners (row, column) in or, with -1, out again."""
        for (r0, c0), (r1, c1) in pairwise(corners):
            if r0 == r1 and c0 != c1:
                _use(self.level, self.upright, r0, min(c0, c1), max(c0, c1), wires)
            elif c0 == c1 and r0 != r1:
                _use(self.upright, self.level, c0, min(r0, r1), max(r0, r1), wires)


def lines_at(low: Floats, high: Floats, more_mm: Iterable[float]) -> tuple[Floats, Ints]:
    """Return the lines at both sides of boxes and at further coordinates, and which of them are beside a box.

    Parameters
    ----------
    low, high
        The edges of each box.
    """
    beside = np.unique(_whole(np.concatenate((low - KEEP_MM, high + KEEP_MM))))
    lines = np.union1d(beside, _whole(np.array(list(more_mm), float)))
    return lines, np.searchsorted(lines, beside)


def _whole(values_mm: Floats) -> Floats:
    """Return the nearest whole steps: sums of them are exact, in whatever order they are added up."""
    return np.round(values_mm * _STEPS_PER_MM) / _STEPS_PER_MM


def nearest(lines: Floats, values: ArrayLike) -> Ints:
    """Return the number of the line that is nearest to each coordinate."""
    return np.searchsorted((lines[1:] + lines[:-1]) / 2, np.asarray(values, float), "right")


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
    shape = count, places - 1
    nears, fars = np.unique(near), np.unique(far)
    blocked = np.zeros(shape, bool)
    # Edges by rank: `before` counts the far edges up to the last one, `after` tells the next near edge.
    before = np.zeros((count + 1, places - 1), np.int16)
    after = np.full((count + 1, places - 1), len(nears), np.int16)
    i0 = np.maximum(np.searchsorted(along, low, "right") - 1, 0).tolist()
    i1 = np.searchsorted(along, high, "left").tolist()
    j0 = np.searchsorted(lines, near, "right").tolist()
    j1 = np.searchsorted(lines, far, "left").tolist()
    near_rank = np.searchsorted(nears, near)
    far_rank = np.searchsorted(fars, far) + 1
    # In this order the last one that is written is the one that counts.
    for k in np.argsort(far_rank, kind="stable").tolist():
        blocked[j0[k] : j1[k], i0[k] : i1[k]] = True
        before[j1[k], i0[k] : i1[k]] = far_rank[k]
    for k in np.argsort(-near_rank, kind="stable").tolist():
        after[j0[k], i0[k] : i1[k]] = near_rank[k]
    before = np.maximum.accumulate(before[:count], axis=0)
    # `after` at line j0 means: the lines before j0 are limited by it.
    after = np.minimum.accumulate(after[::-1], axis=0)[::-1][1:]
    fars, nears = np.concatenate(([-np.inf], fars)), np.concatenate((nears, [np.inf]))
    free = ((nears - 2 * KEEP_MM) / PITCH_MM)[after]
    free -= (fars / PITCH_MM)[before]
    np.clip(free, 0.0, 1e4 / PITCH_MM, out=free)
    spare = free.astype(np.int16)
    fills = spare < NARROW
    from_line = np.searchsorted(lines, fars).astype(np.int16)[before]
    to_line = np.searchsorted(lines, nears, "right").astype(np.int16)[after]
    gaps = np.zeros(shape, bool)
    gaps[:, 1:] = from_line[:, 1:] != from_line[:, :-1]
    gaps[:, 1:] |= to_line[:, 1:] != to_line[:, :-1]
    length = np.diff(along)
    closed = np.zeros((count, places))
    np.multiply(blocked, length, out=closed[:, 1:])
    np.cumsum(closed, axis=1, out=closed)
    weight = np.where(blocked, length + BLOCKED, length)
    return Direction(length, weight, spare, fills, from_line, to_line, gaps, closed)


def _use(own: Direction, other: Direction, line: int, first: int, last: int, wires: int) -> None:
    """Count a stretch on a line from place `first` to `last`."""
    changes = own.gaps[line, first + 1 : last].nonzero()[0] + (first + 1)
    bounds = [first, *changes.tolist(), last]
    fills, from_line, to_line = own.fills[line], own.from_line[line], own.to_line[line]
    for a, b in pairwise(bounds):
        if not fills[a]:
            continue
        part = slice(from_line[a], to_line[a]), slice(a, b)
        spare = own.spare[part]
        # Those above what fits beside each other make the gap dearer: the one that comes, or the one that goes.
        over = spare <= min(wires, 0)
        spare -= wires
        if over.any():
            own.weight[part] += own.length[a:b] * (CROWDED * wires * over)
    # A wire that turns on a line may lie on either side of another one that runs along there: half a crossing.
    across = other.weight[first : last + 1, max(line - 1, 0) : line + 1]
    across += wires * CROSSING_MM / 2
    across[0] -= wires * CROSSING_MM / 4
    across[-1] -= wires * CROSSING_MM / 4


def costs(direction: Direction, lines: Ints, places: Ints) -> Floats:
    """Return what it costs to come along each of some lines from the first of some places to each of them.

    Returns
    -------
    ndarray
        (lines, places), in mm; differences between two places are the cost of moving between them.
    """
    total = np.zeros((len(lines), len(places)))
    if len(places) > 1:
        steps = direction.weight[lines, places[0] : places[-1]]
        np.cumsum(np.add.reduceat(steps, places[:-1] - places[0], axis=1), axis=1, out=total[:, 1:])
    return total
