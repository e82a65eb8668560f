"""Which angle a straight piece of the build board is laid at."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from harness_studio.base.geometry import Point

from .stretch import Stretch

Array = npt.NDArray[np.float64]
BENCH_MM = 1200.0
"""A build board up to so high can be reached across from one side and the other (own choice); more costs."""
RUN_CLEAR_MM, TAIL_CLEAR_MM = 150.0, 45.0
"""Branches and tails keep this distance where they can, so that hands and labels have room (own choice)."""
_STEPS = (90, 60, 120, 45, 135, 75, 105, 30, 150, 15, 165)
BRANCH_ANGLES = tuple(sign * step for step in _STEPS for sign in (1, -1))
TAIL_ANGLES = tuple(a for step in (0, 15, 30) for a in range(step, 360, 45))


def polar(start: Point, angle: float, length: float) -> Point:
    """Return the point at an angle (degrees, clockwise on the page) and a distance."""
    return start.moved(length * math.cos(math.radians(angle)), length * math.sin(math.radians(angle)))


def best_angle(
    laid: Sequence[Stretch], start: Point, length: float, angles: Sequence[float], clear: float
) -> float:
    """Return the angle at which a piece is best laid among those that are laid; of equals the first.

    Parameters
    ----------
    clear
        Distance in mm to other pieces that is wanted.
    """
    ends = [(s.start.x_mm, s.start.y_mm, s.end.x_mm, s.end.y_mm) for s in laid]
    others = np.array(ends, dtype=float).reshape(-1, 4)
    costs = [_cost(others, start, angle, length, clear) for angle in angles]
    return angles[costs.index(min(costs))]


def _cost(others: Array, start: Point, angle: float, length: float, clear: float) -> float:
    """Return how bad it is to lay a straight piece at an angle: crossings, nearness, then the size of it all."""
    end = polar(start, angle, length)
    if not len(others):
        return 0.0
    clear = max(1.0, min(clear, length * 0.6))
    found = 1e6 * float(_crossed(start, end, others).sum())
    tips = np.concatenate([others[:, :2], others[:, 2:]])
    for share in (0.4, 0.7, 1.0):
        probe = polar(start, angle, length * share)
        near = _nearest(np.array([[probe.x_mm, probe.y_mm]]), others)
        found += 1e3 * float(np.maximum(0.0, 1 - near / (clear * min(1.0, share + 0.2))).sum())
    tips = tips[np.hypot(tips[:, 0] - start.x_mm, tips[:, 1] - start.y_mm) > clear]
    own = np.array([[start.x_mm, start.y_mm, end.x_mm, end.y_mm]])
    found += 1e3 * float(np.maximum(0.0, 1 - _nearest(tips, own) / clear).sum())
    xs, ys = others[:, ::2], others[:, 1::2]
    wide = max(float(xs.max()), end.x_mm) - min(float(xs.min()), end.x_mm)
    high = max(float(ys.max()), end.y_mm) - min(float(ys.min()), end.y_mm)
    return round(found + wide / 100 + high / 1000 + max(0.0, high - BENCH_MM) * 10, 6)


def _crossed(a: Point, b: Point, others: Array) -> npt.NDArray[np.bool_]:
    """Tell for each piece whether it crosses the way from a to b, away from a common end."""
    x3, y3, x4, y4 = others.T

    def side(px: Array, py: Array, qx: Array, qy: Array, r: Point) -> Array:
        return (qx - px) * (r.y_mm - py) - (qy - py) * (r.x_mm - px)

    def of_line(x: Array, y: Array) -> Array:
        return (b.x_mm - a.x_mm) * (y - a.y_mm) - (b.y_mm - a.y_mm) * (x - a.x_mm)

    eps = 1e-6
    over = of_line(x3, y3) * of_line(x4, y4) < -eps
    return np.asarray(over & (side(x3, y3, x4, y4, a) * side(x3, y3, x4, y4, b) < -eps), dtype=bool)


def _nearest(points: Array, pieces: Array) -> Array:
    """Return the distances of points from straight pieces; one of both may be a single one."""
    start, way = pieces[:, :2], pieces[:, 2:] - pieces[:, :2]
    square = np.maximum((way**2).sum(axis=1), 1e-12)
    share = np.clip(((points - start) * way).sum(axis=1) / square, 0.0, 1.0)
    return np.asarray(np.hypot(*(points - start - share[:, None] * way).T), dtype=float)
