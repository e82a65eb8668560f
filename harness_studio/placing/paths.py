"""The cheapest right-angled way between two places of a grid: few bends, little crossing, through nothing.

Ways are found bend by bend: from the costs of all places that can be reached with so many bends, one sweep along all
lines at once gives those with one bend more (a running minimum over prefix sums, so that a sweep over n places takes n
steps). The result is exact for the lines of the grid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from .grid import BLOCKED, Floats, Ints
from .spines import SAVED, Follow

BEND_MM = 12.0
_MOST_BENDS = 10
_MOST_LINES = 72
"""Where a window has more lines than this, only the freest are looked at."""
_BANDS = 24
_OF_EACH_BAND = 2
_FAR = 1e12

Corner = tuple[int, int]
"""(row, column)."""


class Field(Protocol):
    """Lines along which wires may run, and what that costs; see `Grid` and `Lanes`."""

    x: Floats
    y: Floats
    edge_columns: Ints
    edge_rows: Ints

    def closed(self, upright: bool, lines: Ints, along: tuple[int, int]) -> Floats:
        """Return how much of each of some lines is blocked between two places along it, in mm."""

    def costs(self, rows: Ints, columns: Ints) -> tuple[Floats, Floats]:
        """Return what it costs to come along each line from the first place to each of the others, in mm.

        Returns
        -------
        ndarray, ndarray
            (rows, columns): along the level lines from the first column on, and along the upright ones from the first
            row on; differences between two places are the cost of moving between them.
        """


@dataclass(frozen=True, slots=True)
class Terminal:
    """Where a way starts or ends: a place of the grid, and whether the wire is level there."""

    row: int
    column: int
    level: bool


@dataclass(frozen=True, slots=True)
class Window:
    """The part of a grid in which a way is looked for: consecutive columns and rows, and which of them may be used."""

    columns: tuple[int, int]
    rows: tuple[int, int]


def window(grid: Field, a: Terminal, b: Terminal, around_mm: float) -> Window:
    """Return the window about two places."""
    x, y = grid.x, grid.y
    columns, rows = sorted((a.column, b.column)), sorted((a.row, b.row))
    return Window(
        (int(x.searchsorted(x[columns[0]] - around_mm)), int(x.searchsorted(x[columns[1]] + around_mm))),
        (int(y.searchsorted(y[rows[0]] - around_mm)), int(y.searchsorted(y[rows[1]] + around_mm))),
    )


def way(
    grid: Field, a: Terminal, b: Terminal, around_mm: float = 60.0, follow: Follow | None = None
) -> list[Corner]:
    """Return the corners of the cheapest way from `a` to `b`, both included.

    Parameters
    ----------
    around_mm
        How far from the two places the way is first looked for; everywhere, if every way in there is blocked.
    follow
        Where it costs less.

    Notes
    -----
    If there is no free way at all, the one that runs through the least is returned.
    """
    found, cost = _way(grid, a, b, window(grid, a, b, around_mm), follow)
    if cost >= BLOCKED:
        found, _ = _way(grid, a, b, Window((0, len(grid.x)), (0, len(grid.y))), follow)
    return found


def _way(
    grid: Field, a: Terminal, b: Terminal, area: Window, follow: Follow | None
) -> tuple[list[Corner], float]:
    (c0, c1), (r0, r1) = area.columns, area.rows
    c0, c1 = min(c0, a.column, b.column), max(c1 - 1, a.column, b.column)
    r0, r1 = min(r0, a.row, b.row), max(r1 - 1, a.row, b.row)
    own_rows, own_columns = [a.row, b.row], [a.column, b.column]
    if follow is not None:
        own_rows += follow.lines(False, (r0, r1), (c0, c1))
        own_columns += follow.lines(True, (c0, c1), (r0, r1))
    rows = _lines(grid, False, (r0, r1), (c0, c1), own_rows)
    columns = _lines(grid, True, (c0, c1), (r0, r1), own_columns)
    level, upright = grid.costs(rows, columns)
    start = _index(rows, a.row), _index(columns, a.column)
    end = _index(rows, b.row), _index(columns, b.column)
    left = np.abs(grid.y[rows] - grid.y[b.row])[:, None] + np.abs(grid.x[columns] - grid.x[b.column])
    if follow is not None:
        follow.cheaper(False, level, rows, columns, grid.x[columns])
        follow.cheaper(True, upright.T, columns, rows, grid.y[rows])
        left *= 1 - SAVED
    reached, best, cost = _reach(level, upright, start, end, (a.level, b.level), left)
    corners = _back(reached[: best + 1], level, upright, start, end, a.level)
    return [(int(rows[r]), int(columns[c])) for r, c in corners], cost


def _lines(
    grid: Field, upright: bool, part: tuple[int, int], along: tuple[int, int], own: Sequence[int]
) -> Ints:
    """Return the lines along which a way may run.

    All that run beside something, or where these are very many the freest of each band; and those of the two places.
    """
    at_mm, usable = (grid.x, grid.edge_columns) if upright else (grid.y, grid.edge_rows)
    first, last = usable.searchsorted(part[0]), usable.searchsorted(part[1], "right")
    found = usable[first:last]
    if len(found) > _MOST_LINES:
        blocked = grid.closed(upright, found, along)
        span = max(float(at_mm[part[1]] - at_mm[part[0]]), 1.0)
        band = ((at_mm[found] - at_mm[part[0]]) * (_BANDS / span)).astype(np.int64)
        # Bands rise with the lines: only within a band is there anything to order.
        in_order = np.argsort(band * (2 * float(blocked.max()) + 1.0) + blocked, kind="stable")
        starts = band.searchsorted(band)
        found = np.sort(found[in_order[np.arange(len(band)) - starts < _OF_EACH_BAND]])
    for line in own:
        at = int(found.searchsorted(line))
        if at == len(found) or found[at] != line:
            found = np.concatenate((found[:at], (line,), found[at:]))
    return found


def _index(lines: Ints, line: int) -> int:
    return int(lines.searchsorted(line))


def _reach(
    level: Floats,
    upright: Floats,
    start: tuple[int, int],
    end: tuple[int, int],
    is_level: tuple[bool, bool],
    left_mm: Floats,
) -> tuple[list[Floats], int, float]:
    """Return the costs of all places with 0, 1, 2, ... bends, the number of bends that is best, and its cost.

    Parameters
    ----------
    left_mm
        How far each place is from the end at least: no way from there costs less.

    Notes
    -----
    A way with k bends is level at its end if k is even and it starts level, and so on; a way that arrives across bends
    once more at its end.
    """
    least_mm = float(left_mm[start])
    now = np.full(level.shape, _FAR)
    # Without a bend only the line of the start is reached.
    own = (start[0], slice(None)) if is_level[0] else (slice(None), start[1])
    along = level if is_level[0] else upright
    now[own] = np.abs(along[own] - along[start])
    reached: list[Floats] = []
    best, cost = 0, float("inf")
    cheapest = [np.full(level.shape, _FAR), np.full(level.shape, _FAR)]
    for bends in range(_MOST_BENDS + 1):
        is_level_now = is_level[0] == (bends % 2 == 0)
        if bends:
            now = _sweep(now, level, 1) if is_level_now else _sweep(now, upright, 0)
        reached.append(now)
        arrived = float(now[end]) + (0.0 if is_level_now == is_level[1] else BEND_MM)
        if arrived < cost - 1e-6:
            best, cost = bends, arrived
        if cost <= least_mm + (bends + 1) * BEND_MM:
            break
        # Only places that are reached more cheaply than before, and near enough to the end, lead on to anything.
        so_far = cheapest[is_level_now]
        better = now < so_far
        if cost < BLOCKED:
            better &= now + left_mm < cost - BEND_MM
        if not better.any():
            break
        np.minimum(so_far, now, out=so_far)
        now = now + BEND_MM
    return reached, best, cost


def _sweep(cost: Floats, along: Floats, axis: int) -> Floats:
    """Return the least cost of coming to each place along its line from any other place of it."""
    there = cost - along
    back = cost + along
    backwards = back[:, ::-1] if axis else back[::-1]
    np.minimum.accumulate(there, axis=axis, out=there)
    np.minimum.accumulate(backwards, axis=axis, out=backwards)
    there += along
    back -= along
    return np.minimum(there, back, out=there)


def _back(
    reached: list[Floats],
    level: Floats,
    upright: Floats,
    start: tuple[int, int],
    end: tuple[int, int],
    starts_level: bool,
) -> list[tuple[int, int]]:
    """Return the corners from start to end, by going back through the bends."""
    row, column = end
    corners = [end]
    for bends in range(len(reached) - 1, 0, -1):
        before = reached[bends - 1] + BEND_MM
        if starts_level == (bends % 2 == 0):
            column = int(np.argmin(before[row] + np.abs(level[row] - level[row, column])))
        else:
            row = int(np.argmin(before[:, column] + np.abs(upright[:, column] - upright[row, column])))
        corners.append((row, column))
    corners.append(start)
    return _without_repeats(corners[::-1])


def _without_repeats(corners: list[tuple[int, int]]) -> list[tuple[int, int]]:
    found = [corners[0]]
    for corner in corners[1:]:
        if corner == found[-1]:
            continue
        if len(found) > 1 and (
            found[-2][0] == found[-1][0] == corner[0] or found[-2][1] == found[-1][1] == corner[1]
        ):
            found[-1] = corner
        else:
            found.append(corner)
    return found
