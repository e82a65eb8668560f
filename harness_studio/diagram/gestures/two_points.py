"""Two clicks on the page, with a line between them: for a scale, or to move something by a distance."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter

from harness_studio.base.geometry import Point
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

from .gesture import THRESHOLD_PX, Hand


class TwoPoints:
    """Waits for the first point, then for the second; a drag from one to the other does, too. Escape ends it."""

    def __init__(self, hand: Hand, done: Callable[[Point, Point], None], ended: Callable[[], None]) -> None:
        self._hand = hand
        self._done = done
        self._ended = ended
        self._first: Point | None = None
        self._now: Point | None = None

    def move(self, at: QPointF) -> None:
        """Draw the line to the pointer."""
        self._now = self._hand.camera.at(at.x(), at.y())
        self._hand.redraw()

    def release(self, at: QPointF) -> None:
        """Take a point."""
        here = self._hand.camera.at(at.x(), at.y())
        if self._first is None:
            self._first = here
            self._hand.begin(self)
            return
        apart = abs(here.x_mm - self._first.x_mm) + abs(here.y_mm - self._first.y_mm)
        if apart * self._hand.camera.px_per_mm < THRESHOLD_PX:
            self._hand.begin(self)
            return
        self._hand.redraw()
        self._done(self._first, here)

    def cancel(self) -> None:
        """Leave everything as it was."""
        self._hand.redraw()
        self._ended()

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the points and the line."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(theme.pen("accent", 2.0 * at.ratio))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        spots = [QPointF(at.x(p.x_mm), at.y(p.y_mm)) for p in (self._first, self._now) if p is not None]
        for spot in spots:
            painter.drawEllipse(spot, 6 * at.ratio, 6 * at.ratio)
        if len(spots) == 2:
            painter.drawLine(spots[0], spots[1])
