"""Two clicks on the page, with a line between them: for a scale, or to move something by a distance."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter

from harness_studio.base.geometry import Point
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

from .gesture import THRESHOLD_PX, Hand

STEP_PX, FINE_PX = 10.0, 1.0
"""How far an arrow key goes, and with Shift."""
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1),
}  # fmt: skip


class TwoPoints:
    """Waits for the first point, then for the second; a drag from one to the other does, too. Escape ends it.

    Parameters
    ----------
    start
        Where the arrow keys begin.
    """

    def __init__(
        self, hand: Hand, done: Callable[[Point, Point], None], ended: Callable[[], None], start: Point
    ) -> None:
        self._hand = hand
        self._done = done
        self._ended = ended
        self._start = start
        self._first: Point | None = None
        self._now: Point | None = None

    def move(self, at: QPointF) -> None:
        """Draw the line to the pointer."""
        self._now = self._hand.camera.at(at.x(), at.y())
        self._hand.redraw()

    def key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> bool:
        """Go by the arrow keys, in fine steps with Shift; take a point with Enter."""
        here = self._now or self._start
        if key in _ARROWS:
            step = FINE_PX if modifiers & Qt.KeyboardModifier.ShiftModifier else STEP_PX
            dx, dy = (way * step / self._hand.camera.px_per_mm for way in _ARROWS[key])
            self._now = here.moved(dx, dy)
        elif key not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return False
        elif self._first is None:
            self._first = self._now = here
        elif self._are_apart(here):
            self._hand.begin(None)
            self._done(self._first, here)
        self._hand.redraw()
        return True

    def release(self, at: QPointF) -> None:
        """Take a point."""
        here = self._hand.camera.at(at.x(), at.y())
        if self._first is None:
            self._first = here
            self._hand.begin(self)
        elif not self._are_apart(here):
            self._hand.begin(self)
        else:
            self._hand.redraw()
            self._done(self._first, here)

    def _are_apart(self, here: Point) -> bool:
        assert self._first is not None
        apart = abs(here.x_mm - self._first.x_mm) + abs(here.y_mm - self._first.y_mm)
        return apart * self._hand.camera.px_per_mm >= THRESHOLD_PX

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
