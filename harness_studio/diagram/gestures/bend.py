"""Bend a wire: a stretch of the selected wire follows the pointer sideways and stays where it was put."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from harness_studio.base.geometry import Point
from harness_studio.diagram.doing import do
from harness_studio.diagram.layout import wire_art
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme
from harness_studio.drawing.wires import WireBatch
from harness_studio.model.edits import Together, change
from harness_studio.placing.own_bends import bends_of, moved_stretch, stretch_at

from .gesture import Hand


class Bend:
    """A stretch follows the pointer."""

    def __init__(self, hand: Hand, wire: str, start: QPointF) -> None:
        self._hand = hand
        self._wire = wire
        self._from = hand.camera.at(start.x(), start.y())
        self._before = list(hand.scene.layout.routes[wire].points)
        self._stretch = stretch_at(self._before, self._from)
        self.points: list[Point] = self._before
        hand.state.lifted = frozenset({wire})

    def move(self, at: QPointF) -> None:
        """Follow the pointer."""
        here = self._hand.camera.at(at.x(), at.y())
        dx, dy = here.x_mm - self._from.x_mm, here.y_mm - self._from.y_mm
        self.points = moved_stretch(self._before, self._stretch, dx, dy)
        self._hand.redraw()

    def release(self, at: QPointF) -> None:
        """Keep the bends as one undoable step."""
        self.move(at)
        self.cancel()
        hand, page = self._hand, self._hand.scene.page
        if self.points != self._before:
            wires = {**page.wires, self._wire: bends_of(self.points)}

            def make() -> Together:
                return change(hand.session.harness, "pages", page.id, f"bend {self._wire}", wires=wires)

            do(hand, make)

    def cancel(self) -> None:
        """Leave the wire as it was."""
        self._hand.state.lifted = frozenset()
        self._hand.redraw()

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw the wire as it runs now."""
        scene = self._hand.scene
        route = replace(scene.layout.routes[self._wire], points=tuple(self.points))
        WireBatch([wire_art(scene.harness, route)]).paint(painter, at, theme, casing=("accent", 2.5))
