"""How overlays are painted: washes beside the wires in nine colours, still chevrons, numbers, and a legend."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from harness_studio.drawing import fonts, texts
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.strokes import Text
from harness_studio.drawing.theme import Theme

from .focus import LEAST_A
from .overlays import CIVIDIS, STEPS, TITLES, Overlay

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from .scene import Scene

    Floats = NDArray[np.float64]

WASH_PX = 4.0
EVERY_PX, LEAST_STRETCH_PX = 90.0, 26.0
MOST_CHEVRONS, MOST_NUMBERS, MOST_TRIED = 300, 80, 160
LEAST_ZOOM = 0.3
_COLOURS = [QColor(*rgb) for rgb in CIVIDIS]


def paint_wash(painter: QPainter, scene: Scene, at: Pixels, overlay: Overlay) -> None:
    """Paint a band below every wire, broader than it, in the colour of its step."""
    if (overlay.steps >= 0).any():
        scene.wires.paint_bands(painter, at, overlay.steps, _COLOURS, WASH_PX)


def paint_marks(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, overlay: Overlay) -> None:
    """Paint chevrons and numbers above the wires, and the legend."""
    if at.zoom >= LEAST_ZOOM:
        x0, y0, x1, y1, wire = scene.wires.stretches_px(at)
        if overlay.kind == "current":
            _chevrons(painter, at, theme, overlay, (x0, y0, x1, y1), wire)
        _numbers(painter, scene, at, theme, overlay, (x0, y0, x1, y1), wire)
    _legend(painter, at, theme, overlay)


Ends = tuple["Floats", "Floats", "Floats", "Floats"]


def _chevrons(
    painter: QPainter, at: Pixels, theme: Theme, overlay: Overlay, ends: Ends, wire: NDArray[np.int64]
) -> None:  # fmt: skip
    """Paint one chevron in the middle of each long stretch, more on longer ones; they point the way of the current."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(theme.pen("paper", 1.2 * at.ratio))
    painter.setBrush(theme.brush("ink"))
    assert overlay.widths_px is not None
    x0, y0, x1, y1 = ends
    length = np.hypot(x1 - x0, y1 - y0)
    amps = np.nan_to_num(overlay.values[wire])
    shown = np.flatnonzero((length >= LEAST_STRETCH_PX * at.ratio) & (np.abs(amps) >= LEAST_A))
    made = 0
    for i in shown[np.argsort(-np.abs(amps[shown]), kind="stable")].tolist():
        forward = 1.0 if amps[i] > 0 else -1.0
        dx, dy = (x1[i] - x0[i]) / length[i] * forward, (y1[i] - y0[i]) / length[i] * forward
        half = (3.5 + overlay.widths_px[wire[i]] * 0.75) * at.ratio
        count = max(1, int(length[i] / (EVERY_PX * at.ratio)))
        for k in range(count):
            part = (k + 0.5) / count
            x, y = x0[i] + (x1[i] - x0[i]) * part, y0[i] + (y1[i] - y0[i]) * part
            painter.drawPolygon(_chevron(float(x), float(y), float(dx), float(dy), float(half)))
            made += 1
        if made >= MOST_CHEVRONS:
            break


def _chevron(x: float, y: float, dx: float, dy: float, half: float) -> QPolygonF:
    """Return a tapered chevron: broad at its tip, running out to points behind."""
    ux, uy = -dy, dx
    tip, notch, back = 0.9 * half, -0.1 * half, -1.0 * half
    return QPolygonF([
        QPointF(x + dx * tip, y + dy * tip),
        QPointF(x + dx * back + ux * half, y + dy * back + uy * half),
        QPointF(x + dx * notch, y + dy * notch),
        QPointF(x + dx * back - ux * half, y + dy * back - uy * half),
    ])  # fmt: skip


