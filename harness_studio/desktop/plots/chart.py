"""Draws a plot with pyqtgraph, tells what lies under the pointer, and is walked through by the arrow keys."""

from __future__ import annotations

import math

import pyqtgraph as pg
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QPainter
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme, light

from .draw_field import draw_field
from .draw_panel import draw_panel
from .plot import Plot, Spot

REACH_PX = 28.0
"""How near the pointer must be to a place that something is said of."""


class Chart(QWidget):
    """A plot on the screen. `picked` carries the thing of a place that was pressed."""

    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.view = pg.GraphicsLayoutWidget(self)
        self.view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.view.setFrameShape(self.view.Shape.NoFrame)
        self.said = QLabel(self)
        self.said.setObjectName("quiet")
        self.said.setFont(fonts.font(fonts.SMALL_PX + 1))
        self.said.setWordWrap(True)
        self.said.setMinimumHeight(34)
        self.said.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(1, 1, 1, 1)
        layout.setSpacing(2)
        layout.addWidget(self.view, 1)
        layout.addWidget(self.said)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Plot")
        self.view.scene().sigMouseMoved.connect(self._moved)
        self.view.scene().sigMouseClicked.connect(self._clicked)
        self.plot: Plot | None = None
        self.theme: Theme = light()
        self._spots: list[tuple[pg.PlotItem, Spot, float, float]] = []
        self._at = -1
        self._ring: pg.ScatterPlotItem | None = None

    def show_plot(self, plot: Plot | None, theme: Theme) -> None:
        """Draw a plot; nothing for None."""
        self.plot, self.theme = plot, theme
        self._spots, self._at, self._ring = [], -1, None
        self.view.clear()
        self.view.setBackground(theme.colour("card"))
        self.said.setText("")
        if plot is None:
            self.setAccessibleDescription("")
            return
        self.setAccessibleDescription(f"{plot.title}. {plot.about}")
        if plot.field is not None:
            item = draw_field(self.view, plot.field, theme)
            self._spots += [
                (item, Spot(j + 0.5, i + 0.5, words, plot.field.things[i]), j + 0.5, i + 0.5)
                for i, line in enumerate(plot.field.said)
                for j, words in enumerate(line)
            ]
        for row, panel in enumerate(plot.panels):
            item = draw_panel(self.view, row, panel, theme)
            self._spots += [
                (item, s, math.log10(s.x) if panel.x.log else s.x, math.log10(s.y) if panel.y.log else s.y)
                for s in panel.spots
                if not ((panel.x.log and s.x <= 0) or (panel.y.log and s.y <= 0))
            ]

    @property
    def spots(self) -> list[Spot]:
        """What can be pointed at, in the order of the arrow keys."""
        return [spot for _, spot, _, _ in self._spots]

    def point_at(self, number: int) -> None:
        """Point at a place: ring it and say what it is."""
        if not 0 <= number < len(self._spots):
            return
        self._at = number
        item, spot, x, y = self._spots[number]
        if self._ring is not None and self._ring.getViewBox() is not item.getViewBox():
            self._ring.getViewBox().removeItem(self._ring)
            self._ring = None
        if self._ring is None:
            pen = pg.mkPen(self.theme.colour("ink"), width=2)
            self._ring = pg.ScatterPlotItem(size=13, pen=pen, brush=None)
            self._ring.setZValue(50)
            item.addItem(self._ring, ignoreBounds=True)
        self._ring.setData([x], [y])
        self.said.setText(spot.said)
        self.setAccessibleDescription(spot.said)

    def place_of(self, number: int) -> QPointF:
        """Return where a place is, in pixels of the view."""
        item, _, x, y = self._spots[number]
        return QPointF(self.view.mapFromScene(item.getViewBox().mapViewToScene(QPointF(x, y))))

    def _nearest(self, at: QPointF) -> int:
        best, found = REACH_PX, -1
        for number, (item, _, x, y) in enumerate(self._spots):
            box = item.getViewBox()
            if not box.sceneBoundingRect().contains(at):
                continue
            place = box.mapViewToScene(QPointF(x, y))
            far = math.hypot(place.x() - at.x(), place.y() - at.y())
            if far < best:
                best, found = far, number
        return found

    def _moved(self, at: QPointF) -> None:
        found = self._nearest(at)
        if found >= 0 and found != self._at:
            self.point_at(found)

    def _clicked(self, event: object) -> None:
        at = event.scenePos()  # type: ignore[attr-defined]
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        found = self._nearest(at)
        if found >= 0:
            self.point_at(found)
            self._pick()

    def _pick(self) -> None:
        if 0 <= self._at < len(self._spots) and self._spots[self._at][1].thing:
            self.picked.emit(self._spots[self._at][1].thing)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk from place to place; Enter leads to its thing."""
        columns = len(self.plot.field.names) if self.plot is not None and self.plot.field is not None else 1
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Up: -columns, Qt.Key.Key_Down: columns}
        key, last = Qt.Key(event.key()), len(self._spots) - 1
        if key in steps and self._spots:
            at = self._at + steps[key] if self._at >= 0 else 0
            self.point_at(min(max(at, 0), last))
        elif key == Qt.Key.Key_Home:
            self.point_at(0)
        elif key == Qt.Key.Key_End:
            self.point_at(last)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._pick()
        else:
            event.ignore()

    def lay_out(self) -> None:
        """Lay the plot out now: axes find their breadth while they are drawn, and the layout follows."""
        for _ in range(3):
            QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)
            QCoreApplication.sendPostedEvents(self.view)
            self.view.grab()

    def picture(self, scale: float = 2.0) -> QImage:
        """Return the plot as a picture, finer than the screen."""
        self.lay_out()
        size = self.view.size()
        image = QImage(
            QSize(round(size.width() * scale), round(size.height() * scale)), QImage.Format.Format_RGB32
        )
        image.fill(self.theme.colour("card"))
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        self.view.render(painter, QRectF(image.rect()), self.view.viewport().rect())
        painter.end()
        return image

    def paint_on(self, painter: QPainter, box: QRectF) -> None:
        """Paint the plot into a box of another device, as vectors."""
        self.view.render(painter, box, self.view.viewport().rect())
