"""Rounded corners of wires: where they are, worked out for all at once, and painted one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath

from .theme import Theme

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Corners:
    """Corners that are rounded, in device pixels.

    Parameters
    ----------
    x, y
        The middle of the wire at the corner point before, the corner, and the one after it, shape (corners, 3).
    vertex, wire
        Numbers of the corner points and of their wires.
    wide
        How broad each is.
    room
        What the rounding takes of each of its stretches, half its width beyond the corner included.
    """

    x: Floats
    y: Floats
    vertex: Ints
    wire: Ints
    wide: Ints
    room: Ints


def paint_corners(
    painter: QPainter, theme: Theme, corners: Corners, codes: Sequence[str | None], edge: int
) -> None:
    """Draw the corners, each above its outline.

    Parameters
    ----------
    codes
        The colour of each corner's wire; None where it is not known.
    edge
        How far the outline reaches beyond the wire.
    """
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for (path, wide), code in zip(_paths(corners), codes, strict=True):
        if wide >= 2 and code:
            painter.setPen(theme.pen(f"{code}|", float(wide + 2 * edge), "flat"))
            painter.drawPath(path)
        painter.setPen(theme.pen(code or "muted", float(wide if code else max(1, wide // 2)), "flat"))
        painter.drawPath(path)


def _paths(corners: Corners) -> list[tuple[QPainterPath, int]]:
    """Return the quarter of a circle through each corner, and how broad it is."""
    x, y = corners.x[:, 1], corners.y[:, 1]
    radius = corners.room - corners.wide / 2
    ax, bx = (np.sign(corners.x[:, of] - x) for of in (0, 2))
    ay, by = (np.sign(corners.y[:, of] - y) for of in (0, 2))
    left, top = x + (ax + bx) * radius - radius, y + (ay + by) * radius - radius
    start, turn = np.degrees(np.arctan2(by, -bx)), np.where(ax * by - ay * bx < 0, -90.0, 90.0)
    columns = (x + ax * radius, y + ay * radius, left, top, 2 * radius, start, turn)
    found = []
    for from_x, from_y, left_px, top_px, across, from_deg, sweep_deg in zip(
        *(column.tolist() for column in columns), strict=True
    ):
        path = QPainterPath()
        path.moveTo(from_x, from_y)
        path.arcTo(QRectF(left_px, top_px, across, across), from_deg, sweep_deg)
        found.append(path)
    return list(zip(found, corners.wide.tolist(), strict=True))
