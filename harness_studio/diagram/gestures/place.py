"""Put a piece of the stock or of the clipboard down: it hangs at the pointer until a click, Enter or Escape."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter

from harness_studio.base.geometry import Point
from harness_studio.diagram.doing import do
from harness_studio.diagram.moving import body_below
from harness_studio.diagram.picture import draw_lifted
from harness_studio.diagram.placing_down import into_wire, on_body, on_paper, snapped
from harness_studio.diagram.scene import Scene
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.symbols import outline_box
from harness_studio.drawing.theme import Theme
from harness_studio.model.drawing.parting import ports_of
from harness_studio.model.drawing.pieces import fitted, piece_page
from harness_studio.model.edits import Edit
from harness_studio.model.harness import Harness

from .gesture import Hand
from .move import GRID_MM

REACH_PX = 6.0
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1),
}  # fmt: skip


class Place:
    """A piece hangs at the pointer.

    Parameters
    ----------
    piece
        What is put down.
    words
        How the history names it, for example 'place lamp'.
    done
        Gets the ids that were added.
    start
        Where it hangs before the pointer has moved, in mm of the page.
    """

    def __init__(
        self, hand: Hand, piece: Harness, words: str, done: Callable[[Sequence[str]], object], start: Point
    ) -> None:
        self._hand = hand
        self._piece = piece
        self._words = words
        self._done = done
        self._here = start
        self._wire: str | None = None
        self._body: str | None = None
        fit = fitted(hand.session.harness, piece).piece
        page = piece_page(fit)
        shown = fit.snapshot()
        for key, ground in shown.grounds.items():
            shown.grounds[key] = replace(ground, place=None)
        self._ghost = Scene(shown, page)
        self._into_wires = ports_of(piece) is not None
        self._stands = len(piece.grounds) == 1 and len(piece_page(piece).items) == 1

    @property
    def here(self) -> Point:
        """Where the middle of the piece would come to."""
        return snapped(self._here)

    def move(self, at: QPointF) -> None:
        """Follow the pointer; show what it would go into."""
        self._hang(self._hand.camera.at(at.x(), at.y()))

    def _hang(self, here: Point) -> None:
        self._here = here
        hit = self._hand.scene.hit(here, REACH_PX / self._hand.camera.px_per_mm)
        self._wire = hit.id if hit is not None and hit.kind == "wire" and self._into_wires else None
        bodies = self._hand.session.harness.bodies
        self._body = hit.member if hit is not None and hit.member in bodies and self._stands else None
        if self._stands and self._body is None:
            self._body = body_below(self._hand.scene, here)
        self._hand.redraw()

    def key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> bool:
        """Move it by the arrow keys, put it down with Enter."""
        if key in _ARROWS:
            step = GRID_MM * (5 if modifiers & Qt.KeyboardModifier.ShiftModifier else 1)
            dx, dy = _ARROWS[key]
            self._hang(self.here.moved(dx * step, dy * step))
            return True
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._hand.begin(None)
            self._put()
            return True
        return False

    def release(self, at: QPointF) -> None:
        """Put it down as one undoable step."""
        self.move(at)
        self._put()

    def _put(self) -> None:
        hand, added = self._hand, list[str]()

        def make() -> Edit:
            harness, page = hand.session.harness, hand.page_id
            if self._wire is not None:
                placed = into_wire(hand.scene, harness, self._piece, self._wire, self._here, self._words)
            elif self._body is not None:
                placed = on_body(harness, page, self._piece, self._body, self._here, self._words)
            else:
                placed = on_paper(harness, page, self._piece, self._here, self._words)
            added.extend(placed.ids)
            return placed.edit

        hand.look(hand.camera)
        if do(hand, make):
            self._done(added)

    def cancel(self) -> None:
        """Put nothing down."""
        self._hand.redraw()

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the piece where it would stand."""
        dx, dy = self.here.x_mm, self.here.y_mm
        ghost = self._ghost
        if self._wire is not None or self._body is not None:
            box = self._hand.scene.place_of(self._wire or self._body or "")
            if box is not None:
                wash = QColor(theme.colour("accent"))
                wash.setAlphaF(0.12)
                painter.fillRect(at.rect(box.grown(2.0)), wash)
        pieces = [ghost.strokes_with_texts(key) for key in ghost.symbols]
        boxes = [outline_box(symbol) for symbol in ghost.symbols.values()]
        draw_lifted(painter, at, theme, pieces, boxes, (dx, dy))
