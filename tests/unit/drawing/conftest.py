"""Pictures of what is drawn, to look at pixel by pixel."""

from collections.abc import Callable

import pytest
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter


@pytest.fixture(autouse=True)
def _app(qapp: QGuiApplication) -> None:
    """Have Qt running: fonts and painters need it."""


@pytest.fixture
def picture() -> Callable[..., QImage]:
    """Return a function that has something drawn on plain paper of a size and returns the picture."""

    def made(
        draw: Callable[[QPainter], object], width: int = 200, height: int = 200, paper: str = "#FBFAF7"
    ) -> QImage:
        image = QImage(width, height, QImage.Format.Format_RGB32)
        image.fill(QColor(paper))
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        try:
            draw(painter)
        finally:
            painter.end()
        return image

    return made
