"""Select what lies wholly in a rectangle pulled up on empty paper."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from harness_studio.base.geometry import Box
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

from .gesture import Hand


class Band:
    """A rectangle from where the button went down to the pointer.

    Parameters
    ----------
    add
        Whether what is already selected stays so.
    """

    def __init__(self, hand: Hand, start: QPointF, *, add: bool = False) -> None:
        self._hand = hand
        self._from = hand.camera.at(start.x(), start.y())
        self._to = self._from
        self._kept = hand.session.selection if add else frozenset()
        self._before = hand.session.selection

    def _box(self) -> Box:
        left, right = sorted((self._from.x_mm, self._to.x_mm))
        top, bottom = sorted((self._from.y_mm, self._to.y_mm))
        return Box(left, top, right - left, bottom - top)

    def move(self, at: QPointF) -> None:
        """Pull the rectangle; what it holds is selected at once."""
        self._to = self._hand.camera.at(at.x(), at.y())
        self._hand.session.select(self._kept | self._hand.scene.within(self._box()))
        self._hand.redraw()

    def release(self, at: QPointF) -> None:
        """Keep what is selected."""
        self.move(at)

    def cancel(self) -> None:
        """Select what was selected before."""
        self._hand.session.select(self._before)
        self._hand.redraw()

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the rectangle."""
        rect: QRectF = at.rect(self._box())
        wash = QColor(theme.colour("accent"))
        wash.setAlphaF(0.08)
        painter.fillRect(rect, wash)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(theme.pen("accent", 1.0 * at.ratio))
        painter.drawRect(rect)
