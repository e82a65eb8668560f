"""A connector's face in the drawer, always with its view in words; the cavity in hand has a ring."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

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
    """Draws a face as large as fits. `pressed` names the cavity that was clicked."""

    pressed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = light()
        self.shape: FaceShape | None = None
        self._filled: Mapping[str, Filling] = {}
        self.ring: str | None = None
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
        self.shape, self._filled, self.ring = shape, filled, ring
        self.setAccessibleDescription(self.words)
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
        extent = self.shape.extent
        room = max(80, self.width() - 2 * _EDGE_PX)
        high = 240 - 2 * _EDGE_PX - _BANNER_PX
        return min(_LARGEST_PX_PER_MM, room / extent.width_mm, high / extent.height_mm)

    def _origin(self) -> Point:
        assert self.shape is not None
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
        strokes = face(self.shape, self._origin(), self._filled)
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
                self.pressed.emit(name)
                return
