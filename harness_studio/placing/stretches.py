"""Wires as stretches: the level or the upright ones of many wires at once, and how far each may move sideways."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from harness_studio.base.geometry import Box

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

KEEP_MM = 1.0
_SQUEEZED_MM = 0.9
"""A stretch stays this far from what must be kept clear."""
FARTHEST_MM = 60.0
"""A stretch moves no farther than this at a time."""
_CHUNK = 200


Which = tuple[int, int]
"""(way, stretch of it)."""


@dataclass(slots=True)
class Way:
    """One wire's way: corners [x, y], stretches level and upright in turn; `loose` tells which may move sideways.

    `mark` tells with which others it shares a run (see `spines.marks_of`).
    """

    points: list[list[float]]
    level_first: bool
    loose: list[bool]
    mark: int = 0


@dataclass(slots=True)
class Stretches:
    """All stretches along one axis. Arrays of one length; 'across' is the coordinate that may change.

    Parameters
    ----------
    way, number
        Which stretch of which way.
    at
        The coordinate across.
    low, high
        Where it starts and ends along the axis.
    turn_low, turn_high
        To which side across the wire goes on at either end: -1, 1, or 0 where it ends.
    beyond_low, beyond_high
        How far it goes there: the coordinate across of the next corner.
    held_low, held_high
        Whether the stretch that follows there may not move.
    loose
        Whether it may move itself.
    least, most
        The range of `at`.
    mark
        With which others it shares a run: those whose marks share a bit.
    """

    way: Ints
    number: Ints
    at: Floats
    low: Floats
    high: Floats
    turn_low: Ints
    turn_high: Ints
    beyond_low: Floats
    beyond_high: Floats
    held_low: Bools
    held_high: Bools
    loose: Bools
    least: Floats
    most: Floats
    mark: Ints


def stretches(ways: Sequence[Way], upright: bool) -> Stretches:
    """Collect the upright or the level stretches of all ways."""
    across, along = (0, 1) if upright else (1, 0)
    rows: list[tuple[float, ...]] = []
    for w, way in enumerate(ways):
        points, last = way.points, len(way.loose) - 1
        for k in range(last + 1):
            if (k % 2 == 0) == (way.level_first == upright):
                continue
            a, b = points[k], points[k + 1]
            here = a[across]
            before = points[k - 1][across] if k else here
            after = points[k + 2][across] if k < last else here
            held_before = k == 0 or not way.loose[k - 1]
            held_after = k == last or not way.loose[k + 1]
            if a[along] <= b[along]:
                ends = (a[along], b[along], before, after, held_before, held_after)
            else:
                ends = (b[along], a[along], after, before, held_after, held_before)
            rows.append((w, k, here, *ends, way.loose[k]))
    table = np.array(rows, float).reshape(-1, 10)
    at = table[:, 2]
    return Stretches(
        way=table[:, 0].astype(np.int64),
        number=table[:, 1].astype(np.int64),
        at=at,
        low=table[:, 3],
        high=table[:, 4],
        turn_low=_sign(table[:, 5] - at),
        turn_high=_sign(table[:, 6] - at),
        beyond_low=table[:, 5],
        beyond_high=table[:, 6],
        held_low=table[:, 7].astype(bool),
        held_high=table[:, 8].astype(bool),
        loose=table[:, 9].astype(bool),
        least=at.copy(),
        most=at.copy(),
        mark=np.array([way.mark for way in ways], np.int64)[table[:, 0].astype(np.int64)],
    )


def held_stretches(
    way: Ints, number: Ints, at: Floats, low: Floats, high: Floats, beyond: Floats, mark: Ints
) -> Stretches:
    """Return stretches along one axis of which none may move.

    Parameters
    ----------
    beyond
        (n, 2): the coordinate across of the next corner beyond `low` and beyond `high`.
    """
    stays = np.ones(len(at), bool)
    return Stretches(
        way=way,
        number=number,
        at=at.copy(),
        low=low.copy(),
        high=high.copy(),
        turn_low=_sign(beyond[:, 0] - at),
        turn_high=_sign(beyond[:, 1] - at),
        beyond_low=beyond[:, 0].copy(),
        beyond_high=beyond[:, 1].copy(),
        held_low=stays,
        held_high=stays,
        loose=~stays,
        least=at.copy(),
        most=at.copy(),
        mark=mark,
    )


class Held:
    """Ways that stay as they are, beside others that change.

    Parameters
    ----------
    found
        Their level (False) and upright (True) stretches; nothing if there are no such ways.
    """

    def __init__(self, found: Mapping[bool, Stretches] = MappingProxyType({})) -> None:
        self._found = found

    def beside(self, changing: Sequence[Way], upright: bool) -> Stretches:
        """Return the upright or the level stretches of ways that change and, numbered on, of those that stay."""
        own, held = stretches(changing, upright), self._found.get(upright)
        if held is None or not len(held.at):
            return own
        both = {f.name: (getattr(own, f.name), getattr(held, f.name)) for f in fields(Stretches)}
        both["way"] = own.way, held.way + len(changing)
        return Stretches(**{name: np.concatenate(pair) for name, pair in both.items()})


def some_of(found: Stretches, which: Ints) -> Stretches:
    """Return some of the stretches."""
    return Stretches(**{f.name: getattr(found, f.name)[which] for f in fields(Stretches)})


def _sign(values: Floats) -> Ints:
    return np.where(np.abs(values) < 1e-6, 0, np.sign(values)).astype(np.int64)


def table_of(boxes: Sequence[Box]) -> Floats:
    """Return (left, right, top, bottom) of each box, one row each."""
    return np.array([(b.left_mm, b.right_mm, b.top_mm, b.bottom_mm) for b in boxes], float).reshape(-1, 4)


def limit(found: Stretches, boxes: Floats, upright: bool) -> None:
    """Set how far each loose stretch may move before it meets something that must be kept clear.

    Parameters
    ----------
    boxes
        As `table_of` gives them.
    """
    loose = np.flatnonzero(found.loose)
    loose = loose[np.argsort(found.at[loose], kind="stable")]
    table = boxes if upright else boxes[:, [2, 3, 0, 1]]
    for first in range(0, len(loose), _CHUNK):
        part = loose[first : first + _CHUNK]
        lowest, highest = found.at[part[0]] - FARTHEST_MM, found.at[part[-1]] + FARTHEST_MM
        near, far, start, end = table[(table[:, 1] > lowest) & (table[:, 0] < highest)].T
        at, low, high = found.at[part, None], found.low[part, None], found.high[part, None]
        beside = (end > low + 1e-6) & (start < high - 1e-6) | ((start < low) & (end > high))
        below = np.where(beside & (far <= at + 1e-6), far, -np.inf).max(axis=1, initial=-np.inf) + KEEP_MM
        above = np.where(beside & (near >= at - 1e-6), near, np.inf).min(axis=1, initial=np.inf) - KEEP_MM
        # Between two symbols that stand close together a wire may come nearer to them.
        narrow = above - below < KEEP_MM
        below, above = below - narrow * _SQUEEZED_MM, above + narrow * _SQUEEZED_MM
        here = found.at[part]
        found.least[part] = np.clip(below, here - FARTHEST_MM, here)
        found.most[part] = np.clip(above, here, here + FARTHEST_MM)


def put_back(ways: Sequence[Way], found: Stretches, upright: bool) -> None:
    """Move the corners of the ways to where the stretches are now."""
    across = 0 if upright else 1
    some = np.flatnonzero(found.loose)
    for w, k, at in zip(
        found.way[some].tolist(), found.number[some].tolist(), found.at[some].tolist(), strict=True
    ):
        points = ways[w].points
        points[k][across] = at
        points[k + 1][across] = at
