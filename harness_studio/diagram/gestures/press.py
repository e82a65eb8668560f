"""A press of the left button: a click selects or chooses, a drag becomes a move, a new wire or a rubber band."""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from harness_studio.diagram.joints import joint_of
from harness_studio.diagram.scene import Hit
from harness_studio.diagram.wire_points import begins
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

from .band import Band
from .bend import Bend
from .gesture import THRESHOLD_PX, Hand
from .lay import Lay
from .move import Move


class Press:
    """The button is down and has not moved yet.

    Parameters
    ----------
    add
        Whether a click adds to the selection or takes away from it.
    """

    def __init__(self, hand: Hand, start: QPointF, hit: Hit | None, *, add: bool = False) -> None:
        self._hand = hand
        self._start = start
        self._hit = hit
        self._add = add

    def move(self, at: QPointF) -> None:
        """Become a drag once the pointer has left the spot."""
        if abs(at.x() - self._start.x()) + abs(at.y() - self._start.y()) < THRESHOLD_PX:
            return
        hit, session = self._hit, self._hand.session
        start = begins(self._hand.scene, hit)
        if hit is not None and hit.kind == "wire" and session.selection == {hit.id} and not self._add:
            gesture: Band | Bend | Move | Lay = Bend(self._hand, hit.id, self._start)
        elif hit is None or hit.kind == "wire":
            gesture = Band(self._hand, self._start, add=self._add)
        elif start is not None and not self._add:
            gesture = Lay(self._hand, start)
        else:
            selected = {self._hand.scene.symbol_of(thing) for thing in session.selection}
            if hit.id not in selected:
                session.select({hit.id})
                selected = {hit.id}
            gesture = Move(self._hand, sorted(key for key in selected if key is not None), self._start)
        self._hand.begin(gesture)
        gesture.move(at)

    def release(self, at: QPointF) -> None:
        """Select what was clicked, and choose its joint if it has one."""
        session, hit = self._hand.session, self._hit
        if hit is not None and self._hand.probe is not None and self._hand.probe(hit):
            return
        if hit is None:
            if not self._add:
                session.select(())
                session.choose(None)
            return
        if self._add:
            session.select(session.selection ^ {hit.member})
            return
        joint = joint_of(session.harness, hit, session.chosen) if hit.goes_on is None else None
        if joint is not None:  # before the selection: who shares it is what the click asks for
            session.choose(joint)
        session.select({hit.member})
        if hit.goes_on is not None:
            self._hand.follow(*hit.goes_on)

    def cancel(self) -> None:
        """Nothing has happened yet."""

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Nothing is drawn."""
