"""Drag symbols over the page; their wires follow at once in simple corners, and one edit is made at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter

from harness_studio.base.errors import EditError
from harness_studio.base.geometry import Box, around
from harness_studio.diagram.elbows import Weight, weights
from harness_studio.diagram.layout import wire_art
from harness_studio.diagram.moving import move_edit, stand_edit
from harness_studio.diagram.picture import draw_lifted
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.strokes import Strokes
from harness_studio.drawing.symbols import outline_box
from harness_studio.drawing.theme import Theme
from harness_studio.drawing.wires import WireArt, WireBatch
from harness_studio.placing.arranging import Guide, Neighbours, snap_to_guides
from harness_studio.placing.links import owner

from .gesture import Hand

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Scene

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
        self._wires = _Carried(scene, self._ids)
        hand.state.lifted = frozenset(self._ids) | frozenset(self._wires.batch.ids)
        self.guides: list[Guide] = []
        self._box, self._others = _boxes(hand, self._ids)
        self._pieces: list[Strokes] | None = None

    @property
    def moved_mm(self) -> tuple[float, float]:
        """How far the symbols are from where they were."""
        return self._dx, self._dy

    def move(self, at: QPointF) -> None:
        """Follow the pointer."""
        here = self._hand.camera.at(at.x(), at.y())
        step = here.x_mm - self._start.x_mm, here.y_mm - self._start.y_mm
        (self._dx, self._dy), self.guides = snap_to_guides(self._box, self._others, step)
        self._hand.redraw()

    def release(self, at: QPointF) -> None:
        """Put the symbols down as one undoable step."""
        self.move(at)
        self._put_down()
        if self._dx or self._dy:
            scene = self._hand.scene
            try:
                step = stand_edit(scene, self._ids, self._dx, self._dy)
                self._hand.session.apply(
                    step or move_edit(scene.harness, scene.page, self._ids, self._dx, self._dy)
                )
            except EditError as error:
                self._hand.complain(str(error))

    def cancel(self) -> None:
        """Leave the symbols where they were."""
        self._put_down()

    def _put_down(self) -> None:
        self._hand.state.lifted = frozenset()
        self._hand.redraw()

    def points(self, wire: str) -> list[tuple[float, float]]:
        """Return the corner points of a carried wire as it runs now."""
        return self._wires.points(wire, self._dx, self._dy)

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the symbols and their wires where they are now."""
        scene = self._hand.scene
        self._wires.put(self._dx, self._dy)
        self._wires.batch.paint(painter, at, theme)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self._pieces is None:
            self._pieces = [scene.strokes_with_texts(key) for key in self._ids]
        boxes = [outline_box(scene.symbols[key]) for key in self._ids]
        draw_lifted(painter, at, theme, self._pieces, boxes, (self._dx, self._dy))
        paint_guides(painter, at, theme, self.guides)


MOST_NEIGHBOURS = 300
"""While not more symbols than this are in view, what is dragged is drawn to them."""


def _boxes(hand: Hand, ids: Sequence[str]) -> tuple[Box, Neighbours]:
    """Return the box of what is dragged, and those of the symbols in view that stay."""
    scene = hand.scene
    own = around([outline_box(scene.symbols[key]) for key in ids]) or Box(0, 0, 0, 0)
    near = scene.seen(hand.camera.pixels(2000, 1400).seen())
    if len(near) > MOST_NEIGHBOURS:
        return own, Neighbours([])
    moved = set(ids)
    stay = [scene.symbols[key] for key in near if key not in moved]
    return own, Neighbours([outline_box(symbol) for symbol in stay if symbol.kind != "body"])


def paint_guides(painter: QPainter, at: Pixels, theme: Theme, guides: Sequence[Guide]) -> None:
    """Draw the lines that what is dragged has come into."""
    painter.setPen(theme.pen("accent", 1.0 * at.ratio))
    for guide in guides:
        a, b = guide.from_mm - 4, guide.to_mm + 4
        if guide.upright:
            x = at.x(guide.at_mm)
            painter.drawLine(QPointF(x, at.y(a)), QPointF(x, at.y(b)))
        else:
            y = at.y(guide.at_mm)
            painter.drawLine(QPointF(at.x(a), y), QPointF(at.x(b), y))


class _Carried:
    """The wires of symbols that move: each corner point takes its share of every step."""

    def __init__(self, scene: Scene, ids: Sequence[str]) -> None:
        moved = set(ids)
        arts: list[WireArt] = []
        shares: list[Weight] = []
        for key in sorted(scene.wires_at(ids)):
            route = scene.layout.routes.get(key)
            if route is None or key not in scene.wires.number:
                continue
            first, second = (
                end.point is not None and scene.symbol_of(owner(end.point)) in moved
                for end in scene.harness.wires[key].ends
            )
            points, taken = weights(route.points, first=first, second=second)
            arts.append(wire_art(scene.harness, replace(route, points=tuple(points))))
            shares += taken
        self.batch = WireBatch(arts)
        self._slices: dict[str, slice] = {}
        at = 0
        for art in arts:
            self._slices[art.id] = slice(at, at + len(art.points))
            at += len(art.points)
        flat = np.array([xy for art in arts for point in art.points for xy in point], dtype=np.float64)
        self._places = flat.reshape(-1, 2)
        self._shares = np.array(shares, dtype=np.float64).reshape(-1, 2)

    def put(self, dx_mm: float, dy_mm: float) -> None:
        """Let the wires run as after a step."""
        now = self._places + self._shares * (dx_mm, dy_mm)
        self.batch.put(now[:, 0], now[:, 1])

    def points(self, wire: str, dx_mm: float, dy_mm: float) -> list[tuple[float, float]]:
        """Return where a wire's corner points are after a step."""
        mine = self._slices[wire]
        now = self._places[mine] + self._shares[mine] * (dx_mm, dy_mm)
        return [(float(x), float(y)) for x, y in now]
