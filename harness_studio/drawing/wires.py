"""Thousands of wires in a few calls: upright and level bars on whole pixels, outlined, with tracers and corners.

Level stretches come first and upright ones on top with their outlines, so that two wires that cross never look joined.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from .bars import Bars, dashes, grown, part
from .pixels import NATURAL_PX_PER_MM, Pixels, fill_rects
from .theme import Theme

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

CORNER_MM = 1.5
MOST_CORNERS = 700
"""Corners are rounded while not more than this many can be seen: each costs a path."""

LEAST_TRACED_ZOOM = 0.4
"""From this zoom on a wire with a tracer is broad enough to show it, whatever its size."""

LEAST_FINE_ZOOM = 0.1
"""Below this zoom stretches of one or two pixels, outlines and casings are left out: nobody sees them."""


@dataclass(frozen=True, slots=True)
class WireArt:
    """How one wire is drawn: corner points in mm, IEC 60757 codes (base first; none: not known), width in mm."""

    id: str
    points: tuple[tuple[float, float], ...]
    codes: tuple[str, ...] = ()
    width_mm: float = 0.9


class WireBatch:
    """Wires that are drawn together.

    `ids` holds the wires by number; `nearest` finds one by arithmetic, so that no wire is an item of its own.
    """

    def __init__(self, arts: Sequence[WireArt]) -> None:
        self.ids = [art.id for art in arts]
        self.number = {wire: i for i, wire in enumerate(self.ids)}
        counts = np.array([len(art.points) for art in arts], dtype=np.int64)
        flat = [xy for art in arts for point in art.points for xy in point]
        places = np.array(flat, dtype=np.float64).reshape(-1, 2)
        self._x, self._y = places[:, 0], places[:, 1]
        self._of_vertex = np.repeat(np.arange(len(arts)), counts)
        self.width_mm = np.array([art.width_mm for art in arts], dtype=np.float64)
        last = np.cumsum(counts)
        first = last - counts
        inner = np.ones(len(places), dtype=bool)
        inner[last[counts > 0] - 1] = False
        self._a = np.flatnonzero(inner)
        self._b = self._a + 1
        self._wire = self._of_vertex[self._a] if len(self._a) else np.zeros(0, dtype=np.int64)
        level = _levels(places[self._b] - places[self._a], self._wire)
        self._level = level
        corner = np.ones(len(places), dtype=bool)
        corner[first[counts > 0]] = False
        corner[last[counts > 0] - 1] = False
        turns = np.zeros(len(places), dtype=bool)
        turns[self._a[1:]] = level[1:] != level[:-1]
        self._corner = corner & turns
        self._bases, self._base_of = _groups([art.codes[:1] for art in arts])
        self._tracers, self._tracer_of = _groups([art.codes[1:2] for art in arts])
        order = np.lexsort((self._base_of[self._wire], ~level))
        self._a, self._b, self._wire = self._a[order], self._b[order], self._wire[order]
        self._level = level[order]
        self._extent = (
            (places[:, 0].min(), places[:, 1].min(), places[:, 0].max(), places[:, 1].max())
            if len(places)
            else None
        )

    def __len__(self) -> int:
        return len(self.ids)

    @property
    def extent_mm(self) -> tuple[float, float, float, float] | None:
        """Left, top, right and bottom of all wires; None for no wires."""
        return None if self._extent is None else tuple(float(v) for v in self._extent)  # type: ignore[return-value]

    def put(self, x_mm: Floats, y_mm: Floats) -> None:
        """Put all corner points elsewhere, shape (points,); level stretches stay level, upright ones upright."""
        self._x, self._y = x_mm, y_mm

    def flags(self, wires: Sequence[str] | frozenset[str] | set[str]) -> Bools:
        """Return which wires are among the given ones, shape (wires,)."""
        found = np.zeros(len(self.ids), dtype=bool)
        for wire in wires:
            number = self.number.get(wire)
            if number is not None:
                found[number] = True
        return found

    def nearest(self, x_mm: float, y_mm: float, within_mm: float) -> str | None:
        """Return the wire nearest to a place, or None if none is within the distance."""
        if not len(self._a):
            return None
        dx = np.maximum(
            np.minimum(self._x[self._a], self._x[self._b]) - x_mm,
            x_mm - np.maximum(self._x[self._a], self._x[self._b]),
        )
        dy = np.maximum(
            np.minimum(self._y[self._a], self._y[self._b]) - y_mm,
            y_mm - np.maximum(self._y[self._a], self._y[self._b]),
        )
        far = np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) - self.width_mm[self._wire] / 2
        best = int(np.argmin(far))
        return self.ids[int(self._wire[best])] if far[best] <= within_mm else None

    def stretches_in(self, left: float, top: float, right: float, bottom: float) -> int:
        """Return how many stretches run into a rectangle."""
        x, y, a, b = self._x, self._y, self._a, self._b
        return int(np.count_nonzero(
            (np.minimum(x[a], x[b]) < right) & (np.maximum(x[a], x[b]) > left)
            & (np.minimum(y[a], y[b]) < bottom) & (np.maximum(y[a], y[b]) > top)
        ))  # fmt: skip

    def free_beside(self, x_mm: float, top: float, bottom: float) -> tuple[float, float]:
        """Return how far to the left and right of a place no wire runs through a band; infinite for no wire."""
        x, y, a, b = self._x, self._y, self._a, self._b
        here = (np.minimum(y[a], y[b]) < bottom) & (np.maximum(y[a], y[b]) > top)
        first, last = np.minimum(x[a], x[b])[here], np.maximum(x[a], x[b])[here]
        half = self.width_mm[self._wire][here] / 2
        right, left = (first - half)[first > x_mm] - x_mm, x_mm - (last + half)[last < x_mm]
        return float(left.min(initial=np.inf)), float(right.min(initial=np.inf))

    def within(self, left: float, top: float, right: float, bottom: float) -> list[str]:
        """Return the wires that lie wholly in a rectangle."""
        inside = (self._x >= left) & (self._x <= right) & (self._y >= top) & (self._y <= bottom)
        out = np.zeros(len(self.ids), dtype=bool)
        out[self._of_vertex[~inside]] = True
        drawn = np.zeros(len(self.ids), dtype=bool)
        drawn[self._of_vertex] = True
        return [self.ids[i] for i in np.flatnonzero(drawn & ~out)]

    def paint(
        self,
        painter: QPainter,
        at: Pixels,
        theme: Theme,
        *,
        only: Bools | None = None,
        widths_px: Floats | None = None,
        casing: tuple[str, float] | None = None,
    ) -> None:
        """Draw the wires on a painter whose unit is the device pixel.

        Parameters
        ----------
        only
            Which wires, shape (wires,); all by default.
        widths_px
            Widths in pixels at natural zoom instead of those by size, shape (wires,).
        casing
            A colour's name and how many pixels it reaches beyond each wire, drawn below all of them.
        """
        if not len(self._a):
            return
        mm = self.width_mm if widths_px is None else widths_px / NATURAL_PX_PER_MM
        width = np.maximum(1, np.rint(mm * at.scale)).astype(np.int64)
        if at.zoom >= LEAST_TRACED_ZOOM:
            width = np.where(self._tracer_of >= 0, np.maximum(width, round(3 * at.ratio)), width)
        if widths_px is not None:
            width = np.maximum(width, np.rint(np.minimum(widths_px, 2.0) * at.ratio).astype(np.int64))
        corners = self._corner_rooms(at, width, only)
        bars = self._bars(at, width, only, corners)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        if casing is not None and at.zoom >= LEAST_FINE_ZOOM:
            _fill(painter, theme, casing[0], grown(bars, round(casing[1] * at.ratio), True))
        levels = int(np.count_nonzero(bars.level))  # which come first
        for some in (slice(0, levels), slice(levels, None)):
            self._paint_bars(painter, at, theme, part(bars, some), width)
        if corners is not None:
            self._paint_corners(painter, at, theme, width, corners)

    def paint_bands(
        self, painter: QPainter, at: Pixels, steps: Ints, colours: Sequence[QColor], px: float
    ) -> None:
        """Draw a band along each wire, some pixels broader than it on each side, in the colour of its step.

        Parameters
        ----------
        steps
            Number of the colour, -1 for no band, shape (wires,).
        """
        width = np.maximum(1, np.rint(self.width_mm * at.scale)).astype(np.int64)
        bars = self._bars(at, width, steps >= 0, None)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        rects, step = (
            grown(bars, max(1 if px else 0, round(min(1.0, at.zoom * 2) * px * at.ratio)), True),
            steps[bars.wire],
        )
        for number, colour in enumerate(colours):
            painter.setBrush(colour)
            fill_rects(painter, rects[step == number])

    def stretches_px(self, at: Pixels) -> tuple[Floats, Floats, Floats, Floats, Ints]:
        """Return both ends (x, y, x, y) in device pixels of what is seen of the stretches, and their wires."""
        x, y = self._x * at.scale + at.dx, self._y * at.scale + at.dy
        x0, x1 = np.clip(x[self._a], 0, at.width), np.clip(x[self._b], 0, at.width)
        y0, y1 = np.clip(y[self._a], 0, at.height), np.clip(y[self._b], 0, at.height)
        long = (np.abs(x1 - x0) + np.abs(y1 - y0)) > 1
        return x0[long], y0[long], x1[long], y1[long], self._wire[long]

    def _corner_rooms(self, at: Pixels, width: Ints, only: Bools | None) -> Ints | None:
        """Return for each vertex how many pixels of each stretch its rounding takes; None where none is rounded."""
        if CORNER_MM * at.scale < 2.5:
            return None
        x, y = self._x * at.scale + at.dx, self._y * at.scale + at.dy
        seen = self._corner & (x > -20) & (y > -20) & (x < at.width + 20) & (y < at.height + 20)
        if only is not None:
            seen &= only[self._of_vertex]
        if np.count_nonzero(seen) > MOST_CORNERS:
            return None
        reach = np.hypot(np.diff(x), np.diff(y))
        before = np.concatenate(([0.0], reach))
        after = np.concatenate((reach, [0.0]))
        wide = width[self._of_vertex]
        room = np.minimum(CORNER_MM * at.scale + wide / 2, np.minimum(before, after) / 2 + wide / 2)
        return np.where(seen & (room >= wide + 1), np.floor(room), 0).astype(np.int64)

    def _bars(self, at: Pixels, width: Ints, only: Bools | None, rooms: Ints | None) -> Bars:
        mine = slice(None) if only is None else np.flatnonzero(only[self._wire])
        a, b, wire, is_level = self._a[mine], self._b[mine], self._wire[mine], self._level[mine]
        wide = width[self._of_vertex]
        x = np.floor(self._x * at.scale + at.dx - wide / 2 + 0.5)
        y = np.floor(self._y * at.scale + at.dy - wide / 2 + 0.5)
        left, top = np.minimum(x[a], x[b]), np.minimum(y[a], y[b])
        right, bottom = np.maximum(x[a], x[b]) + wide[a], np.maximum(y[a], y[b]) + wide[a]
        if rooms is not None:
            a_low = np.where(is_level, x[a] <= x[b], y[a] <= y[b])
            low = np.where(a_low, rooms[a], rooms[b])
            high = np.where(a_low, rooms[b], rooms[a])
            left, right = left + low * is_level, right - high * is_level
            top, bottom = top + low * ~is_level, bottom - high * ~is_level
        keep = (
            (right > 0)
            & (bottom > 0)
            & (left < at.width)
            & (top < at.height)
            & (right > left)
            & (bottom > top)
        )
        if at.zoom < LEAST_FINE_ZOOM:
            keep &= (right - left > 2 * at.ratio) | (bottom - top > 2 * at.ratio)
        shown = np.flatnonzero(keep)
        rects = np.empty((len(shown), 4))
        rects[:, 0], rects[:, 1] = left[shown], top[shown]
        rects[:, 2], rects[:, 3] = right[shown] - left[shown], bottom[shown] - top[shown]
        return Bars(rects, wire[shown], is_level[shown])

    def _paint_bars(self, painter: QPainter, at: Pixels, theme: Theme, bars: Bars, width: Ints) -> None:
        if not len(bars.wire):
            return
        wide = width[bars.wire]
        base = self._base_of[bars.wire]
        # Bars come sorted by their base colour, so those of one colour are a slice.
        edges = np.searchsorted(base, np.arange(len(self._bases) + 1)).tolist()
        slices = [slice(a, b) for a, b in pairwise(edges)]
        if wide.min() < 2:
            self._fill_thin(painter, theme, bars, wide < 2, slices)
        broad = wide >= 2
        if broad.any():
            broader = grown(bars, max(1, round(at.ratio * 0.8)), False)
            for code, mine in zip(self._bases, slices, strict=True):
                if at.zoom >= LEAST_FINE_ZOOM or _is_pale(theme, code):
                    _fill(painter, theme, f"{code}|", broader[mine][broad[mine]])
            for code, mine in zip(self._bases, slices, strict=True):
                _fill(painter, theme, code, bars.rects[mine][broad[mine]])
        traced = (self._tracer_of[bars.wire] >= 0) & (wide >= 3)
        if traced.any():
            self._paint_tracers(painter, theme, part(bars, traced), width)
        if edges[0]:
            unknown = part(bars, base < 0)
            _fill(painter, theme, "muted", dashes(unknown, width, 0.5, 3.0, 2.0))

    def _fill_thin(
        self, painter: QPainter, theme: Theme, bars: Bars, thin: Bools, slices: Sequence[slice]
    ) -> None:
        """Fill bars of one pixel, which have no outline; of a pale colour they have that of its outline."""
        every = bool(thin.all())
        for code, mine in zip(self._bases, slices, strict=True):
            pale = _is_pale(theme, code)
            rects = bars.rects[mine] if every else bars.rects[mine][thin[mine]]
            _fill(painter, theme, f"{code}|" if pale else code, rects)

    def _paint_tracers(self, painter: QPainter, theme: Theme, bars: Bars, width: Ints) -> None:
        tracer = self._tracer_of[bars.wire]
        for number, code in enumerate(self._tracers):
            _fill(painter, theme, code, dashes(part(bars, tracer == number), width, 0.4, 2.6, 2.0))

    def _paint_corners(self, painter: QPainter, at: Pixels, theme: Theme, width: Ints, rooms: Ints) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        edge = 2 * max(1, round(at.ratio * 0.8))
        for vertex in np.flatnonzero(rooms).tolist():
            wire = int(self._of_vertex[vertex])
            base = int(self._base_of[wire])
            wide = int(width[wire])
            path = self._corner_path(at, vertex, wide, int(rooms[vertex]))
            code = self._bases[base] if base >= 0 else None
            if wide >= 2 and code:
                painter.setPen(_flat(theme, f"{code}|", wide + edge))
                painter.drawPath(path)
            painter.setPen(_flat(theme, code or "muted", wide if code else max(1, wide // 2)))
            painter.drawPath(path)

    def _corner_path(self, at: Pixels, vertex: int, wide: int, room: int) -> QPainterPath:
        def middle(number: int) -> tuple[float, float]:
            return (
                float(np.floor(self._x[number] * at.scale + at.dx - wide / 2 + 0.5)) + wide / 2,
                float(np.floor(self._y[number] * at.scale + at.dy - wide / 2 + 0.5)) + wide / 2,
            )

        x, y = middle(vertex)
        radius = room - wide / 2
        (x0, y0), (x1, y1) = middle(vertex - 1), middle(vertex + 1)
        ax, ay = np.sign(x0 - x), np.sign(y0 - y)
        bx, by = np.sign(x1 - x), np.sign(y1 - y)
        path = QPainterPath()
        path.moveTo(x + ax * radius, y + ay * radius)
        centre_x, centre_y = x + (ax + bx) * radius, y + (ay + by) * radius
        start = float(np.degrees(np.arctan2(by, -bx)))
        turn = -90.0 if ax * by - ay * bx < 0 else 90.0
        path.arcTo(QRectF(centre_x - radius, centre_y - radius, 2 * radius, 2 * radius), start, turn)
        return path


def _is_pale(theme: Theme, code: str) -> bool:
    """Tell whether a colour can hardly be seen on its paper without an outline."""
    return not theme.dark and theme.colour(code).lightness() > 205


def _levels(steps: Floats, wire: Ints) -> Bools:
    """Return which stretches are level; one without length turns away from the one before it."""
    dx, dy = np.abs(steps[:, 0]), np.abs(steps[:, 1])
    level: Bools = dy <= dx
    for number in np.flatnonzero((dx == 0) & (dy == 0)).tolist():
        if number and wire[number] == wire[number - 1]:
            level[number] = not level[number - 1]
    return level


def _groups(codes: Sequence[tuple[str, ...]]) -> tuple[list[str], Ints]:
    """Return the different codes, and for each wire the number of its own (-1 for none)."""
    known: dict[str, int] = {}
    numbers = [known.setdefault(code[0], len(known)) if code else -1 for code in codes]
    return list(known), np.array(numbers, dtype=np.int64)


def _fill(painter: QPainter, theme: Theme, colour: str, rects: Floats) -> None:
    if len(rects):
        painter.setBrush(theme.brush(colour))
        fill_rects(painter, rects)


def _flat(theme: Theme, colour: str, width: int) -> QPen:
    return theme.pen(colour, float(width), "flat")
