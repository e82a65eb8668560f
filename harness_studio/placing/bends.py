"""Simple ways without a search: through the bends that the user made, and while something is dragged."""

from __future__ import annotations

from collections.abc import Sequence

from harness_studio.base.geometry import Point

from .symbols import Anchor

Pair = tuple[float, float]
_SAME_MM = 1e-3


def through(start: Anchor, bends: Sequence[Pair], end: Anchor | None) -> list[Point]:
    """Return the corners of a way through given bends at right angles; without an `end` it stops at the last bend."""
    level = start.side in ("left", "right")
    points = [(start.at.x_mm, start.at.y_mm)]
    targets = [*bends, *([(end.at.x_mm, end.at.y_mm)] if end else [])]
    for number, (x, y) in enumerate(targets):
        (last_x, last_y), is_last = points[-1], end is not None and number == len(targets) - 1
        if is_last and end is not None:
            # It arrives along the side's direction, so the corner lies in line with the anchor.
            level = end.side not in ("left", "right")
        if abs(last_x - x) > _SAME_MM and abs(last_y - y) > _SAME_MM:
            points.append((x, last_y) if level else (last_x, y))
            level = not level
        else:
            level = abs(last_y - y) > _SAME_MM
        points.append((x, y))
    return cleaned(points)


def cleaned(points: Sequence[Pair]) -> list[Point]:
    """Return the corners of a way without repeated ones and without those on a straight line."""
    found: list[Pair] = []
    for p in points:
        if found and abs(p[0] - found[-1][0]) < _SAME_MM and abs(p[1] - found[-1][1]) < _SAME_MM:
            continue
        if len(found) > 1 and _in_line(found[-2], found[-1], p):
            found[-1] = p
        else:
            found.append(p)
    return [Point(x, y) for x, y in found]


def _in_line(a: Pair, b: Pair, c: Pair) -> bool:
    return (abs(a[0] - b[0]) < _SAME_MM and abs(b[0] - c[0]) < _SAME_MM) or (
        abs(a[1] - b[1]) < _SAME_MM and abs(b[1] - c[1]) < _SAME_MM
    )


def quick(a: Anchor, b: Anchor, stub_mm: float = 8.0) -> list[Point]:
    """Return a plain way between two anchors on a page, for a wire while something is dragged: at most four bends.

    Nothing is avoided; both ends leave along their sides.
    """
    p, q = _out(a, stub_mm), _out(b, stub_mm)
    a_level, b_level = a.side in ("left", "right"), b.side in ("left", "right")
    if a_level and b_level:
        if (q[0] - p[0]) * _sign(a) > 0 and (p[0] - q[0]) * _sign(b) > 0:
            x = (p[0] + q[0]) / 2
            middle = [(x, p[1]), (x, q[1])]
        elif _sign(a) == _sign(b):
            x = max(p[0], q[0]) if _sign(a) > 0 else min(p[0], q[0])
            middle = [(x, p[1]), (x, q[1])]
        else:
            y = (p[1] + q[1]) / 2
            middle = [p, (p[0], y), (q[0], y), q]
    elif not a_level and not b_level:
        y = (p[1] + q[1]) / 2
        if _sign(a) == _sign(b):
            y = max(p[1], q[1]) if _sign(a) > 0 else min(p[1], q[1])
        middle = [(p[0], y), (q[0], y)]
    else:
        middle = [p, (q[0], p[1]) if a_level else (p[0], q[1]), q]
    return cleaned([(a.at.x_mm, a.at.y_mm), *middle, (b.at.x_mm, b.at.y_mm)])


def _sign(anchor: Anchor) -> int:
    return 1 if anchor.side in ("right", "bottom") else -1


def _out(anchor: Anchor, by_mm: float) -> Pair:
    x, y = anchor.at.x_mm, anchor.at.y_mm
    by = by_mm * _sign(anchor)
    return (x + by, y) if anchor.side in ("left", "right") else (x, y + by)
