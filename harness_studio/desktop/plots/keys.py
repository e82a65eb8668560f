"""The names of a panel's lines with their dashes and marks, in rows above it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pyqtgraph as pg
from pyqtgraph.graphicsItems.ScatterPlotItem import drawSymbol
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QResizeEvent
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from harness_studio.drawing import fonts

from .plot import Line

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme

DASHES = {
    "solid": Qt.PenStyle.SolidLine, "dash": Qt.PenStyle.DashLine, "dot": Qt.PenStyle.DotLine,
    "none": Qt.PenStyle.NoPen,
}  # fmt: skip
SAMPLE_PX, GAP_PX, ROW_PX, LEFT_PX = 26.0, 16.0, 17.0, 46.0


class Keys(pg.GraphicsWidget):
    """Rows of samples and names; as many rows as the width asks for."""

    def __init__(self, lines: Sequence[Line], theme: Theme) -> None:
        super().__init__()
        self._lines, self._theme = tuple(lines), theme
        self._font = fonts.font(fonts.SMALL_PX)
        self._fit(300.0)

    def _places(self, width: float) -> list[tuple[float, float]]:
        """Return where each sample begins, left and top."""
        metrics = QFontMetricsF(self._font)
        x, y, found = LEFT_PX, 0.0, []
        for line in self._lines:
            wide = SAMPLE_PX + 6.0 + metrics.horizontalAdvance(line.name)
            if x > LEFT_PX and x + wide > width:
                x, y = LEFT_PX, y + ROW_PX
            found.append((x, y))
            x += wide + GAP_PX
        return found

    def _fit(self, width: float) -> None:
        places = self._places(width)
        height = (places[-1][1] if places else 0.0) + ROW_PX + 2.0
        self.setMinimumHeight(height)
        self.setMaximumHeight(height)
        self.setPreferredSize(QSizeF(width, height))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take as many rows as the new width asks for."""
        super().resizeEvent(event)
        self._fit(self.size().width())

    def paint(self, painter: QPainter, _: QStyleOptionGraphicsItem, __: QWidget | None = None) -> None:
        """Draw samples and names."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setFont(self._font)
        for line, (x, y) in zip(self._lines, self._places(self.size().width()), strict=True):
            colour, middle = self._theme.colour(line.role), y + ROW_PX / 2
            painter.setPen(pg.mkPen(colour, width=line.width, style=DASHES[line.dash]))
            painter.drawLine(QPointF(x, middle), QPointF(x + SAMPLE_PX, middle))
            if line.mark:
                painter.save()
                painter.translate(x + SAMPLE_PX / 2, middle)
                drawSymbol(painter, line.mark, 7, pg.mkPen(colour), pg.mkBrush(self._theme.colour("card")))
                painter.restore()
            painter.setPen(self._theme.colour("ink"))
            box = QRectF(x + SAMPLE_PX + 6.0, y, 2000.0, ROW_PX)
            painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), line.name)
