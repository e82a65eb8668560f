"""Where the ids of wires are written: near both ends, beside the wire, on no other wire, symbol or label."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.strokes import Text
from harness_studio.placing.lettering import width_mm
from harness_studio.placing.symbols import Route, Symbol

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

SIZE_MM = 3.7
BESIDE_MM = 1.0
"""From the wire's edge to the text."""
NEAREST_MM, FARTHEST_MM, STEP_MM = 7.0, 80.0, 6.0
"""How far from its end a label may stand, and the steps in which places are tried."""
ONCE_BELOW_MM = 90.0
"""A wire shorter than this has one label."""
_BUCKET_MM = 60.0


def wire_labels(
    routes: Mapping[str, Route],
    symbols: Iterable[Symbol],
    widths_mm: Mapping[str, float],
    kept_free: Iterable[Box] = (),
) -> list[tuple[str, Text]]:
    """Return (wire, label) for each wire that has a free place: one near each end, one on a short wire.

    Parameters
    ----------
    symbols
        As they lie on the page.
    widths_mm
        How broad each wire is drawn.
    kept_free
        Where other labels stand.
    """
    drawn = [route for route in routes.values() if len(route.points) > 1]
    lines, taken = _Lines(drawn), _Taken()
    for symbol in symbols:
        taken.add(symbol.clear)
    for box in kept_free:
        taken.add(box)
    found: list[tuple[str, Text]] = []
    for route in drawn:
        if route.kind != "wire":
            continue
        length = sum(abs(a.x_mm - b.x_mm) + abs(a.y_mm - b.y_mm) for a, b in pairwise(route.points))
        ends: tuple[Sequence[Point], ...] = (route.points,) if length < ONCE_BELOW_MM else (
            route.points, route.points[::-1],
        )  # fmt: skip
        for way in ends:
            beside = BESIDE_MM + widths_mm.get(route.wire, 0.0) / 2
            for text, box in _places(route.wire, way, min(FARTHEST_MM, length / len(ends)), beside):
                if not lines.crosses(box) and not taken.meets(box):
                    taken.add(box)
                    found.append((route.wire, text))
                    break
    return found


def _places(wire: str, way: Sequence[Point], farthest: float, beside: float) -> Iterator[tuple[Text, Box]]:
    """Yield texts and the room they take, from the end inwards: above or below, right or left of the wire."""
    width, height = width_mm(wire, SIZE_MM), SIZE_MM * 1.05
    gone = 0.0
    for a, b in pairwise(way):
        dx, dy = b.x_mm - a.x_mm, b.y_mm - a.y_mm
        length = abs(dx) + abs(dy)
        level = abs(dx) >= abs(dy)
        margin = width / 2 + 1 if level else height / 2 + 1
        along = max(NEAREST_MM - gone, margin)
        while along <= length - margin and gone + along <= farthest:
            x, y = a.x_mm + dx * along / length, a.y_mm + dy * along / length
            for side in (-1, 1) if level else (1, -1):
                yield _beside(wire, x, y, side * beside, width, height, level=level)
            along += STEP_MM
        gone += length
        if gone > farthest:
            return


def _beside(
    wire: str, x: float, y: float, off: float, width: float, height: float, *, level: bool
) -> tuple[Text, Box]:
    if level:
        middle = y + off + (height / 2 if off > 0 else -height / 2)
        text = Text(x, middle, wire, SIZE_MM, 400, "muted", "middle", SIZE_MM * 1.5, 8)
        return text, Box(x - width / 2, middle - height / 2, width, height)
    start = x + off
    text = Text(start, y, wire, SIZE_MM, 400, "muted", "left" if off > 0 else "right", SIZE_MM * 1.5, 8)
    return text, Box(start if off > 0 else start - width, y - height / 2, width, height)


class _Lines:
    """All stretches of all wires, sorted so that those near a box are found at once."""

    def __init__(self, routes: Sequence[Route]) -> None:
        level: list[tuple[float, float, float]] = []
        upright: list[tuple[float, float, float]] = []
        for route in routes:
            for a, b in pairwise(route.points):
                if abs(a.x_mm - b.x_mm) >= abs(a.y_mm - b.y_mm):
                    level.append((a.y_mm, min(a.x_mm, b.x_mm), max(a.x_mm, b.x_mm)))
                else:
                    upright.append((a.x_mm, min(a.y_mm, b.y_mm), max(a.y_mm, b.y_mm)))
        self._level, self._upright = _sorted(level), _sorted(upright)

    def crosses(self, box: Box) -> bool:
        """Tell whether any stretch runs through a box."""
        return _any(self._level, box.top_mm, box.bottom_mm, box.left_mm, box.right_mm) or _any(
            self._upright, box.left_mm, box.right_mm, box.top_mm, box.bottom_mm
        )


def _sorted(lines: list[tuple[float, float, float]]) -> Floats:
    found = np.array(sorted(lines), dtype=np.float64)
    return found.reshape(-1, 3)


def _any(lines: Floats, first: float, last: float, start: float, end: float) -> bool:
    low, high = np.searchsorted(lines[:, 0], (first, last))
    near = lines[low:high]
    return bool(((near[:, 1] < end) & (near[:, 2] > start)).any())


class _Taken:
    """Boxes by the squares of a coarse grid that they touch."""

    def __init__(self) -> None:
        self._squares: dict[tuple[int, int], list[Box]] = defaultdict(list)

    def _of(self, box: Box) -> Iterator[tuple[int, int]]:
        for column in range(int(box.left_mm // _BUCKET_MM), int(box.right_mm // _BUCKET_MM) + 1):
            for row in range(int(box.top_mm // _BUCKET_MM), int(box.bottom_mm // _BUCKET_MM) + 1):
                yield column, row

    def add(self, box: Box) -> None:
        """Take a box."""
        for square in self._of(box):
            self._squares[square].append(box)

    def meets(self, box: Box) -> bool:
        """Tell whether a box overlaps one that is taken."""
        return any(other.meets(box) for square in self._of(box) for other in self._squares.get(square, ()))
