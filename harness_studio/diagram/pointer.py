"""What the pointer does on the diagram: which gesture a press begins, and what shows while it only moves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QMouseEvent, QPainter

from harness_studio.base.geometry import Point
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.strokes import Text
from harness_studio.drawing.theme import Theme
from harness_studio.placing.links import owner

from .gestures.gesture import Gesture
from .gestures.lay import Lay
from .gestures.pan import Pan
from .gestures.press import Press
from .gestures.wire_end import END_MM, WireEnd, ends_of
from .live import tip
from .picture import write
from .scene import Hit
from .wire_points import HANDLE_MM, WirePoint, handle_of, place_of, terminals_of

if TYPE_CHECKING:
    from .view import Diagram

LEAST_PX = 5.0
"""Handles are never smaller than this, whatever the zoom."""
REACH_PX = 5.0
"""How near the pointer must be to a wire."""
_ADDING = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
TERMINAL_MM, NAME_MM = 1.2, 2.2
_KEEP_MM = 7.0
"""While the pointer is so near to a handle it stays."""


def hit_at(diagram: Diagram, at: QPointF) -> Hit | None:
    """Return what lies under a pixel."""
    return diagram.scene.hit(diagram.camera.at(at.x(), at.y()), REACH_PX / diagram.camera.px_per_mm)


def gesture_for(diagram: Diagram, event: QMouseEvent, *, space: bool) -> Gesture | None:
    """Return the gesture that a press begins."""
    at, button = event.position(), event.button()
    if button == Qt.MouseButton.MiddleButton or (button == Qt.MouseButton.LeftButton and space):
        return Pan(diagram, at)
    if button != Qt.MouseButton.LeftButton:
        return None
    handle = diagram.handle
    reach = max(HANDLE_MM * 1.4, 8.0 / diagram.camera.px_per_mm)
    if handle is not None and _apart(handle.at, diagram.camera.at(at.x(), at.y())) <= reach:
        return Lay(diagram, WirePoint(handle.point, place_of(diagram.scene, handle.point) or handle.at))
    of_wire = _of_wire(diagram, at)
    if of_wire is not None:
        return of_wire
    return Press(diagram, at, hit_at(diagram, at), add=bool(event.modifiers() & _ADDING))


def hover(diagram: Diagram, at: QPointF) -> None:
    """Show what lies under the pointer, and the handle of what wires are drawn from."""
    hit = hit_at(diagram, at)
    hovered = hit.member if hit else None
    here = diagram.camera.at(at.x(), at.y())
    handle = handle_of(diagram.scene, hovered) if hovered else None
    before = diagram.handle
    if handle is None and before is not None and _apart(before.at, here) <= _KEEP_MM:
        handle = before
    if hovered != diagram.state.hovered or handle != before:
        diagram.handle = handle
        diagram.state.hovered = hovered
        diagram.setToolTip(tip(diagram.session, hovered) if hovered else "")
        diagram.update()


def _apart(a: Point, b: Point) -> float:
    return math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm))


def paint_handles(diagram: Diagram, painter: QPainter, at: Pixels) -> None:
    """Draw the handle that wires are drawn from, and those by which the selected wire's ends are taken elsewhere."""
    if diagram.handle is not None:  # its thing may have been moved or taken out since the pointer came to it
        diagram.handle = handle_of(diagram.scene, owner(diagram.handle.point))
    if diagram.handle is not None:
        paint_handle(painter, at, diagram.theme, diagram.handle)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    if diagram.state.hovered is not None:
        paint_terminals(painter, at, diagram.theme, terminals_of(diagram.scene, diagram.state.hovered))
    for place in end_handles(diagram):
        painter.setPen(diagram.theme.pen("accent", 1.5 * at.ratio))
        painter.setBrush(diagram.theme.brush("card"))
        r = max(END_MM * at.scale, LEAST_PX * at.ratio)
        painter.drawEllipse(QPointF(at.x(place.x_mm), at.y(place.y_mm)), r, r)


def end_handles(diagram: Diagram) -> list[Point]:
    """Return the handles of the two ends of the one wire that is selected; none while it is not one wire."""
    wire = selected_wire(diagram)
    return ends_of(diagram.scene.layout.routes[wire].points) if wire is not None else []


def selected_wire(diagram: Diagram) -> str | None:
    """Return the one wire that is selected and drawn on the page."""
    chosen = diagram.session.selection
    if len(chosen) != 1:
        return None
    wire = next(iter(chosen))
    return wire if wire in diagram.scene.layout.routes and wire in diagram.session.harness.wires else None


def _of_wire(diagram: Diagram, at: QPointF) -> Gesture | None:
    """Return the gesture that a press on the selected wire begins: one of its ends, or a stretch of it."""
    wire = selected_wire(diagram)
    if wire is None:
        return None
    here = diagram.camera.at(at.x(), at.y())
    reach = max(END_MM * 1.2, (LEAST_PX + 2) / diagram.camera.px_per_mm)
    for number, place in enumerate(end_handles(diagram)):
        if _apart(place, here) <= reach:
            return WireEnd(diagram, wire, number)
    return None


def paint_handle(painter: QPainter, at: Pixels, theme: Theme, handle: WirePoint) -> None:
    """Draw the ring with a stub from which a wire is drawn."""
    x, y = at.x(handle.at.x_mm), at.y(handle.at.y_mm)
    r = max(HANDLE_MM * at.scale, LEAST_PX * at.ratio)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(theme.pen("accent", 1.5 * at.ratio))
    painter.setBrush(theme.brush("card"))
    painter.drawEllipse(QPointF(x, y), r, r)
    painter.drawLine(QPointF(x, y), QPointF(x + r, y))


def paint_frame(painter: QPainter, at: Pixels, theme: Theme) -> None:
    """Draw the frame that shows that keys go to the diagram."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(theme.pen("accent", 2.0 * at.ratio))
    painter.drawRect(
        int(at.ratio / 2), int(at.ratio / 2), int(at.width - at.ratio), int(at.height - at.ratio)
    )


def paint_terminals(painter: QPainter, at: Pixels, theme: Theme, places: Sequence[WirePoint]) -> None:
    """Draw where wires may begin on what lies under the pointer, each with its name outside the symbol."""
    middle = sum(p.at.x_mm for p in places) / len(places) if places else 0.0
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(theme.pen("accent", 1.5 * at.ratio))
    painter.setBrush(theme.brush("card"))
    r = max(TERMINAL_MM * at.scale, 3.5 * at.ratio)
    for place in places:
        painter.drawEllipse(QPointF(at.x(place.at.x_mm), at.y(place.at.y_mm)), r, r)
    for place in places:
        left = place.at.x_mm < middle
        name = place.point.partition(".")[2]
        x = place.at.x_mm + (-NAME_MM if left else NAME_MM)
        align: Literal["left", "right"] = "right" if left else "left"
        text = Text(x, place.at.y_mm - NAME_MM, name, 3.2, 600, "accent", align, room_mm=12.0)
        write(painter, text, at, theme, halo=True)
