"""QR codes as vector strokes."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainterPath

from harness_studio.drawing.strokes import Stroke

QUIET_MODULES = 4
"""Free modules around the code (ISO/IEC 18004)."""


def qr(text: str, x_mm: float, y_mm: float, size_mm: float) -> Stroke:
    """Return the QR code of a text in a square of a size, its quiet zone within the square."""
    import segno

    code = segno.make(text, error="m", micro=False, boost_error=False)
    rows = [bytes(row) for row in code.matrix]
    module = size_mm / (len(rows) + 2 * QUIET_MODULES)
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for down, row in enumerate(rows):
        across = 0
        while across < len(row):
            end = across
            while end < len(row) and row[end]:
                end += 1
            if end > across:
                left = x_mm + (across + QUIET_MODULES) * module
                top = y_mm + (down + QUIET_MODULES) * module
                # A hair of overlap keeps viewers from showing seams between rows.
                path.addRect(QRectF(left, top, (end - across) * module, module * 1.01))
            across = end + 1
    return Stroke(path, None, 0, "#000000")
