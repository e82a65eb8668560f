"""The photo under a page: loaded from the folder of the project's file, and drawn faded below everything."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter

from harness_studio.base.geometry import Box, around
from harness_studio.drawing.pixels import Pixels
from harness_studio.model.values import TracedPhoto

from .scene import Scene


class Under:
    """One photo at a time, with halves and quarters of it, so that a large one is drawn quickly from afar."""

    def __init__(self) -> None:
        self._file: tuple[Path, int] | None = None
        self._levels: list[QImage] = []

    def load(self, photo: TracedPhoto | None, project: Path | None) -> QImage | None:
        """Return the photo's picture; None without one, or where it is not there or cannot be read."""
        path = project.resolve().parent / photo.file if photo is not None and project is not None else None
        try:
            key = (path, path.stat().st_mtime_ns) if path is not None else None
        except OSError:
            key = None
        if key != self._file:
            self._file = key
            image = QImage(str(path)) if key is not None else QImage()
            self._levels = [] if image.isNull() else [image]
        return self._levels[0] if self._levels else None

    def box(self, photo: TracedPhoto | None, project: Path | None) -> Box | None:
        """Return where the photo lies, in mm of the page."""
        image = self.load(photo, project)
        if image is None or photo is None:
            return None
        k = photo.mm_per_px
        return Box(photo.at[0], photo.at[1], image.width() * k, image.height() * k)

    def extent(self, scene: Scene, project: Path | None) -> Box:
        """Return the box around what is drawn and the photo."""
        box = self.box(scene.page.photo, project)
        if box is None:
            return scene.extent
        return box if scene.empty else around([scene.extent, box]) or box

    def paint(self, painter: QPainter, at: Pixels, photo: TracedPhoto | None, project: Path | None) -> None:
        """Draw the photo, on a painter whose unit is the device pixel."""
        box = self.box(photo, project)
        if box is None or photo is None:
            return
        wanted = box.width_mm * at.scale
        level = 0
        while self._level(level).width() >= 2 * wanted and self._level(level).width() > 64:
            level += 1
        image = self._level(level)
        painter.save()
        painter.setOpacity(1 - min(max(photo.fade, 0.0), 0.95))
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(at.rect(box), image, QRectF(image.rect()))
        painter.restore()

    def _level(self, number: int) -> QImage:
        while number >= len(self._levels):
            last = self._levels[-1]
            half = last.scaled(
                max(1, last.width() // 2),
                max(1, last.height() // 2),
                Qt.AspectRatioMode.IgnoreAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
            self._levels.append(half)
        return self._levels[number]
