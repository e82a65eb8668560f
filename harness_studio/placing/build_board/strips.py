"""A long build board cut into strips that lie one below the other, so that it is drawn larger."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from harness_studio.base.geometry import Box, Point

from .plan import Plan
from .stretch import Stretch

_GRID = 240
_NEAR = 0.04
"""A cut keeps this part of a strip's width from what is there, where it can."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A part of the build board from `left_mm` to `right_mm`, and how high what lies in it is."""

    left_mm: float
    right_mm: float
    top_mm: float
    bottom_mm: float
    first: bool
    last: bool

    def holds(self, at: Point) -> bool:
        """Tell whether a place lies in the strip; one on a cut lies in that at the left."""
        return (self.first or at.x_mm > self.left_mm) and (self.last or at.x_mm <= self.right_mm)

    def part_of(self, stretch: Stretch) -> tuple[Point, Point] | None:
        """Return the part of a straight piece that lies in the strip, None for none."""
        a, b = stretch.start, stretch.end
        low, high = 0.0, 1.0
        dx = b.x_mm - a.x_mm
        if abs(dx) < 1e-9:
            return (a, b) if self.holds(a) else None
        at = sorted(((self.left_mm - a.x_mm) / dx, (self.right_mm - a.x_mm) / dx))
        low, high = max(low, at[0]), min(high, at[1])
        if high - low < 1e-9:
            return None
        return _at(stretch, low), _at(stretch, high)


def _at(stretch: Stretch, share: float) -> Point:
    a, b = stretch.start, stretch.end
    return a.moved((b.x_mm - a.x_mm) * share, (b.y_mm - a.y_mm) * share)


def strips(made: Plan, count: int, longest_mm: float) -> list[Strip] | None:
    """Cut the build board into so many strips, none longer than `longest_mm`; None where that is not possible."""
    whole = made.extent
    if whole.width_mm > count * longest_mm + 1e-6:
        return None
    cuts = _cuts(made, whole, count, longest_mm)
    if cuts is None:
        return None
    found = []
    for number, (left, right) in enumerate(pairwise(cuts)):
        bare = Strip(left, right, 0.0, 0.0, number == 0, number == count - 1)
        ys = [p.y_mm for s in made.stretches for p in (bare.part_of(s) or ())]
        found.append(Strip(left, right, min(ys, default=0.0), max(ys, default=0.0), bare.first, bare.last))
    return found


def _cuts(made: Plan, whole: Box, count: int, longest: float) -> list[float] | None:
    """Return where the strips begin and end, the cuts where least is cut (dynamic programming over a grid)."""
    step = whole.width_mm / _GRID
    most = math.floor(longest / step + 1e-9)
    if most * count < _GRID:
        return None
    xs = [whole.left_mm + k * step for k in range(_GRID + 1)]
    hurt = _hurts(made, xs, whole.width_mm / count * _NEAR)
    worst = [math.inf] * (_GRID + 1)
    best, via = [0.0, *worst[1:]], []
    for number in range(count):
        following, back = list(worst), [0] * (_GRID + 1)
        for k in range(1, _GRID + 1):
            if number == count - 1 and k != _GRID:
                continue
            options = range(max(0, k - most), k)
            chosen = min(options, key=lambda j: best[j])
            following[k] = best[chosen] + (hurt[k] if k != _GRID else 0.0)
            back[k] = chosen
        best = following
        via.append(back)
    if math.isinf(best[_GRID]):
        return None
    at, found = _GRID, [xs[_GRID]]
    for back in reversed(via):
        at = back[at]
        found.append(xs[at])
    return found[::-1]


def _hurts(made: Plan, xs: Sequence[float], near: float) -> list[float]:
    """Return for each place how bad a cut there is: what lies near, and how many pieces it would cut."""
    marks = np.array([p.x_mm for p in (*made.nodes.values(), *made.things.values(), *made.splices.values())])
    spans = np.array([sorted((s.start.x_mm, s.end.x_mm)) for s in made.stretches])
    at = np.array(xs)[:, None]
    beside = np.maximum(0.0, 1 - np.abs(at - marks) / near).sum(axis=1)
    across = ((spans[:, 0] < at) & (at < spans[:, 1])).sum(axis=1)
    return [float(v) for v in beside + 0.5 * across]
