"""Simple ways for wires: for the time of a drag, and until the real ones are found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from harness_studio.base.geometry import Point
from harness_studio.model.harness import Harness
from harness_studio.placing.links import links
from harness_studio.placing.symbols import Anchor, Key, Route, Symbol

Step = tuple[float, float]
_SIDEWAYS = ("left", "right")


def followed(points: Sequence[Point], first: Step | None, second: Step | None) -> tuple[Point, ...]:
    """Return a way after its ends have moved, with right angles only.

    Parameters
    ----------
    first, second
        How far each end moved, in mm; None for one that stayed.
    """
    if first is None and second is None:
        return tuple(points)
    if first is not None and first == second:
        return tuple(p.moved(*first) for p in points)
    if len(points) < 2:
        return tuple(p.moved(*(first or second or (0.0, 0.0))) for p in points)
    start = points[0].moved(*(first or (0.0, 0.0)))
    end = points[-1].moved(*(second or (0.0, 0.0)))
    level_first, level_last = _is_level(points[0], points[1]), _is_level(points[-1], points[-2])
    if len(points) == 2:
        return tuple(_between(start, level_first, end, level_last))
    way = list(points)
    if first is not None:
        way[:2] = [start, _slid(points[1], start, level_first)]
    if second is not None:
        way[-2:] = [_slid(way[-2], end, level_last), end]
    return tuple(way)


Weight = tuple[float, float]


def weights(points: Sequence[Point], *, first: bool, second: bool) -> tuple[list[Point], list[Weight]]:
    """Return a way, and for each of its points what share of a step across and down it takes.

    The same as `followed` for one step at whichever ends move, in a form that many steps can be made with at once.

    Parameters
    ----------
    first, second
        Which ends move.
    """
    if first and second:
        return list(points), [(1.0, 1.0)] * len(points)
    if second:
        way, shares = weights(points[::-1], first=True, second=False)
        return way[::-1], shares[::-1]
    if not first or len(points) < 2:
        return list(points), [(float(first), float(first))] * len(points)
    level = _is_level(points[0], points[1])
    if len(points) > 2:
        corner = (0.0, 1.0) if level else (1.0, 0.0)
        return list(points), [(1.0, 1.0), corner, *[(0.0, 0.0)] * (len(points) - 2)]
    a, b = points
    if level:
        middle = Point((a.x_mm + b.x_mm) / 2, a.y_mm)
        return [a, middle, middle, b], [(1.0, 1.0), (0.5, 1.0), (0.5, 0.0), (0.0, 0.0)]
    middle = Point(a.x_mm, (a.y_mm + b.y_mm) / 2)
    return [a, middle, middle, b], [(1.0, 1.0), (1.0, 0.5), (0.0, 0.5), (0.0, 0.0)]


def _is_level(a: Point, b: Point) -> bool:
    return abs(a.y_mm - b.y_mm) <= abs(a.x_mm - b.x_mm)


def _slid(corner: Point, end: Point, level: bool) -> Point:
    """Return the corner next to an end that moved: it slides along its other stretch."""
    return Point(corner.x_mm, end.y_mm) if level else Point(end.x_mm, corner.y_mm)


def _between(a: Point, a_level: bool, b: Point, b_level: bool) -> list[Point]:
    """Return a way between two places that leaves each level or upright."""
    if a_level and b_level:
        middle = (a.x_mm + b.x_mm) / 2
        way = [a, Point(middle, a.y_mm), Point(middle, b.y_mm), b]
    elif not a_level and not b_level:
        middle = (a.y_mm + b.y_mm) / 2
        way = [a, Point(a.x_mm, middle), Point(b.x_mm, middle), b]
    else:
        way = [a, Point(b.x_mm, a.y_mm) if a_level else Point(a.x_mm, b.y_mm), b]
    return [p for i, p in enumerate(way) if i in (0, len(way) - 1) or p != way[i - 1]]


def elbows(harness: Harness, symbols: Mapping[str, Symbol]) -> dict[str, Route]:
    """Return a simple way for every wire and link whose two ends are drawn.

    Parameters
    ----------
    symbols
        As they lie on the page.
    """
    anchors: dict[Key, Anchor] = {}
    for symbol in symbols.values():
        anchors.update(symbol.wire_anchors)
    found: dict[str, Route] = {}
    for line in links(harness):
        a, b = (anchors.get((line.id, point)) if point is not None else None for point in line.ends)
        if a is not None and b is not None:
            way = _between(a.at, a.side in _SIDEWAYS, b.at, b.side in _SIDEWAYS)
            found[line.id] = Route(line.id, tuple(way), line.kind)
    return found