def _numbers(
    painter: QPainter, scene: Scene, at: Pixels, theme: Theme, overlay: Overlay, ends: Ends, wire: NDArray[np.int64]
) -> None:  # fmt: skip
    """Write each wire's number at its longest stretch that can be seen, the greatest first, none over another."""
    x0, y0, x1, y1 = ends
    length = np.hypot(x1 - x0, y1 - y0)
    longest: dict[int, int] = {}
    for i in np.argsort(length, kind="stable").tolist():
        if length[i] >= LEAST_STRETCH_PX * at.ratio:
            longest[int(wire[i])] = i
    taken = [at.rect(s.box) for key in scene.seen(at.seen()) if (s := scene.symbols[key]).kind != "body"]
    taken += _titles(scene, at)
    boxes = [(b.left(), b.top(), b.right(), b.bottom()) for b in taken]
    full = np.empty((len(boxes) + MOST_NUMBERS, 4))
    full[: len(boxes)] = np.array(boxes).reshape(-1, 4)
    count = len(boxes)
    order = sorted(longest, key=lambda w: -abs(float(np.nan_to_num(overlay.values[w]))))
    written = 0
    for number in order[:MOST_TRIED]:
        words = overlay.words[number]
        i = longest[number]
        if not words:
            continue
        px = 11.0 * at.ratio
        text = Text(0.0, 0.0, words, 3.7, 600, "ink", "middle", 5.0, 0)
        for part in (0.5, 0.3, 0.7):
            x, y = float(x0[i] + (x1[i] - x0[i]) * part), float(y0[i] + (y1[i] - y0[i]) * part)
            left, top, width, height = texts.extent_px(text, px)
            box = QRectF(x + left - 2, y + top, width + 4, height)
            if abs(x1[i] - x0[i]) > abs(y1[i] - y0[i]) and width > length[i] - 12 * at.ratio:
                break  # it would hide the whole stretch
            f = full[:count]
            meets = (
                (f[:, 0] < box.right())
                & (f[:, 1] < box.bottom())
                & (f[:, 2] > box.left())
                & (f[:, 3] > box.top())
            )
            if not meets.any():
                full[count] = box.left(), box.top(), box.right(), box.bottom()
                count += 1
                texts.clear(painter, text, x, y, px, theme)
                texts.draw(painter, text, x, y, px, theme)
                written += 1
                break
        if written >= MOST_NUMBERS:
            return


def _titles(scene: Scene, at: Pixels) -> list[QRectF]:
    """Return where the titles of symbols and their readings stand, in device pixels."""
    room, found = scene.room, []
    shown = [room.texts[n] for n in room.shown(at.zoom, at.seen()) if room.owners[n] in scene.symbols]
    for text in (*shown, *(scene.readings[key] for key in scene.seen(at.seen()) if key in scene.readings)):
        px = texts.pixel_size(text, at.scale / at.ratio)
        if px is not None:
            left, top, width, height = texts.extent_px(text, px * at.ratio)
            found.append(QRectF(at.x(text.x_mm) + left, at.y(text.y_mm) + top, width, height))
    return found


def _legend(painter: QPainter, at: Pixels, theme: Theme, overlay: Overlay) -> None:
    """Paint what is shown in the lower left corner: its title, and the scale with its ends in words."""
    r = at.ratio
    washed = overlay.kind != "current"
    width, height = 300 * r, (58 if washed else 44) * r
    left, top = 14 * r, at.height - height - 12 * r
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(theme.pen("hairline", r))
    painter.setBrush(theme.brush("card"))
    painter.drawRoundedRect(QRectF(left, top, width, height), 6 * r, 6 * r)
    painter.setPen(theme.colour("ink"))
    painter.setFont(fonts.font(fonts.TEXT_PX * r, fonts.STRONG))
    inside = QRectF(left + 10 * r, top + 4 * r, width - 20 * r, 20 * r)
    painter.drawText(
        inside, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), TITLES[overlay.kind]
    )
    painter.setFont(fonts.font((fonts.SMALL_PX + 1) * r))
    below = inside.translated(0, 18 * r)
    if not washed:
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
