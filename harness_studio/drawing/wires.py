"""Thousands of wires in a few calls: upright and level bars on whole pixels, outlined, with tracers and corners.

Level stretches come first and upright ones on top with their outlines, so that two wires that cross never look joined.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen

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


@dataclass(frozen=True, slots=True)
class WireArt:
    """How one wire is drawn: corner points in mm, IEC 60757 codes (base first; none: not known), width in mm."""

    id: str
    points: tuple[tuple[float, float], ...]
    codes: tuple[str, ...] = ()
    width_mm: float = 0.9


@dataclass(frozen=True, slots=True)
class _Bars:
    """Stretches that can be seen, in device pixels: left, top, width, height; and what they belong to."""

    rects: Floats
    wire: Ints
    level: Bools


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
        level = np.abs(self._y[self._a] - self._y[self._b]) <= np.abs(self._x[self._a] - self._x[self._b])
        self._level = level
        corner = np.ones(len(places), dtype=bool)
        corner[first[counts > 0]] = False
        corner[last[counts > 0] - 1] = False
        turns = np.zeros(len(places), dtype=bool)
        turns[self._a[1:]] = level[1:] != level[:-1]
        self._corner = corner & turns
        self._bases, self._base_of = _groups([art.codes[:1] for art in arts])
        self._tracers, self._tracer_of = _groups([art.codes[1:2] for art in arts])
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
        if casing is not None:
            _fill(painter, theme, casing[0], _grown(bars, round(casing[1] * at.ratio), True))
        for level in (True, False):
            self._paint_bars(painter, at, theme, _part(bars, bars.level == level), width)
        if corners is not None:
            self._paint_corners(painter, at, theme, width, corners)

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

    def _bars(self, at: Pixels, width: Ints, only: Bools | None, rooms: Ints | None) -> _Bars:
        a, b, wire = self._a, self._b, self._wire
        wide = width[self._of_vertex]
        x = np.floor(self._x * at.scale + at.dx - wide / 2 + 0.5)
        y = np.floor(self._y * at.scale + at.dy - wide / 2 + 0.5)
        left, top = np.minimum(x[a], x[b]), np.minimum(y[a], y[b])
        right, bottom = np.maximum(x[a], x[b]) + wide[a], np.maximum(y[a], y[b]) + wide[a]
        if rooms is not None:
            a_low = np.where(self._level, x[a] <= x[b], y[a] <= y[b])
            low = np.where(a_low, rooms[a], rooms[b])
            high = np.where(a_low, rooms[b], rooms[a])
            left, right = left + low * self._level, right - high * self._level
            top, bottom = top + low * ~self._level, bottom - high * ~self._level
        keep = (
            (right > 0)
            & (bottom > 0)
            & (left < at.width)
            & (top < at.height)
            & (right > left)
            & (bottom > top)
        )
        if only is not None:
            keep &= only[wire]
        rects = np.column_stack((left, top, right - left, bottom - top))[keep]
        return _Bars(rects, wire[keep], self._level[keep])

    def _paint_bars(self, painter: QPainter, at: Pixels, theme: Theme, bars: _Bars, width: Ints) -> None:
        if not len(bars.wire):
            return
        broad = width[bars.wire] >= 2
        base = self._base_of[bars.wire]
        grown = _grown(bars, max(1, round(at.ratio * 0.8)), False)
        for number, code in enumerate(self._bases):
            _fill(painter, theme, f"{code}|", grown[(base == number) & broad])
        for number, code in enumerate(self._bases):
            mine = base == number
            pale = theme.colour(code).lightness() > 205 and not theme.dark
            _fill(painter, theme, f"{code}|" if pale else code, bars.rects[mine & ~broad])
            _fill(painter, theme, code, bars.rects[mine & broad])
        tracer = self._tracer_of[bars.wire]
        traced = width[bars.wire] >= 3
        for number, code in enumerate(self._tracers):
            _fill(
                painter, theme, code, _dashes(_part(bars, (tracer == number) & traced), width, 0.4, 2.6, 2.0)
            )
        unknown = base < 0
        if unknown.any():
            _fill(painter, theme, "muted", _dashes(_part(bars, unknown), width, 0.5, 3.0, 2.0))

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


def _groups(codes: Sequence[tuple[str, ...]]) -> tuple[list[str], Ints]:
    """Return the different codes, and for each wire the number of its own (-1 for none)."""
    known: dict[str, int] = {}
    numbers = [known.setdefault(code[0], len(known)) if code else -1 for code in codes]
    return list(known), np.array(numbers, dtype=np.int64)


def _part(bars: _Bars, which: Bools) -> _Bars:
    return _Bars(bars.rects[which], bars.wire[which], bars.level[which])


def _grown(bars: _Bars, by: int, all_round: bool) -> Floats:
    """Return the bars broader by some pixels on each long side, or all round."""
    rects = bars.rects.copy()
    across = np.where(bars.level, 0, by) if not all_round else by
    down = np.where(bars.level, by, 0) if not all_round else by
    rects[:, 0] -= across
    rects[:, 2] += 2 * across
    rects[:, 1] -= down
    rects[:, 3] += 2 * down
    return rects


def _fill(painter: QPainter, theme: Theme, colour: str, rects: Floats) -> None:
    if len(rects):
        painter.setBrush(theme.brush(colour))
        fill_rects(painter, rects)


def _flat(theme: Theme, colour: str, width: int) -> QPen:
    return theme.pen(colour, float(width), "flat")


def _dashes(bars: _Bars, width: Ints, thickness: float, dash: float, gap: float) -> Floats:
    """Return dashes along the middle of bars; all lengths are in widths of the wire.

    The pattern is centred in each stretch, so that its ends look alike.
    """
    if not len(bars.wire):
        return bars.rects
    wide = width[bars.wire]
    thin = np.maximum(1, np.rint(wide * thickness))
    thin += (wide - thin) % 2
    length = np.where(bars.level, bars.rects[:, 2], bars.rects[:, 3])
    on, off = np.maximum(3, np.rint(wide * dash)), np.maximum(2, np.rint(wide * gap))
    count = np.maximum(1, np.floor((length + off) / (on + off))).astype(np.int64)
    which = np.repeat(np.arange(len(wide)), count)
    order = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    lead = np.floor((length - (count * (on + off) - off)) / 2)
    start = np.maximum(0, lead[which] + order * (on + off)[which])
    reach = np.minimum(on[which], length[which] - start)
    side = (wide - thin)[which] / 2
    level = bars.level[which]
    out = np.empty((len(which), 4))
    out[:, 0] = bars.rects[which, 0] + np.where(level, start, side)
    out[:, 1] = bars.rects[which, 1] + np.where(level, side, start)
    out[:, 2] = np.where(level, reach, thin[which])
    out[:, 3] = np.where(level, thin[which], reach)
    return out
