"""The Qt binding counts its references: one release of it lost one to None with every call that returns nothing."""

import sys
from collections.abc import Callable

from PySide6.QtGui import QColor, QImage, QPainter, QPen


def test_none_is_not_lost(picture: Callable[..., QImage]) -> None:
    pen = QPen(QColor("red"))

    def draw(painter: QPainter) -> None:
        before = sys.getrefcount(None)
        for _ in range(200):
            painter.setPen(pen)
            painter.drawLine(0, 0, 5, 5)
        assert abs(sys.getrefcount(None) - before) < 50

    picture(draw)
