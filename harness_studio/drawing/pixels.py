"""From millimetres on the page to the pixels of a painter, and many rectangles in one call."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import numpy as np
from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter
from shiboken6 import wrapInstance

from harness_studio.base.geometry import Box, Point

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Rects = NDArray[np.int32]

NATURAL_PX_PER_MM = 3.0
"""Pixels to the millimetre at a zoom of 1: what symbols and type are sized for."""


@dataclass(frozen=True, slots=True)
class Pixels:
    """How a page lies on a painter whose unit is the device's pixel.

    Parameters
    ----------
    scale
        Device pixels to the millimetre.
    dx, dy
        Device pixel of the page's origin, whole numbers.
    width, height
        Device pixels that can be seen.
    ratio
        Device pixels to the pixel that type and least widths are given in.
    """

    scale: float
    dx: float
    dy: float
    width: float
    height: float
    ratio: float = 1.0

    @property
    def zoom(self) -> float:
        """How much larger than natural size the page is shown."""
        return self.scale / self.ratio / NATURAL_PX_PER_MM

    def x(self, x_mm: float) -> float:
        """Return a device pixel across."""
        return x_mm * self.scale + self.dx

    def y(self, y_mm: float) -> float:
        """Return a device pixel down."""
        return y_mm * self.scale + self.dy

    def point(self, x: float, y: float) -> Point:
        """Return the place on the page at a device pixel."""
        return Point((x - self.dx) / self.scale, (y - self.dy) / self.scale)

    def rect(self, box: Box) -> QRectF:
        """Return a box in device pixels."""
        return QRectF(
            self.x(box.left_mm), self.y(box.top_mm), box.width_mm * self.scale, box.height_mm * self.scale
        )

    def seen(self) -> Box:
        """Return the part of the page that can be seen."""
        start = self.point(0, 0)
        return Box(start.x_mm, start.y_mm, self.width / self.scale, self.height / self.scale)


def fill_rects(painter: QPainter, rects: Rects) -> None:
    """Fill rectangles, shape (n, 4) of left, top, and the last pixel right and down, with the painter's brush.

    They go to Qt as one piece of memory, laid out as it keeps a rectangle of whole numbers: handing it objects
    instead costs twice the time for 20,000 of them.
    """
    if not len(rects):
        return
    block = np.ascontiguousarray(rects, dtype=np.int32)
    first = cast("QRect", wrapInstance(block.__array_interface__["data"][0], QRect))
    painter.drawRects(first, len(block))
