"""Drag symbols over the page; their wires follow at once in simple corners, and one edit is made at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter

from harness_studio.base.errors import EditError
from harness_studio.diagram.layout import wire_art
from harness_studio.diagram.moving import move_edit, stretched
from harness_studio.diagram.picture import draw_lifted
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.symbols import outline_box
from harness_studio.drawing.theme import Theme
from harness_studio.drawing.wires import WireArt, WireBatch

from .gesture import Hand

GRID_MM = 2.0
"""Symbols stand on whole multiples of this, so that wires between neighbours can be straight."""


class Move:
    """Symbols follow the pointer.

    Parameters
    ----------
    ids
        The symbols.
    start
        Where the button went down.
    """

    def __init__(self, hand: Hand, ids: Sequence[str], start: QPointF) -> None:
        self._hand = hand
        self._ids = tuple(ids)
        self._start = hand.camera.at(start.x(), start.y())
        self._dx = self._dy = 0.0
        scene = hand.scene
        self._routes = [
            scene.layout.routes[wire]
            for wire in sorted(scene.wires_at(self._ids))
            if wire in scene.layout.routes
        ]
        carried = frozenset(self._ids) | {route.wire for route in self._routes}
        hand.state.lifted = carried

    @property
    def moved_mm(self) -> tuple[float, float]:
        """How far the symbols are from where they were."""
        return self._dx, self._dy

    def move(self, at: QPointF) -> None:
        """Follow the pointer."""
        here = self._hand.camera.at(at.x(), at.y())
        self._dx = round((here.x_mm - self._start.x_mm) / GRID_MM) * GRID_MM
        self._dy = round((here.y_mm - self._start.y_mm) / GRID_MM) * GRID_MM
        self._hand.redraw()

    def release(self, at: QPointF) -> None:
        """Put the symbols down as one undoable step."""
        self.move(at)
        self._put_down()
        if self._dx or self._dy:
            scene = self._hand.scene
            try:
                self._hand.session.apply(move_edit(scene.harness, scene.page, self._ids, self._dx, self._dy))
            except EditError as error:
                self._hand.complain(str(error))

    def cancel(self) -> None:
        """Leave the symbols where they were."""
        self._put_down()

    def _put_down(self) -> None:
        self._hand.state.lifted = frozenset()
        self._hand.redraw()

    def wires(self) -> list[WireArt]:
        """Return the wires of the moved symbols as they run now."""
        scene = self._hand.scene
        arts = []
        for route in self._routes:
            if route.kind != "wire":
                continue
            points = stretched(scene, route, frozenset(self._ids), self._dx, self._dy)
            arts.append(wire_art(scene.harness, replace(route, points=points)))
        return arts

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the symbols and their wires where they are now."""
        scene = self._hand.scene
        WireBatch(self.wires()).paint(painter, at, theme)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        pieces = [scene.strokes_as_if_moved(key, self._dx, self._dy) for key in self._ids]
        boxes = [outline_box(scene.symbols[key]).moved(self._dx, self._dy) for key in self._ids]
        draw_lifted(painter, at, theme, pieces, boxes)
