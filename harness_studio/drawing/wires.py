"""Thousands of wires in a few calls: upright and level bars on whole pixels, outlined, with tracers and corners.

Level stretches come first and upright ones on top with their outlines, so that two wires that cross never look joined.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter

from .bars import Bars, dashes, grown, part
from .corners import Corners, paint_corners
from .pixels import NATURAL_PX_PER_MM, Pixels, fill_rects
from .theme import Theme

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Rects = NDArray[np.int32]
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
        self._corners = np.flatnonzero(corner & turns)
        self._bases, self._base_of = _groups([art.codes[:1] for art in arts])
        self._tracers, self._tracer_of = _groups([art.codes[1:2] for art in arts])
        order = np.lexsort((self._base_of[self._wire], ~level))
        self._a, self._b, self._wire = self._a[order], self._b[order], self._wire[order]
        self._level = level[order]
        self.put(self._x, self._y)
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
        (ax, bx), (ay, by) = ((of[self._a], of[self._b]) for of in (x_mm, y_mm))
        self._sides = (np.minimum(ax, bx), np.minimum(ay, by), np.maximum(ax, bx), np.maximum(ay, by))

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
        left, top, right, bottom = self._sides
        dx, dy = np.maximum(left - x_mm, x_mm - right), np.maximum(top - y_mm, y_mm - bottom)
        far = np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) - self.width_mm[self._wire] / 2
        best = int(np.argmin(far))
        return self.ids[int(self._wire[best])] if far[best] <= within_mm else None

    def stretches_in(self, left: float, top: float, right: float, bottom: float) -> int:
        """Return how many stretches run into a rectangle."""
        return int(np.count_nonzero(self._in(left, top, right, bottom)))

    def _in(self, left: float, top: float, right: float, bottom: float) -> Bools:
        """Return which stretches run into a rectangle, shape (stretches,)."""
        lefts, tops, rights, bottoms = self._sides
        found: Bools = (lefts < right) & (rights > left) & (tops < bottom) & (bottoms > top)
        return found

    def free_beside(self, x_mm: float, top: float, bottom: float) -> tuple[float, float]:
        """Return how far to the left and right of a place no wire runs through a band; infinite for no wire."""
        lefts, tops, rights, bottoms = self._sides
        here = (tops < bottom) & (bottoms > top)
        first, last = lefts[here], rights[here]
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
        corners = self._rounded(at, width, only)
        bars = self._bars(at, width, only, corners)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        if casing is not None and at.zoom >= LEAST_FINE_ZOOM:
            _fill(painter, theme, casing[0], grown(bars, round(casing[1] * at.ratio), True))
        levels = int(np.count_nonzero(bars.level))  # which come first
        for some in (slice(0, levels), slice(levels, None)):
            self._paint_bars(painter, at, theme, part(bars, some), width)
        if corners is not None:
            codes = [
                self._bases[base] if base >= 0 else None for base in self._base_of[corners.wire].tolist()
            ]
            paint_corners(painter, theme, corners, codes, _outline_px(at))

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
        rects = grown(bars, max(1 if px else 0, round(min(1.0, at.zoom * 2) * px * at.ratio)), True)
        step = steps[bars.wire].astype(np.int8)
        order = np.argsort(step, kind="stable")
        edges = np.searchsorted(step[order], np.arange(len(colours) + 1)).tolist()
        rects = rects[order]
        for colour, (first, last) in zip(colours, pairwise(edges), strict=True):
            painter.setBrush(colour)
            fill_rects(painter, rects[first:last])

    def stretches_px(self, at: Pixels) -> tuple[Floats, Floats, Floats, Floats, Ints]:
        """Return both ends (x, y, x, y) in device pixels of what is seen of the stretches, and their wires."""
        seen = self._seen(at, 0.0)
        a, b = self._a[seen], self._b[seen]
        x0, x1 = (np.clip(self._x[of] * at.scale + at.dx, 0, at.width) for of in (a, b))
        y0, y1 = (np.clip(self._y[of] * at.scale + at.dy, 0, at.height) for of in (a, b))
        long = (np.abs(x1 - x0) + np.abs(y1 - y0)) > 1
        return x0[long], y0[long], x1[long], y1[long], self._wire[seen][long]

    def _seen(self, at: Pixels, room_px: float, only: Bools | None = None) -> Ints | slice:
        """Return which stretches come as near as this to what can be seen."""
        box = at.seen().grown(room_px / at.scale)
        which = self._in(box.left_mm, box.top_mm, box.right_mm, box.bottom_mm)
        if only is not None:
            which &= only[self._wire]
        return slice(None) if which.all() else np.flatnonzero(which)

    def _rounded(self, at: Pixels, width: Ints, only: Bools | None) -> Corners | None:
        """Return the corners that are rounded; None where none is."""
        if CORNER_MM * at.scale < 2.5:
            return None
        x, y = (of[self._corners] * at.scale + by for of, by in ((self._x, at.dx), (self._y, at.dy)))
        seen = (x > -20) & (y > -20) & (x < at.width + 20) & (y < at.height + 20)
        if only is not None:
            seen &= only[self._of_vertex[self._corners]]
        if np.count_nonzero(seen) > MOST_CORNERS:
            return None
        vertex = self._corners[seen]
        near = vertex[:, None] + np.array([-1, 0, 1])
        x, y = self._x[near] * at.scale + at.dx, self._y[near] * at.scale + at.dy
        reach = np.hypot(np.diff(x), np.diff(y)).min(axis=1)
        wire = self._of_vertex[vertex]
        wide = width[wire]
        room = np.minimum(CORNER_MM * at.scale + wide / 2, reach / 2 + wide / 2)
        kept = room >= wide + 1
        half = wide[kept, None] / 2
        x, y = (np.floor(of[kept] - half + 0.5) + half for of in (x, y))
        return Corners(x, y, vertex[kept], wire[kept], wide[kept], np.floor(room[kept]).astype(np.int64))

    def _bars(self, at: Pixels, width: Ints, only: Bools | None, corners: Corners | None) -> Bars:
        mine = self._seen(at, width.max() / 2 + 2, only)
        wire, is_level = self._wire[mine], self._level[mine]
        wide = width[wire]
        shift, sides = 0.5 - wide / 2, np.empty((len(wire), 4), dtype=np.int32)
        for number, mm in enumerate(self._sides):
            px = mm[mine] * at.scale
            px += at.dy if number % 2 else at.dx
            px += shift
            sides[:, number] = np.floor(px, out=px)
        sides[:, 2:] += (wide - 1).astype(np.int32)[:, None]
        if corners is not None:
            self._shorten(sides, corners, mine, is_level)
        left, top, right, bottom = sides.T
        keep = (right >= 0) & (bottom >= 0) & (left < at.width) & (top < at.height)
        keep &= (right >= left) & (bottom >= top)
        if at.zoom < LEAST_FINE_ZOOM:
            least = 2 * at.ratio - 1
            keep &= (right - left > least) | (bottom - top > least)
        if keep.all():
            return Bars(sides, wire, is_level)
        shown = np.flatnonzero(keep)
        return Bars(sides[shown], wire[shown], is_level[shown])

    def _shorten(self, sides: Rects, corners: Corners, mine: Ints | slice, is_level: Bools) -> None:
        """Take from bars what their rounded corners cover."""
        rooms = np.zeros(len(self._x), dtype=np.int32)
        rooms[corners.vertex] = corners.room
        a, b = self._a[mine], self._b[mine]
        a_low = np.where(is_level, self._x[a] <= self._x[b], self._y[a] <= self._y[b])
        low, high = np.where(a_low, rooms[a], rooms[b]), np.where(a_low, rooms[b], rooms[a])
        sides[:, 0] += low * is_level
        sides[:, 2] -= high * is_level
        sides[:, 1] += low * ~is_level
        sides[:, 3] -= high * ~is_level

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
            every = bool(broad.all())
            broader = grown(bars, _outline_px(at), False)
            for code, mine in zip(self._bases, slices, strict=True):
                if at.zoom >= LEAST_FINE_ZOOM or theme.is_pale(code):
                    _fill(painter, theme, f"{code}|", broader[mine] if every else broader[mine][broad[mine]])
            for code, mine in zip(self._bases, slices, strict=True):
                _fill(painter, theme, code, bars.rects[mine] if every else bars.rects[mine][broad[mine]])
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
            pale = theme.is_pale(code)
            rects = bars.rects[mine] if every else bars.rects[mine][thin[mine]]
            _fill(painter, theme, f"{code}|" if pale else code, rects)

    def _paint_tracers(self, painter: QPainter, theme: Theme, bars: Bars, width: Ints) -> None:
        tracer = self._tracer_of[bars.wire]
        for number, code in enumerate(self._tracers):
            _fill(painter, theme, code, dashes(part(bars, tracer == number), width, 0.4, 2.6, 2.0))


def _outline_px(at: Pixels) -> int:
    """Return how far a wire's outline reaches beyond it."""
    return max(1, round(at.ratio * 0.8))


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


def _fill(painter: QPainter, theme: Theme, colour: str, rects: Rects) -> None:
    if len(rects):
        painter.setBrush(theme.brush(colour))
        fill_rects(painter, rects)
