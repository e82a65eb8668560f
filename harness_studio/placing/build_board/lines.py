"""Boxes and straight lines as rows of numbers: which pass through which, and which cross."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from harness_studio.base.geometry import Box, Point

Array = npt.NDArray[np.float64]
Segment = tuple[Point, Point]


def sides(box: Box, by: float) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of a box that is grown."""
    return box.left_mm - by, box.top_mm - by, box.right_mm + by, box.bottom_mm + by


def ends(line: Segment) -> tuple[float, float, float, float]:
    """Return the coordinates of both ends of a line."""
    return line[0].x_mm, line[0].y_mm, line[1].x_mm, line[1].y_mm


def length(line: Segment | None) -> float:
    """Return how long a line is; 0 for none."""
    return math.dist(ends(line)[:2], ends(line)[2:]) if line else 0.0


def beads(a: Point, b: Point, half: float, step: float) -> list[tuple[float, float, float, float]]:
    """Return boxes along a straight piece that together cover it."""
    count = max(1, math.ceil(math.hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm) / step))
    found = []
    for k in range(count):
        xs = [a.x_mm + (b.x_mm - a.x_mm) * s / count for s in (k, k + 1)]
        ys = [a.y_mm + (b.y_mm - a.y_mm) * s / count for s in (k, k + 1)]
        found.append((min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half))
    return found


def through(lines: Array, boxes: Array) -> npt.NDArray[np.bool_]:
    """Tell for each line (rows) and box (columns) whether the one passes through the other (Liang and Barsky)."""
    low, high = np.zeros((len(lines), len(boxes))), np.ones((len(lines), len(boxes)))
    for axis in (0, 1):
        start = lines[:, axis, None]
        way = lines[:, axis + 2, None] - start
        way = np.where(np.abs(way) < 1e-9, 1e-9, way)
        one, other = (boxes[None, :, axis] - start) / way, (boxes[None, :, axis + 2] - start) / way
        low, high = np.maximum(low, np.minimum(one, other)), np.minimum(high, np.maximum(one, other))
    return np.asarray(low < high - 1e-9, dtype=bool)


def crossing(lines: Array, others: Array) -> npt.NDArray[np.bool_]:
    """Tell for each line (rows) and line of others (columns) whether they cross away from their ends."""
    x1, y1, x2, y2 = (lines[:, k, None] for k in range(4))
    x3, y3, x4, y4 = (others[None, :, k] for k in range(4))
    a = (x2 - x1) * (y3 - y1) - (y2 - y1) * (x3 - x1)
    b = (x2 - x1) * (y4 - y1) - (y2 - y1) * (x4 - x1)
    c = (x4 - x3) * (y1 - y3) - (y4 - y3) * (x1 - x3)
    d = (x4 - x3) * (y2 - y3) - (y4 - y3) * (x2 - x3)
    return np.asarray((a * b < -1e-9) & (c * d < -1e-9), dtype=bool)
