"""Simple ways without a search: through the bends that the user made, and while something is dragged."""

from __future__ import annotations

from collections.abc import Sequence

from harness_studio.base.geometry import Point

from .symbols import Anchor

Pair = tuple[float, float]
_SAME_MM = 1e-3
_ROUND_MM = 12.0
"""How far a way that must turn back goes round."""


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
    start, end = (a.at.x_mm, a.at.y_mm), (b.at.x_mm, b.at.y_mm)
    p, q = _out(a, stub_mm), _out(b, stub_mm)
    a_level, b_level = a.side in ("left", "right"), b.side in ("left", "right")
    if a_level and b_level:
        middle = _between(p, q, _sign(a), _sign(b))
    elif not a_level and not b_level:
        middle = [(y, x) for x, y in _between(p[::-1], q[::-1], _sign(a), _sign(b))]
    else:
        corner = (q[0], p[1]) if a_level else (p[0], q[1])
        ahead = (corner[0] - start[0] if a_level else corner[1] - start[1]) * _sign(a) > 0
        from_outside = (corner[1] - end[1] if a_level else corner[0] - end[0]) * _sign(b) > 0
        other = (p[0], q[1]) if a_level else (q[0], p[1])
        middle = [corner] if ahead and from_outside else [p, other, q]
    return cleaned([start, *middle, end])


def _between(p: Pair, q: Pair, a_sign: int, b_sign: int) -> list[Pair]:
    """Return the corners between the ends of two stubs along x; the signs tell which way each stub goes out."""
    if a_sign == b_sign and abs(p[1] - q[1]) >= _ROUND_MM / 2:
        x = max(p[0], q[0]) if a_sign > 0 else min(p[0], q[0])
        return [(x, p[1]), (x, q[1])]
    if a_sign != b_sign and (q[0] - p[0]) * a_sign > 0:
        x = (p[0] + q[0]) / 2
        return [(x, p[1]), (x, q[1])]
    y = (p[1] + q[1]) / 2
    if abs(p[1] - q[1]) < 2 * _ROUND_MM:
        y = max(p[1], q[1]) + _ROUND_MM
    return [p, (p[0], y), (q[0], y), q]


def _sign(anchor: Anchor) -> int:
    return 1 if anchor.side in ("right", "bottom") else -1


def _out(anchor: Anchor, by_mm: float) -> Pair:
    x, y = anchor.at.x_mm, anchor.at.y_mm
    by = by_mm * _sign(anchor)
    return (x + by, y) if anchor.side in ("left", "right") else (x, y + by)
