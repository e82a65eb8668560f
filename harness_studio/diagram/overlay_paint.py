"""How overlays are painted: washes beside the wires in nine colours, still chevrons, numbers, and a legend."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap, QPolygonF

from harness_studio.drawing import fonts, texts
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme
from harness_studio.drawing.wires import LEAST_FINE_ZOOM

from .focus import LEAST_A
from .legend_place import legend_place
from .overlay_numbers import LEAST_STRETCH_PX, NUMBER_PX, numbers
from .overlays import CIVIDIS, STEPS, TITLES, Overlay

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from .scene import Scene

    Floats = NDArray[np.float64]
    Ends = tuple[Floats, Floats, Floats, Floats]

WASH_PX = 4.0
EVERY_PX = 90.0
MOST_CHEVRONS = 300
LEAST_ZOOM = 0.3
BROAD_FROM_AFAR_PX, MANY_WIRES = 2.5, 1000
_COLOURS = [QColor(*rgb) for rgb in CIVIDIS]


def widths_at(overlay: Overlay, at: Pixels) -> Floats | None:
    """Return how broad wires are drawn: from afar only those that carry much stand out, the rest is as thin as can be.

    A thin line costs a third of a broad one, and from afar a few are all that can be told apart.
    """
    if overlay.widths_px is None or at.zoom >= LEAST_FINE_ZOOM:
        return overlay.widths_px
    return np.where(overlay.widths_px >= BROAD_FROM_AFAR_PX, overlay.widths_px, 1.0)


def paint_wash(painter: QPainter, scene: Scene, at: Pixels, overlay: Overlay) -> None:
    """Paint a band below every wire, broader than it, in the colour of its step."""
    if (overlay.steps >= 0).any():
        px = WASH_PX if at.zoom >= LEAST_FINE_ZOOM or len(scene.wires) < MANY_WIRES else 0.0
        scene.wires.paint_bands(painter, at, overlay.steps, _COLOURS, px)


def paint_marks(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, overlay: Overlay) -> None:
    """Paint chevrons and numbers above the wires, and the legend."""
    legend = _legend_box(scene, at, overlay)
    if at.zoom >= LEAST_ZOOM:
        x0, y0, x1, y1, wire = scene.wires.stretches_px(at)
        if overlay.kind == "current":
            _chevrons(painter, at, theme, overlay, (x0, y0, x1, y1), wire)
        edges = (legend.left(), legend.top(), legend.right(), legend.bottom())
        scene.numbers = numbers(scene, at, overlay, (x0, y0, x1, y1), wire, scene.numbers, edges)
        for number in scene.numbers.numbers:
            texts.clear(painter, number.text, number.x, number.y, NUMBER_PX * at.ratio, theme)
        for number in scene.numbers.numbers:
            texts.draw(painter, number.text, number.x, number.y, NUMBER_PX * at.ratio, theme)
    _legend(painter, legend, at, theme, overlay)


def _chevrons(
    painter: QPainter, at: Pixels, theme: Theme, overlay: Overlay, ends: Ends, wire: NDArray[np.int64]
) -> None:  # fmt: skip
    """Paint one chevron in the middle of each long stretch, more on longer ones; they point the way of the current.

    Each is a stamp that was painted once for its way and size: painting each anew costs ten times as long.
    """
    assert overlay.widths_px is not None
    x0, y0, x1, y1 = ends
    length = np.hypot(x1 - x0, y1 - y0)
    amps = np.nan_to_num(overlay.values[wire])
    shown = np.flatnonzero((length >= LEAST_STRETCH_PX * at.ratio) & (np.abs(amps) >= LEAST_A))
    shown = shown[np.argsort(-np.abs(amps[shown]), kind="stable")]
    count = np.maximum(1, (length[shown] / (EVERY_PX * at.ratio)).astype(np.int64))
    count = count[: int(np.searchsorted(np.cumsum(count), MOST_CHEVRONS)) + 1]
    which = np.repeat(shown[: len(count)], count)
    if not len(which):
        return
    first = np.repeat(np.cumsum(count) - count, count)
    part = (np.arange(len(which)) - first + 0.5) / np.repeat(count, count)
    x, y = x0[which] + (x1 - x0)[which] * part, y0[which] + (y1 - y0)[which] * part
    way = np.where(amps[which] > 0, 1.0, -1.0) / length[which]
    dx, dy = (x1 - x0)[which] * way, (y1 - y0)[which] * way
    half = (3.5 + overlay.widths_px[wire[which]] * 0.75) * at.ratio
    turn = np.rint(np.degrees(np.arctan2(dy, dx))).astype(np.int64) % 360
    size = np.maximum(2, np.rint(half * 2)).astype(np.int64)
    for left, top, angle, halves in zip(x.tolist(), y.tolist(), turn.tolist(), size.tolist(), strict=True):
        stamp = _stamp(theme, angle, halves, at.ratio)
        middle = stamp.width() // 2
        painter.drawPixmap(round(left) - middle, round(top) - middle, stamp)


@lru_cache(maxsize=512)
def _stamp(theme: Theme, degrees: int, halves_px: int, ratio: float) -> QPixmap:
    """Return a tapered chevron on a clear ground, broad at its tip and running out to points behind.

    Parameters
    ----------
    degrees
        Where it points, clockwise from the right.
    halves_px
        Its size in half pixels.
    """
    half = halves_px / 2
    side = 2 * int(half + 3 * ratio) + 1
    made = QPixmap(side, side)
    made.fill(Qt.GlobalColor.transparent)
    painter = QPainter(made)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.translate(side / 2, side / 2)
    painter.rotate(degrees)
    painter.setPen(theme.pen("paper", 1.2 * ratio))
    painter.setBrush(theme.brush("ink"))
    corners = ((0.9, 0.0), (-1.0, 1.0), (-0.1, 0.0), (-1.0, -1.0))
    painter.drawPolygon(QPolygonF([QPointF(along * half, beside * half) for along, beside in corners]))
    painter.end()
    return made


def _legend_box(scene: Scene, at: Pixels, overlay: Overlay) -> QRectF:
    """Return where the legend stands: where it covers least."""
    width, height = 300 * at.ratio, (44 if overlay.kind == "current" else 58) * at.ratio
    return QRectF(*legend_place(scene, at, width, height), width, height)


def _legend(painter: QPainter, box: QRectF, at: Pixels, theme: Theme, overlay: Overlay) -> None:
    """Paint what is shown: its title, and the scale with its ends in words."""
    r = at.ratio
    left, top, width = box.left(), box.top(), box.width()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(theme.pen("hairline", r))
    painter.setBrush(theme.brush("card"))
    painter.drawRoundedRect(box, 6 * r, 6 * r)
    painter.setPen(theme.colour("ink"))
    painter.setFont(fonts.font(fonts.TEXT_PX * r, fonts.STRONG))
    inside = QRectF(left + 10 * r, top + 4 * r, width - 20 * r, 20 * r)
    painter.drawText(
        inside, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), TITLES[overlay.kind]
    )
    painter.setFont(fonts.font((fonts.SMALL_PX + 1) * r))
    below = inside.translated(0, 18 * r)
    if overlay.kind == "current":
        said = f"Chevrons point its way; broader is more, up to {overlay.ends[1]}"
        painter.drawText(below, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), said)
        return
    step = (width - 20 * r) / STEPS
    painter.setPen(Qt.PenStyle.NoPen)
    for number, colour in enumerate(_COLOURS):
        painter.setBrush(colour)
        painter.drawRect(QRectF(below.x() + number * step, below.y() + 3 * r, step, 9 * r))
    painter.setPen(theme.colour("muted"))
    scale = below.translated(0, 15 * r)
    painter.drawText(scale, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), overlay.ends[0])
    painter.drawText(scale, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter), overlay.ends[1])
