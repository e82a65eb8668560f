"""Take an end of a wire elsewhere: onto another point, or onto empty paper, where the window asks what goes there."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from harness_studio.base.geometry import Point
from harness_studio.diagram.doing import do
from harness_studio.diagram.wire_points import WirePoint, ends
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme
from harness_studio.model.drawing.laying import rewire_edit
from harness_studio.model.values import End

from .gesture import Hand
from .lay import REACH_PX, Loose, paint_rubber

END_MM = 1.8
"""Radius of the handle at a wire's end."""
_IN_MM = 5.0
"""How far along the wire the handle stands."""


def ends_of(points: Sequence[Point]) -> list[Point]:
    """Return where the handles of a wire's two ends are: a little along its way."""
    return [_in_from(points), _in_from(list(reversed(points)))]


def _in_from(points: Sequence[Point]) -> Point:
    a, b = points[0], points[1]
    length = abs(b.x_mm - a.x_mm) + abs(b.y_mm - a.y_mm)
    share = min(_IN_MM, length / 3) / length if length else 0.0
    return Point(a.x_mm + (b.x_mm - a.x_mm) * share, a.y_mm + (b.y_mm - a.y_mm) * share)


class WireEnd:
    """One end of a wire follows the pointer; the other stays. 0 is the wire's first end."""

    def __init__(self, hand: Hand, wire: str, number: int) -> None:
        self._hand = hand
        self._wire = wire
        self._number = number
        points = hand.scene.layout.routes[wire].points
        self._fixed = points[-1] if number == 0 else points[0]
        self._here: Point | None = None
        self._target: WirePoint | None = None

    def move(self, at: QPointF) -> None:
        """Follow the pointer; show what the end would be on."""
        hand = self._hand
        here = hand.camera.at(at.x(), at.y())
        if self._here is None:
            hand.state.lifted = frozenset({self._wire})
        self._here = here
        self._target = ends(hand.scene, hand.scene.hit(here, REACH_PX / hand.camera.px_per_mm), here)
        hand.redraw()

    def release(self, at: QPointF) -> None:
        """Take the end there as one undoable step; a click alone changes nothing."""
        moved = self._here is not None
        if moved:
            self.move(at)
        self.cancel()
        hand, here = self._hand, self._here
        if here is None:
            return
        if self._target is not None:
            end = End("point", self._target.point)
            if hand.session.harness.wires[self._wire].ends[self._number] != end:
                do(hand, lambda: rewire_edit(hand.session.harness, self._wire, self._number, end))
        elif hand.scene.hit(here, REACH_PX / hand.camera.px_per_mm) is not None:
            hand.complain("Nothing there takes a wire: end it on a cavity, terminal, splice, ground or body.")
        else:
            hand.ask(Loose("", here, self._wire, self._number))

    def cancel(self) -> None:
        """Leave the end where it is."""
        self._hand.state.lifted = frozenset()
        self._hand.redraw()

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the wire from its other end to the pointer."""
        if self._here is None:
            return
        end = self._target.at if self._target is not None else self._here
        wire = self._hand.session.harness.wires[self._wire]
        paint_rubber(painter, at, theme, wire, self._fixed, end, takes=self._target is not None)
