"""Texts on a painter: prepared once per wording, never smaller than can be read."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QStaticText

from . import fonts
from .strokes import Text
from .theme import Theme

LEAST_PX = 11.0
"""No text is drawn smaller than this, in pixels that do not depend on the screen's density."""


def pixel_size(text: Text, px_per_mm: float) -> float | None:
    """Return the size at which a text is drawn, or None where it would be too small for its room."""
    size = text.size_mm * px_per_mm
    if size >= LEAST_PX - 0.25:
        return size
    return LEAST_PX if text.room_mm * px_per_mm >= LEAST_PX else None


@lru_cache(maxsize=64)
def _font(px: int, weight: int) -> QFont:
    return fonts.font(px, weight)


@lru_cache(maxsize=64)
def _metrics(px: int, weight: int) -> QFontMetricsF:
    return QFontMetricsF(_font(px, weight))


@lru_cache(maxsize=20000)
def width_px(text: str, px: int, weight: int) -> float:
    """Return how wide a text is at a size in pixels."""
    return _metrics(px, weight).horizontalAdvance(text)


@lru_cache(maxsize=20000)
def _prepared(text: str, px: int, weight: int) -> QStaticText:
    made = QStaticText(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setPerformanceHint(QStaticText.PerformanceHint.AggressiveCaching)
    made.prepare(font=_font(px, weight))
    return made


def extent_px(text: Text, px: float) -> tuple[float, float, float, float]:
    """Return (left, top, width, height) about the anchor, in pixels, of a text at a size."""
    size = round(px)
    width = width_px(text.text, size, text.weight)
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[text.align]
    height = size * 1.25
    return left, -height / 2, width, height


def clear(painter: QPainter, text: Text, x: float, y: float, px: float, theme: Theme) -> None:
    """Clear the paper where a text is to stand, on a painter whose unit is the pixel."""
    left, top, width, height = extent_px(text, px)
    painter.fillRect(QRectF(x + left - 1, y + top + 1, width + 2, height - 2), theme.colour("paper"))


def draw(painter: QPainter, text: Text, x: float, y: float, px: float, theme: Theme) -> None:
    """Draw a text with its anchor at (x, y) on a painter whose unit is the pixel."""
    size = round(px)
    left = extent_px(text, px)[0]
    metrics = _metrics(size, text.weight)
    middle = metrics.ascent() - metrics.capHeight() / 2
    painter.setFont(_font(size, text.weight))
    painter.setPen(theme.colour(text.colour))
    painter.drawStaticText(
        QPointF(round(x + left), round(y - middle)), _prepared(text.text, size, text.weight)
    )
