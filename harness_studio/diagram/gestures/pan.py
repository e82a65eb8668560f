"""Move the page under the view: middle button, or space and left button."""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

from .gesture import Hand


class Pan:
    """The page follows the pointer."""

    def __init__(self, hand: Hand, start: QPointF) -> None:
        self._hand = hand
        self._start = start
        self._before = hand.camera

    def move(self, at: QPointF) -> None:
        """Follow the pointer."""
        self._hand.look(self._before.panned(at.x() - self._start.x(), at.y() - self._start.y()))

    def release(self, at: QPointF) -> None:
        """Stay where the page is."""
        self.move(at)

    def cancel(self) -> None:
        """Put the page back."""
        self._hand.look(self._before)

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Nothing is drawn."""
