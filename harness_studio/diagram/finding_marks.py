"""Findings on the diagram: a tag beside each thing with the sign of its grade and its number, never colour alone."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen, QPolygonF

from harness_studio.base.geometry import Point
from harness_studio.drawing import fonts
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

from .ranks import place_of_anything

if TYPE_CHECKING:
    from .scene import Scene

COLOURS = {"stop": "stop", "mend": "mend", "note": "muted", "accepted": "muted"}
SIGN_PX, HEIGHT_PX, PAD_PX, AWAY_PX = 11.0, 18.0, 4.0, 12.0
MOST = 120
"""Tags that are drawn on a page at most; those after it are the least grave."""


@dataclass(frozen=True, slots=True)
class FindingMark:
    """A finding: its grade ('accepted' where it is), its number in the list, what it is about, and its numbers.

    `words` are written beside the sign where it is `chosen`.
    """

    grade: str
    number: int
    ids: tuple[str, ...]
    words: str = ""
    chosen: bool = False


FindingMarks = tuple[FindingMark, ...]


def paint_findings(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, marks: FindingMarks) -> None:
    """Paint a tag beside each thing, the chosen one with its numbers and a ring; none over another."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    r = at.ratio
    taken: list[QRectF] = []
    for mark in sorted(marks, key=lambda m: not m.chosen)[:MOST]:
        place = place_of(scene, mark)
        if place is None:
            continue
        spot = QPointF(at.x(place.x_mm), at.y(place.y_mm))
        if mark.chosen:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(theme.colour(COLOURS[mark.grade]), 2.4 * r))
            painter.drawEllipse(spot, 11 * r, 11 * r)
        text = f"{mark.number}  {mark.words}" if mark.chosen and mark.words else str(mark.number)
        box = _free(spot, _size(text, r), taken, r)
        taken.append(box)
        _tag(painter, box, theme, mark, text, r)


def place_of(scene: Scene, mark: FindingMark) -> Point | None:
    """Return where the first thing of a finding that is on this page stands; None if none is."""
    for one in mark.ids:
        place = place_of_anything(scene, one)
        if place is not None:
            return place
    return None


def sign(kind: str, middle: QPointF, size: float) -> QPolygonF:
    """Return the outline of a grade's sign: eight corners for stop, a triangle for mend, a square for a note."""
    corners, turn = {"stop": (8, 22.5), "mend": (3, -90.0), "note": (4, 45.0)}.get(kind, (4, 0.0))
    half = size / 2 * (1.15 if kind == "mend" else 1.0)
    down = size * 0.1 if kind == "mend" else 0.0
    points = (math.radians(turn + 360.0 / corners * n) for n in range(corners))
    return QPolygonF(
        [QPointF(middle.x() + half * math.cos(a), middle.y() + down + half * math.sin(a)) for a in points]
    )


def paint_sign(painter: QPainter, kind: str, middle: QPointF, size: float, theme: Theme) -> None:
    """Paint a grade's sign: filled for stop and mend, open for a note and for what is accepted."""
    ink = theme.colour(COLOURS[kind])
    painter.setPen(QPen(ink, max(1.2, size * 0.12)))
    painter.setBrush(ink if kind in ("stop", "mend") else Qt.BrushStyle.NoBrush)
    painter.drawPolygon(sign(kind, middle, size))


def _size(text: str, r: float) -> tuple[float, float]:
    font = fonts.font((fonts.SMALL_PX + 1) * r, fonts.BOLD)
    width = QFontMetricsF(font).horizontalAdvance(text)
    return width + (SIGN_PX + 3 * PAD_PX) * r, HEIGHT_PX * r


def _free(spot: QPointF, size: tuple[float, float], taken: list[QRectF], r: float) -> QRectF:
    """Return the box of a tag beside a place, where no other is."""
    width, height = size
    first: QRectF | None = None
    for ring in range(5):
        away = (AWAY_PX + ring * (HEIGHT_PX + 3)) * r
        for dx, dy in ((1, -1), (1, 1), (-1, -1), (-1, 1)):
            left = spot.x() + away if dx > 0 else spot.x() - away - width
            box = QRectF(left, spot.y() + dy * away - height / 2, width, height)
            first = first or box
            if not any(box.intersects(other) for other in taken):
                return box
    assert first is not None
    return first


def _tag(painter: QPainter, box: QRectF, theme: Theme, mark: FindingMark, text: str, r: float) -> None:
    colour = theme.colour(COLOURS[mark.grade])
    painter.setPen(QPen(colour, (2.0 if mark.chosen else 1.2) * r))
    painter.setBrush(theme.brush("card"))
    painter.drawRoundedRect(box, 4 * r, 4 * r)
    middle = QPointF(box.left() + (PAD_PX + SIGN_PX / 2) * r, box.center().y())
    paint_sign(painter, mark.grade, middle, SIGN_PX * r, theme)
    painter.setPen(theme.colour("ink"))
    painter.setFont(fonts.font((fonts.SMALL_PX + 1) * r, fonts.BOLD))
    inside = box.adjusted((2 * PAD_PX + SIGN_PX) * r, 0, -PAD_PX * r, 0)
    painter.drawText(inside, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft), text)
