"""A piece of wire in its colours, told apart in black and white by hatching.

The hatching is the old one of heraldry (known as Petra Sancta's): red upright, blue level, green falling, violet
rising, black crossed, yellow dotted, white plain; brown, orange, grey, pink and turquoise are our own additions.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath

from harness_studio.base.geometry import Box
from harness_studio.drawing.strokes import Stroke, Strokes, gather, lines, slab

WIDE_MM, HIGH_MM = 8.0, 2.7
_HATCHES: Mapping[str, Sequence[str]] = {
    "RD": ("upright",), "BU": ("level",), "GN": ("falling",), "VT": ("rising",), "BK": ("upright", "level"),
    "YE": ("dots",), "WH": (), "BN": ("upright", "falling"), "OG": ("upright", "dots"), "GY": ("rising", "falling"),
    "PK": ("rising", "dots"), "TQ": ("level", "falling"), "GD": ("dots", "level"), "SR": ("level", "rising"),
}  # fmt: skip
_STEP_MM, _LINE_MM = 0.8, 0.13


def swatch(codes: Sequence[str], box: Box) -> Strokes:
    """Return a piece of wire: base colour, its hatching on the left part, tracers as bands along it."""
    if not codes:
        return gather(Stroke(slab(box, 0.6), "frame", 0.2))
    base, *tracers = codes
    parts = [Stroke(slab(box, 0.6), None, 0, base)]
    parts += [Stroke(path, f"{base}!", _LINE_MM) for path in _hatched(base, box)]
    high = box.height_mm / (2 * len(tracers) + 1) if tracers else 0.0
    for number, code in enumerate(tracers):
        band = Box(box.left_mm, box.top_mm + high * (2 * number + 1), box.width_mm, high)
        parts.append(Stroke(slab(band), None, 0, code))
        parts += [Stroke(path, f"{code}!", _LINE_MM) for path in _hatched(code, band)]
        edges = lines(
            (band.left_mm, band.top_mm, band.right_mm, band.top_mm),
            (band.left_mm, band.bottom_mm, band.right_mm, band.bottom_mm),
        )
        parts.append(Stroke(edges, "ink", 0.1))
    parts.append(Stroke(slab(box, 0.6), "ink", 0.2))
    return gather(*parts)


def _hatched(code: str, box: Box) -> Iterator[QPainterPath]:
    """Yield the hatching of a colour over the left half of a box."""
    half = Box(box.left_mm, box.top_mm, box.width_mm / 2, box.height_mm)
    for how in _HATCHES.get(code, ()):
        yield _dots(half) if how == "dots" else _ruled(half, how)


def _ruled(box: Box, how: str) -> QPainterPath:
    pairs: list[tuple[float, float, float, float]] = []
    left, right, top, bottom = box.left_mm, box.right_mm, box.top_mm, box.bottom_mm
    if how == "level":
        count = max(1, round(box.height_mm / _STEP_MM) - 1)
        pairs = [
            (left, y, right, y) for y in (top + (k + 1) * box.height_mm / (count + 1) for k in range(count))
        ]
    elif how == "upright":
        pairs = [(x, top, x, bottom) for x in _steps(left, right)]
    else:
        high = bottom - top
        for x in _steps(left - high, right):
            low, far = max(x, left), min(x + high, right)
            if far - low < 0.05:
                continue
            at = (low - x, far - x)
            if how == "falling":
                pairs.append((low, top + at[0], far, top + at[1]))
            else:
                pairs.append((low, bottom - at[0], far, bottom - at[1]))
    return lines(*pairs)


def _steps(start: float, end: float) -> list[float]:
    return [start + _STEP_MM * (k + 0.5) for k in range(int((end - start) / _STEP_MM))]


def _dots(box: Box) -> QPainterPath:
    path = QPainterPath()
    rows = max(1, round(box.height_mm / _STEP_MM) - 1)
    for row in range(rows):
        y = box.top_mm + (row + 1) * box.height_mm / (rows + 1)
        for x in _steps(box.left_mm + (row % 2) * _STEP_MM / 2, box.right_mm):
            path.addEllipse(QRectF(QPointF(x - 0.09, y - 0.09), QPointF(x + 0.09, y + 0.09)))
    return path
