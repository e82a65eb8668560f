"""The last look at a page: stretches that still lie on each other are moved one by one to where there is nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from harness_studio.base.geometry import Box

from .jogs import overlaps
from .stretches import Floats, Stretches, Way, Which, limit, stretches

_ROUNDS = 3
_APART_MM = 0.3
"""Nearer than this, two stretches count as on each other."""
_READABLE_MM = 2.0
_OFFERS = 24


class _Page:
    """All stretches of both directions, kept up to date while ways change."""

    def __init__(self, ways: Sequence[Way], boxes: Sequence[Box]) -> None:
        self.ways = ways
        self.lines = {upright: stretches(ways, upright) for upright in (False, True)}
        for upright, found in self.lines.items():
            limit(found, boxes, upright)
        self.row = {
            (w, k): (upright, i)
            for upright, found in self.lines.items()
            for i, (w, k) in enumerate(zip(found.way.tolist(), found.number.tolist(), strict=True))
        }

    def others(self, upright: bool, way: int, at: float, low: float, high: float) -> Floats:
        """Return (at, low, high) of the stretches of other ways that come near a strip, one row each."""
        found = self.lines[upright]
        near = (
            (found.low < high)
            & (found.high > low)
            & (np.abs(found.at - at) < _READABLE_MM)
            & (found.way != way)
        )
        return np.column_stack((found.at[near], found.low[near], found.high[near]))

    def is_free(self, upright: bool, way: int, at: float, low: float, high: float) -> float:
        """Return how far the nearest other stretch is that lies beside one from `low` to `high`, at most readable."""
        near = self.others(upright, way, at, low, high)
        return float(np.abs(near[:, 0] - at).min(initial=_READABLE_MM))

    def update(self, way: int) -> None:
        """Write down a way's corners again after one of its stretches was moved."""
        points = self.ways[way].points
        for k in range(len(points) - 1):
            upright, i = self.row[way, k]
            across, along = (0, 1) if upright else (1, 0)
            found: Stretches = self.lines[upright]
            found.at[i] = points[k][across]
            found.low[i], found.high[i] = sorted((points[k][along], points[k + 1][along]))


def repair(ways: Sequence[Way], near: Sequence[Way], boxes: Sequence[Box]) -> None:
    """Move stretches of `ways` that lie on others of `ways` or `near` to free places, as far as there are any."""
    for _ in range(_ROUNDS):
        pairs = overlaps([*ways, *near])
        if not pairs:
            return
        page = _Page([*ways, *near], boxes)
        for first, second in pairs:
            if _lie_on_each_other(page, first, second):
                any(_moved(page, which, boxes) for which in _movable(ways, first, second))


def _lie_on_each_other(page: _Page, first: Which, second: Which) -> bool:
    (upright, i), (other, j) = page.row[first], page.row[second]
    found = page.lines[upright]
    return (
        upright == other
        and abs(float(found.at[i] - found.at[j])) < _APART_MM
        and bool(min(found.high[i], found.high[j]) > max(found.low[i], found.low[j]))
    )


def _movable(ways: Sequence[Way], first: Which, second: Which) -> Iterator[Which]:
    """Yield the stretches whose movement may part two: themselves, then those that follow or precede them."""
    for step in (0, 1, -1):
        for w, k in (first, second):
            if w < len(ways) and 0 <= k + step < len(ways[w].loose) and ways[w].loose[k + step]:
                yield w, k + step


def _moved(page: _Page, which: Which, boxes: Sequence[Box]) -> bool:
    """Move a stretch to the place nearest to it where it and what follows it lie on nothing; tell whether it was."""
    way, k = which
    upright, i = page.row[which]
    across = 0 if upright else 1
    lines = page.lines[upright]
    at, low, high = float(lines.at[i]), float(lines.low[i]), float(lines.high[i])
    points = page.ways[way].points
    single = Way(
        [list(p) for p in points], page.ways[way].level_first, [n == k for n in range(len(points) - 1)]
    )
    own = stretches([single], upright)
    limit(own, boxes, upright)
    least, most = float(own.least[own.loose][0]), float(own.most[own.loose][0])
    offers = [
        (page.is_free(upright, way, place, low, high), -abs(place - at), place)
        for place in _offers(page, upright, way, (low, high), (least, most), at)
        if all(_neighbour_free(page, way, n, across, place, n < k) for n in (k - 1, k + 1))
    ]
    room, _, place = max(offers, default=(0.0, 0.0, at))
    if room <= min(_APART_MM, (most - least) / 50):
        return False
    points[k][across] = points[k + 1][across] = place
    page.update(way)
    return True


def _offers(
    page: _Page, upright: bool, way: int, span: tuple[float, float], within: tuple[float, float], at: float
) -> list[float]:
    """Return places for a stretch: in the middle between others, and a readable step beside them; the nearest ones."""
    found = page.lines[upright]
    near = (found.low < span[1]) & (found.high > span[0]) & (found.way != way)
    near &= (found.at > within[0] - 5.0) & (found.at < within[1] + 5.0)
    taken = np.unique(np.concatenate((found.at[near], np.array(within))))
    offers = np.concatenate(
        ((taken[1:] + taken[:-1]) / 2, taken - 2 * _READABLE_MM, taken + 2 * _READABLE_MM)
    )
    offers = offers[(offers >= within[0]) & (offers <= within[1])]
    nearest = np.argsort(np.abs(offers - at), kind="stable")[:_OFFERS]
    return [float(x) for x in offers[nearest]]


def _neighbour_free(page: _Page, way: int, n: int, across: int, place: float, before: bool) -> bool:
    """Tell whether the stretch before or after one that moves to `place` then lies on nothing."""
    points = page.ways[way].points
    if not 0 <= n < len(points) - 1:
        return True
    upright, i = page.row[way, n]
    fixed = points[n][across] if before else points[n + 1][across]
    low, high = sorted((fixed, place))
    return page.is_free(upright, way, float(page.lines[upright].at[i]), low, high) > _APART_MM
