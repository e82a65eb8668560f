"""A connector's face in the drawer, always with its view in words; the cavity in hand has a ring."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QSizePolicy, QWidget

from harness_studio.base.geometry import Point
from harness_studio.drawing import fonts
from harness_studio.drawing.faces import Filling, cell_boxes, face
from harness_studio.drawing.strokes import paint
from harness_studio.drawing.texts import draw, pixel_size
from harness_studio.drawing.theme import Theme, light
from harness_studio.placing.faces import FaceShape

_LARGEST_PX_PER_MM, _EDGE_PX, _BANNER_PX = 5.0, 6, 20
VIEWS = {
    "mating": "mating face, looking at the side that plugs",
    "wire entry": "wire entry, looking from the wires",
}


class FacePicture(QWidget):
    """Draws a face as large as fits.

    `pressed` names the cavity that was clicked; `pulled` tells how far, in mm of the shape, one is pulled from where it
    was pressed, and `let_go` that it was let go after that. While one is pulled nothing is scaled anew.
    """

    pressed = Signal(str)
    pulled = Signal(str, float, float)
    let_go = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = light()
        self.shape: FaceShape | None = None
        self.filled: Mapping[str, Filling] = {}
        self.ring: str | None = None
        self._held: tuple[str, QPointF] | None = None
        self._fixed: tuple[float, Point] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMinimumHeight(60)
        self.setAccessibleName("Face of the connector")

    @property
    def words(self) -> str:
        """The view in words, as it stands above the face."""
        if self.shape is None:
            return ""
        return VIEWS[self.shape.view] if self.shape.known else "order of the cavities not known"

    def show_face(
        self, shape: FaceShape | None, filled: Mapping[str, Filling], ring: str | None = None
    ) -> None:
        """Show a face with what sits in its cavities, and a ring about the one in hand."""
        self.shape, self.filled, self.ring = shape, filled, ring
        self.setAccessibleDescription(self.words)
        if self._fixed is None:
            self.updateGeometry()
            self.setFixedHeight(self.sizeHint().height())
        self.update()

    def sizeHint(self) -> QSize:
        """Return the room the face takes in the present width."""
        if self.shape is None:
            return QSize(200, 60)
        extent = self.shape.extent
        height = min(240, round(extent.height_mm * self._scale()) + 2 * _EDGE_PX + _BANNER_PX)
        return QSize(200, max(60, height))

    def _scale(self) -> float:
        assert self.shape is not None
        if self._fixed is not None:
            return self._fixed[0]
        extent = self.shape.extent
        room = max(80, self.width() - 2 * _EDGE_PX)
        high = 240 - 2 * _EDGE_PX - _BANNER_PX
        return min(_LARGEST_PX_PER_MM, room / extent.width_mm, high / extent.height_mm)

    def _origin(self) -> Point:
        assert self.shape is not None
        if self._fixed is not None:
            return self._fixed[1]
        scale, extent = self._scale(), self.shape.extent
        return Point(self.width() / 2 / scale, (_BANNER_PX + _EDGE_PX) / scale - extent.top_mm)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the view's name and the face."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(fonts.font(fonts.SMALL_PX + 1))
        painter.setPen(self.theme.colour("muted"))
        top = self.rect().adjusted(0, 0, 0, _BANNER_PX - self.height())
        painter.drawText(top, Qt.AlignmentFlag.AlignCenter, self.words)
        if self.shape is None:
            return
        scale = self._scale()
        strokes = face(self.shape, self._origin(), self.filled)
        painter.save()
        painter.scale(scale, scale)
        paint(painter, strokes, self.theme)
        box = cell_boxes(self.shape, self._origin()).get(self.ring or "")
        if box:
            around = box.grown(0.75)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(self.theme.pen("accent", 0.9))
            painter.drawRoundedRect(
                QRectF(around.left_mm, around.top_mm, around.width_mm, around.height_mm), 1.6, 1.6
            )
        painter.restore()
        for text in strokes.texts:
            size = pixel_size(text, scale)
            if size is not None:
                draw(painter, text, text.x_mm * scale, text.y_mm * scale, size, self.theme)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tell which cavity was clicked."""
        if self.shape is None:
            return
        scale = self._scale()
        x, y = event.position().x() / scale, event.position().y() / scale
        for name, box in cell_boxes(self.shape, self._origin()).items():
            if box.left_mm <= x <= box.right_mm and box.top_mm <= y <= box.bottom_mm:
                self._held = (name, event.position())
                self.pressed.emit(name)
                return

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Tell how far a cavity is pulled."""
        if self._held is None or self.shape is None:
            return
        name, start = self._held
        by = event.position() - start
        if self._fixed is None:
            if by.manhattanLength() < QApplication.startDragDistance():
                return
            self._fixed = self._scale(), self._origin()
        self.pulled.emit(name, by.x() / self._fixed[0], by.y() / self._fixed[0])

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Tell that a cavity was pulled and let go."""
        was, self._held, self._fixed = self._fixed, None, None
        if was is not None:
            self.let_go.emit()
