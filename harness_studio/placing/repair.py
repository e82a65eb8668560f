"""The last look at a page: stretches that still lie on each other are moved one by one to where there is nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from .jogs import lying_on
from .stretches import Bools, Floats, Held, Stretches, Way, Which, limit, stretches

_ROUNDS = 8
_APART_MM = 0.3
"""Nearer than this, two stretches count as on each other."""
_READABLE_MM = 2.0
_OFFERS = 120
_MOST_PAIRS = 800
"""No more than this are looked at in a round: beyond that a page is too full to be read."""


class _Page:
    """All stretches of both directions, kept up to date while ways change."""

    def __init__(self, ways: Sequence[Way], near: Held, boxes: Floats) -> None:
        self.ways = ways
        self.boxes = boxes
        self.lines = {upright: near.beside(ways, upright) for upright in (False, True)}
        numbers = np.arange(len(ways))
        # Ways that may change come first, in order.
        own = {u: found.way[: int((found.way < len(ways)).sum())] for u, found in self.lines.items()}
        self.first = {u: way.searchsorted(numbers) for u, way in own.items()}

    def pairs(self) -> list[tuple[Which, Which]]:
        """Return the stretches that lie on each other."""
        return [pair for found in self.lines.values() for pair in lying_on(found, len(self.ways))]

    def row(self, way: int, k: int) -> tuple[bool, int]:
        """Return whether a stretch of a way that may change is upright, and its place among those."""
        upright = (k % 2 == 0) != self.ways[way].level_first
        # Every other stretch of a way is upright, the first one of them or the second.
        return upright, int(self.first[upright][way]) + k // 2

    def places(self, first: Which, second: Which) -> tuple[bool, int, int]:
        """Return whether two stretches along one axis are upright, and their places; one of them may be held."""
        changing, other = (first, second) if first[0] < len(self.ways) else (second, first)
        upright, i = self.row(*changing)
        if other[0] < len(self.ways):
            return upright, i, self.row(*other)[1]
        found = self.lines[upright]
        return upright, i, int(((found.way == other[0]) & (found.number == other[1])).argmax())

    def update(self, way: int) -> None:
        """Write down a way's corners again after one of its stretches was moved."""
        points = self.ways[way].points
        for k in range(len(points) - 1):
            upright, i = self.row(way, k)
            across, along = (0, 1) if upright else (1, 0)
            found: Stretches = self.lines[upright]
            found.at[i] = points[k][across]
            found.low[i], found.high[i] = sorted((points[k][along], points[k + 1][along]))


def repair(ways: Sequence[Way], near: Held, boxes: Floats) -> None:
    """Move stretches of `ways` that lie on others of `ways` or `near` to free places, as far as there are any.

    Parameters
    ----------
    boxes
        What must be kept clear, as `table_of` gives it.
    """
    before, page = -1, _Page(ways, near, boxes)
    for _ in range(_ROUNDS):
        pairs = page.pairs()
        if not pairs or len(pairs) == before:
            return
        before = len(pairs)
        for first, second in pairs[:_MOST_PAIRS]:
            if _lie_on_each_other(page, first, second):
                any(_moved(page, which) for which in _movable(ways, first, second))


def _lie_on_each_other(page: _Page, first: Which, second: Which) -> bool:
    upright, i, j = page.places(first, second)
    found = page.lines[upright]
    return abs(float(found.at[i] - found.at[j])) < _APART_MM and bool(
        min(found.high[i], found.high[j]) > max(found.low[i], found.low[j])
    )


def _movable(ways: Sequence[Way], first: Which, second: Which) -> Iterator[Which]:
    """Yield the stretches whose movement may part two: themselves, then those that follow or precede them."""
    for step in (0, 1, -1):
        for w, k in (first, second):
            if w < len(ways) and 0 <= k + step < len(ways[w].loose) and ways[w].loose[k + step]:
                yield w, k + step


def _moved(page: _Page, which: Which) -> bool:
    """Move a stretch to the place nearest to it where it and what follows it lie on nothing; tell whether it was."""
    way, k = which
    upright, i = page.row(*which)
    across = 0 if upright else 1
    lines = page.lines[upright]
    at, points = float(lines.at[i]), page.ways[way].points
    held = [n == k for n in range(len(points) - 1)]
    own = stretches([Way([list(p) for p in points], page.ways[way].level_first, held)], upright)
    limit(own, page.boxes, upright)
    least, most = float(own.least[own.loose][0]), float(own.most[own.loose][0])
    beside = (lines.low < lines.high[i]) & (lines.high > lines.low[i]) & (lines.way != way)
    beside &= (lines.at > least - 2 * _READABLE_MM) & (lines.at < most + 2 * _READABLE_MM)
    taken = lines.at[beside]
    offers = _offers(taken, least, most, at)
    free = np.ones(len(offers), bool)
    if k > 0:
        free &= _neighbour_free(page, way, k - 1, points[k - 1][across], offers)
    if k < len(points) - 2:
        free &= _neighbour_free(page, way, k + 1, points[k + 2][across], offers)
    offers = offers[free]
    if not len(offers):
        return False
    room = np.abs(offers[:, None] - taken[None, :]).min(axis=1, initial=_READABLE_MM)
    best = int(np.lexsort((np.abs(offers - at), -room))[0])
    if room[best] <= min(_APART_MM, (most - least) / 50):
        return False
    points[k][across] = points[k + 1][across] = float(offers[best])
    page.update(way)
    return True


def _offers(taken: Floats, least: float, most: float, at: float) -> Floats:
    """Return places for a stretch: in the middle between others, and a readable step beside them; the nearest ones."""
    marks = np.unique(np.concatenate((taken, np.array((least, most)))))
    steps = 2 * _READABLE_MM
    offers = np.concatenate(((marks[1:] + marks[:-1]) / 2, marks - steps, marks + steps))
    offers = offers[(offers >= least) & (offers <= most)]
    return np.asarray(offers[np.argsort(np.abs(offers - at), kind="stable")[:_OFFERS]], float)


def _neighbour_free(page: _Page, way: int, n: int, fixed: float, offers: Floats) -> Bools:
    """Tell for each place whether the stretch before or after one that moves there then lies on nothing.

    Parameters
    ----------
    n
        That stretch; it reaches from `fixed` to the place.
    """
    upright, i = page.row(way, n)
    lines = page.lines[upright]
    reach = (min(fixed, float(offers.min(initial=fixed))), max(fixed, float(offers.max(initial=fixed))))
    near = (np.abs(lines.at - lines.at[i]) < _APART_MM) & (lines.way != way)
    near &= (lines.low < reach[1]) & (lines.high > reach[0])
    low, high = np.minimum(offers, fixed)[:, None], np.maximum(offers, fixed)[:, None]
    return np.asarray(~((lines.low[near] < high) & (lines.high[near] > low)).any(axis=1), bool)
