"""What the wheel and two fingers do: pan and zoom."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QNativeGestureEvent, QWheelEvent

from .camera import STEP, Camera


class Looker(Protocol):
    """What the wheel needs of the diagram."""

    camera: Camera

    def look(self, camera: Camera) -> None:
        """Show another part of the page."""
        ...

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom."""
        ...


def turned(diagram: Looker, event: QWheelEvent) -> None:
    """Pan; zoom at the pointer with Ctrl."""
    if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
        diagram.zoom_by(STEP ** (event.angleDelta().y() / 120), event.position())
        return
    by = event.pixelDelta() if not event.pixelDelta().isNull() else event.angleDelta() / 2
    if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and not by.x():
        by = by.transposed()
    diagram.look(diagram.camera.panned(by.x(), by.y()))


def pinched(diagram: Looker, event: QEvent) -> bool:
    """Zoom by a pinch; return whether it was one."""
    if not isinstance(event, QNativeGestureEvent):
        return False
    if event.gestureType() != Qt.NativeGestureType.ZoomNativeGesture:
        return False
    diagram.zoom_by(1 + event.value(), event.position())
    return True
