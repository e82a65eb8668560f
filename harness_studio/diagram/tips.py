"""The two tips of the meter: which point is meant by a click, and how they are drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPolygonF

from harness_studio.base.geometry import Point
from harness_studio.drawing import fonts
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

if TYPE_CHECKING:
    from harness_studio.network.network import Network

    from .scene import Hit, Scene

Tips = tuple[tuple[str, str], ...]
"""(sign, point) of each tip that is put on."""


def point_of(network: Network, hit: Hit) -> str | None:
    """Return the point that a tip is put on by a click; None if nothing there can be touched."""
    named = []
    if hit.point:
        ground, _, wire = hit.point.partition("/")
        named = [f"{wire}@{ground}"] if wire else [hit.point]
    for name in (*named, hit.member):
        if name in network.index and not name.startswith("~"):
            return name
    return None


def place_of_point(scene: Scene, point: str) -> Point | None:
    """Return where a point is on the page: where a wire leaves it, else the middle of its thing."""
    wire, _, owner = point.rpartition("@")
    thing = owner.partition(".")[0]
    home = scene.symbol_of(thing)
    if home is None:
        return None
    symbol = scene.symbols[home]
    ring = symbol.outlines.get(f"{owner}/{wire}") if wire else None
    if ring is not None:
        return ring.centre
    for (of_wire, at), anchor in symbol.wire_anchors.items():
        if at == owner and (not wire or wire == of_wire):
            return anchor.at
    box = scene.place_of(thing)
    return box.centre if box is not None else None


def paint_tips(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, tips: Tips) -> None:
    """Draw each tip as a pointed tag with its sign, + from the lower left, − from the lower right."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    for sign, point in tips:
        place = place_of_point(scene, point)
        if place is None:
            continue
        x, y, r = at.x(place.x_mm), at.y(place.y_mm), at.ratio
        way = -1 if sign == "+" else 1
        middle = QPointF(x + way * 17 * r, y + 17 * r)
        painter.setPen(theme.pen("ink", 1.2 * r))
        painter.setBrush(theme.brush("card"))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x, y),
                    middle + QPointF(-way * 2 * r, -9 * r),
                    middle + QPointF(-way * 11 * r, 3 * r),
                ]
            )
        )
        painter.setBrush(theme.brush("ink"))
        painter.drawEllipse(middle, 9 * r, 9 * r)
        painter.setPen(theme.colour("paper"))
        painter.setFont(fonts.font(15 * r, fonts.BOLD))
        box = QRectF(middle.x() - 9 * r, middle.y() - 10 * r, 18 * r, 18 * r)
        painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), sign)
