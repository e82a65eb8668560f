"""What a gesture is, and what it may use of the diagram."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

if TYPE_CHECKING:
    from harness_studio.diagram.camera import Camera
    from harness_studio.diagram.pens import Pens
    from harness_studio.diagram.picture import View
    from harness_studio.diagram.scene import Hit, Scene
    from harness_studio.session.session import Session

    from .lay import Loose

THRESHOLD_PX = 4.0
"""How far the pointer must go before a press is a drag."""


class Hand(Protocol):
    """What a gesture sees of the diagram."""

    session: Session
    scene: Scene
    camera: Camera
    state: View
    probe: Callable[[Hit], bool] | None
    pens: Pens
    page_id: str | None

    def ask(self, what: Loose) -> None:
        """Ask the user what goes where a wire was let go."""
        ...

    def look(self, camera: Camera) -> None:
        """Show another part of the page."""
        ...

    def redraw(self) -> None:
        """Draw again soon."""
        ...

    def begin(self, gesture: Gesture | None) -> None:
        """Hand the pointer to another gesture, or to none."""
        ...

    def follow(self, page: str, thing: str) -> None:
        """Show a thing on another page."""
        ...

    def complain(self, what: str) -> None:
        """Tell the user in one line that something was not done."""
        ...


class Gesture(Protocol):
    """One thing that the hand does, from press to release."""

    def move(self, at: QPointF) -> None:
        """Follow the pointer, in pixels of the view."""
        ...

    def release(self, at: QPointF) -> None:
        """Do it."""
        ...

    def cancel(self) -> None:
        """Leave everything as it was."""
        ...

    def paint(self, painter: QPainter, at: Pixels, theme: Theme) -> None:
        """Draw what belongs to the gesture, above everything."""
        ...
