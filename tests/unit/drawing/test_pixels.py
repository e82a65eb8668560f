"""Millimetres to pixels and back, and many rectangles at once."""

from collections.abc import Callable

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPainter

from harness_studio.base.geometry import Box
from harness_studio.drawing.pixels import Pixels, fill_rects


def test_there_and_back() -> None:
    at = Pixels(6.0, 30.0, -12.0, 800, 600, 2.0)
    assert (at.x(5), at.y(7)) == (60, 30)
    back = at.point(60, 30)
    assert (back.x_mm, back.y_mm) == (5, 7)
    assert at.zoom == pytest.approx(1.0)
    assert at.seen() == Box(-5, 2, 800 / 6, 100)
    rect = at.rect(Box(0, 2, 10, 5))
    assert (rect.x(), rect.y(), rect.width(), rect.height()) == (30, 0, 60, 30)


def test_rectangles_are_filled_where_they_are(picture: Callable[..., QImage]) -> None:
    rects = np.array([[10, 20, 14, 22], [0, 0, 0, 0], [190, 199, 199, 199]], dtype=np.int32)

    def draw(painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor("#ff0000"))
        fill_rects(painter, rects)
        fill_rects(painter, rects[:0])

    image = picture(draw)
    red = {(x, y) for x in range(200) for y in range(200) if image.pixelColor(x, y).name() == "#ff0000"}
    wanted = {(x, y) for left, top, right, bottom in rects.tolist()
              for x in range(left, right + 1) for y in range(top, bottom + 1)}  # fmt: skip
    assert red == wanted


def test_a_slice_of_an_array_is_filled_as_what_it_holds(picture: Callable[..., QImage]) -> None:
    wide = np.array([[10, 20, 14, 22, 99], [30, 20, 34, 22, 99]], dtype=np.int32)

    def draw(painter: QPainter) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor("#ff0000"))
        fill_rects(painter, wide[:, :4])

    image = picture(draw)
    assert image.pixelColor(32, 21).name() == "#ff0000"
    assert image.pixelColor(99, 99).name() != "#ff0000"
