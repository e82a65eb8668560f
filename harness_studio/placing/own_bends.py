"""Bend points that the user makes: a stretch of a wire's way is moved sideways, its corners become the wire's own."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from harness_studio.base.geometry import Point

from .bends import Pair, cleaned

GRID_MM = 2.0
STUB_MM = 8.0
"""How far a wire goes straight on from its end before a bend that the user made."""


def stretch_at(points: Sequence[Point], here: Point) -> int:
    """Return the number of the stretch of a way that is nearest to a place."""

    def away(pair: tuple[Point, Point]) -> float:
        a, b = pair
        x = min(max(here.x_mm, min(a.x_mm, b.x_mm)), max(a.x_mm, b.x_mm))
        y = min(max(here.y_mm, min(a.y_mm, b.y_mm)), max(a.y_mm, b.y_mm))
        return abs(here.x_mm - x) + abs(here.y_mm - y)

    found = [away(pair) for pair in pairwise(points)]
    return found.index(min(found))


def moved_stretch(points: Sequence[Point], number: int, dx_mm: float, dy_mm: float) -> list[Point]:
    """Return a way with one stretch moved sideways by a step; its ends stay where they are.

    A stretch that begins at an end of the wire gets a short straight piece there. What it comes to lies on the grid.
    """
    way = list(points)
    a, b = way[number], way[number + 1]
    level = abs(a.y_mm - b.y_mm) <= abs(a.x_mm - b.x_mm)
    by = _to_grid(a.y_mm, dy_mm) if level else _to_grid(a.x_mm, dx_mm)
    if not by:
        return way

    def slid(p: Point) -> Point:
        return p.moved(0.0, by) if level else p.moved(by, 0.0)

    head, tail = way[: number + 1], way[number + 1 :]
    if number == 0:
        stub = _towards(a, b)
        head = [a, stub, slid(stub)]
    else:
        head[-1] = slid(a)
    if number == len(points) - 2:
        stub = _towards(b, a)
        tail = [slid(stub), stub, b]
    else:
        tail[0] = slid(b)
    return cleaned([(p.x_mm, p.y_mm) for p in (*head, *tail)])


def _to_grid(now: float, by: float) -> float:
    return round((now + by) / GRID_MM) * GRID_MM - now if abs(by) >= GRID_MM / 2 else 0.0


def _towards(a: Point, b: Point) -> Point:
    length = abs(b.x_mm - a.x_mm) + abs(b.y_mm - a.y_mm)
    share = min(STUB_MM, length / 3) / length if length else 0.0
    return Point(a.x_mm + (b.x_mm - a.x_mm) * share, a.y_mm + (b.y_mm - a.y_mm) * share)


def bends_of(points: Sequence[Point]) -> tuple[Pair, ...]:
    """Return the corners of a way, without its ends, as the project file keeps them."""
    return tuple((round(p.x_mm, 3), round(p.y_mm, 3)) for p in points[1:-1])
