"""A thing as strokes and texts in millimetres: drawn once, played on any painter in any theme."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QTransform

from harness_studio.base.geometry import Box

from .theme import Theme

Align = Literal["left", "middle", "right"]


@dataclass(frozen=True, slots=True)
class Stroke:
    """One path: its line (a colour's name and a width in mm) and its fill (a colour's name)."""

    path: QPainterPath
    line: str | None = "ink"
    width_mm: float = 0.4
    fill: str | None = None


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text: the anchor on its middle height, in mm.

    Parameters
    ----------
    size_mm
        Height of the type (its em) where nothing speaks against it.
    room_mm
        Height up to which it may be enlarged to stay legible when the drawing is small; above, it is left out.
    rank
        Order in which texts get their place when there is little: lower comes first.
    """

    x_mm: float
    y_mm: float
    text: str
    size_mm: float = 2.9
    weight: int = 400
    colour: str = "ink"
    align: Align = "left"
    room_mm: float = 3.6
    rank: int = 5


@dataclass(frozen=True, slots=True)
class Strokes:
    """A thing's strokes, lowest first, and its texts, above all strokes."""

    strokes: tuple[Stroke, ...] = ()
    texts: tuple[Text, ...] = ()

    def moved(self, dx_mm: float, dy_mm: float) -> Strokes:
        """Return them moved."""
        return Strokes(
            tuple(replace(s, path=s.path.translated(dx_mm, dy_mm)) for s in self.strokes),
            tuple(replace(t, x_mm=t.x_mm + dx_mm, y_mm=t.y_mm + dy_mm) for t in self.texts),
        )

    def turned(self, quarter_turns: int, *, mirror: bool = False) -> Strokes:
        """Return them mirrored left to right, then turned clockwise about the origin; texts stay upright."""
        if not quarter_turns % 4 and not mirror:
            return self
        how = QTransform().rotate(90 * (quarter_turns % 4)).scale(-1 if mirror else 1, 1)
        places = [how.map(QPointF(t.x_mm, t.y_mm)) for t in self.texts]
        return Strokes(
            tuple(replace(s, path=how.map(s.path)) for s in self.strokes),
            tuple(replace(t, x_mm=p.x(), y_mm=p.y()) for t, p in zip(self.texts, places, strict=True)),
        )

    def joined(self) -> Strokes:
        """Return the same picture in fewer strokes: neighbours with one pen and no fill become one path."""
        out: list[Stroke] = []
        for stroke in self.strokes:
            last = out[-1] if out else None
            if last and stroke.fill is None and _same_pen(last, stroke):
                path = QPainterPath(last.path)
                path.addPath(stroke.path)
                out[-1] = replace(last, path=path)
            else:
                out.append(stroke)
        return Strokes(tuple(out), self.texts)


def _same_pen(a: Stroke, b: Stroke) -> bool:
    return (a.line, a.width_mm, a.fill) == (b.line, b.width_mm, b.fill)


def gather(*parts: Strokes | Stroke | Text | Iterable[Stroke | Text]) -> Strokes:
    """Return everything as one picture, in the order given."""
    strokes: list[Stroke] = []
    texts: list[Text] = []
    for part in parts:
        if isinstance(part, Strokes):
            strokes.extend(part.strokes)
            texts.extend(part.texts)
            continue
        for one in (part,) if isinstance(part, Stroke | Text) else part:
            (strokes if isinstance(one, Stroke) else texts).append(one)  # type: ignore[arg-type]
    return Strokes(tuple(strokes), tuple(texts))


def paint(painter: QPainter, strokes: Strokes, theme: Theme) -> None:
    """Draw the strokes on a painter whose unit is the millimetre; texts are drawn by `texts.paint_texts`."""
    for stroke in strokes.strokes:
        painter.setPen(theme.pen(stroke.line, stroke.width_mm))
        painter.setBrush(theme.brush(stroke.fill))
        painter.drawPath(stroke.path)


def line(*points: tuple[float, float], closed: bool = False) -> QPainterPath:
    """Return the path through points."""
    path = QPainterPath(QPointF(*points[0]))
    for point in points[1:]:
        path.lineTo(*point)
    if closed:
        path.closeSubpath()
    return path


def lines(*pairs: tuple[float, float, float, float]) -> QPainterPath:
    """Return separate lines, each as (x1, y1, x2, y2)."""
    path = QPainterPath()
    for x1, y1, x2, y2 in pairs:
        path.moveTo(x1, y1)
        path.lineTo(x2, y2)
    return path


def circle(x: float, y: float, radius: float) -> QPainterPath:
    """Return a circle."""
    path = QPainterPath()
    path.addEllipse(QPointF(x, y), radius, radius)
    return path


def ellipse(x: float, y: float, half_width: float, half_height: float) -> QPainterPath:
    """Return an ellipse."""
    path = QPainterPath()
    path.addEllipse(QPointF(x, y), half_width, half_height)
    return path


def slab(box: Box, radius: float = 0.0) -> QPainterPath:
    """Return a rectangle with rounded corners."""
    path = QPainterPath()
    rect = QRectF(box.left_mm, box.top_mm, box.width_mm, box.height_mm)
    if radius:
        path.addRoundedRect(rect, radius, radius)
    else:
        path.addRect(rect)
    path.setFillRule(Qt.FillRule.WindingFill)
    return path


def arc(x: float, y: float, radius: float, start_deg: float, sweep_deg: float) -> QPainterPath:
    """Return an arc; angles count counter-clockwise from three o'clock."""
    path = QPainterPath()
    rect = QRectF(x - radius, y - radius, 2 * radius, 2 * radius)
    path.arcMoveTo(rect, start_deg)
    path.arcTo(rect, start_deg, sweep_deg)
    return path
