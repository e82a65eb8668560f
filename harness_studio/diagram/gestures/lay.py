"""Lay a wire: drag from one point to another; on empty paper the window asks what goes there."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter

from harness_studio.base.geometry import Point
from harness_studio.diagram.doing import do
from harness_studio.diagram.placing_down import into_wire
from harness_studio.diagram.wire_points import WirePoint, ends
from harness_studio.drawing import looks
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme
from harness_studio.drawing.wires import WireArt, WireBatch
from harness_studio.model.drawing.laying import lay_edit
from harness_studio.model.drawing.stock import SPLICE
from harness_studio.model.edits import Edit
from harness_studio.model.entities import Wire
from harness_studio.model.values import End

from .gesture import Hand

REACH_PX = 6.0


@dataclass(frozen=True, slots=True)
class Loose:
    """A wire's end on empty paper.

    Parameters
    ----------
    start
        Where a new wire comes from; empty for a wire that is there.
    at
        Where it was let go.
    wire, number
        A wire that is there, and which of its ends was let go.
    """

    start: str
    at: Point
    wire: str | None = None
    number: int = 0


class Lay:
    """A wire follows the pointer from a point."""

    def __init__(self, hand: Hand, start: WirePoint) -> None:
        self._hand = hand
        self._start = start
        self._here: Point | None = None
        self._target: WirePoint | None = None
        self._wire: str | None = None

    def move(self, at: QPointF) -> None:
        """Follow the pointer; show what the wire would end on."""
        hand = self._hand
        here = hand.camera.at(at.x(), at.y())
        hit = hand.scene.hit(here, REACH_PX / hand.camera.px_per_mm)
        self._here = here
        self._target = ends(hand.scene, hit, here)
        self._wire = hit.id if hit is not None and hit.kind == "wire" else None
        hand.redraw()

    def release(self, at: QPointF) -> None:
        """Lay it as one undoable step, or ask what goes where it was let go."""
        self.move(at)
        hand, here, start = self._hand, self._here, self._start.point
        assert here is not None
        hand.redraw()
        if self._target is not None:
            self.finish(End("point", self._target.point))
        elif self._wire is not None:
            self._onto_wire(self._wire, here)
        elif hand.scene.hit(here, REACH_PX / hand.camera.px_per_mm) is not None:
            hand.complain("Nothing there takes a wire: end it on a cavity, terminal, splice, ground or body.")
        else:
            hand.ask(Loose(start, here))

    def finish(self, end: End) -> None:
        """Lay the wire to an end."""
        lay(self._hand, End("point", self._start.point), end)

    def _onto_wire(self, wire: str, here: Point) -> None:
        """Part the wire that it was let go on by a splice, and end there."""
        hand = self._hand

        def make() -> Edit:
            harness = hand.session.harness
            tail = End("point", self._start.point), hand.pens.now(harness)
            placed = into_wire(hand.scene, harness, SPLICE.make(harness), wire, here, "lay a wire", tail)
            hand.pens.laid(placed.ids[-1])
            return placed.edit

        do(hand, make)

    def cancel(self) -> None:
        """Lay nothing."""
        self._hand.redraw()

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the wire in its colour at right angles, and a ring around what it would end on."""
        if self._here is None:
            return
        pen = self._hand.pens.now(self._hand.session.harness)
        drawn = pen.wire("", (End("unknown"), End("unknown")))
        end = self._target.at if self._target is not None else self._here
        takes = self._target is not None or self._wire is not None
        paint_rubber(painter, at, theme, drawn, self._start.at, end, takes=takes)


def paint_rubber(
    painter: QPainter, at: Pixels, theme: Theme, wire: Wire, a: Point, b: Point, *, takes: bool
) -> None:
    """Draw a wire that is in the hand at right angles, and a ring at the end that is pulled."""
    middle = (a.x_mm + b.x_mm) / 2
    way = ((a.x_mm, a.y_mm), (middle, a.y_mm), (middle, b.y_mm), (b.x_mm, b.y_mm))
    WireBatch([WireArt("", way, looks.codes(wire), looks.width_mm(wire))]).paint(painter, at, theme)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(theme.pen("accent", 2.0 * at.ratio))
    wash = QColor(theme.colour("accent"))
    wash.setAlphaF(0.18)
    painter.setBrush(wash if takes else Qt.BrushStyle.NoBrush)
    radius = (3.2 if takes else 1.6) * at.scale
    painter.drawEllipse(QPointF(at.x(b.x_mm), at.y(b.y_mm)), radius, radius)


def lay(hand: Hand, first: End, second: End) -> str | None:
    """Lay a wire with the present pen as one undoable step; return its id, None if it was refused."""
    made: list[str] = []

    def make() -> Edit:
        harness = hand.session.harness
        edit, wire = lay_edit(harness, first, second, hand.pens.now(harness))
        made.append(wire)
        return edit

    if not do(hand, make):
        return None
    hand.pens.laid(made[0])
    hand.session.select({made[0]})
    return made[0]
