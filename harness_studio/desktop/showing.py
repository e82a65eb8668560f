"""Bringing a thing into view, on another page if need be, and after that page is laid out if that takes a while."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from harness_studio.diagram.search import pages_with
from harness_studio.diagram.view import Diagram

from .drawer import GROUND_MAP

if TYPE_CHECKING:
    from .window import Window


class Showing:
    """Shows things on a diagram; what stands on no page is told."""

    def __init__(self, diagram: Diagram, tell: Callable[[str], None]) -> None:
        self._diagram = diagram
        self._tell = tell
        self._waits: str | None = None
        diagram.laid_out.connect(self._laid_out)

    def show(self, thing: str) -> None:
        """Bring a thing into the middle, near enough to read it."""
        self._waits = None
        if self._diagram.show_thing(thing):
            return
        pages = pages_with(self._diagram.session.harness, thing)
        if not pages:
            self._tell(f"{thing} stands on no page of the diagram yet.")
            return
        if self._diagram.page_id not in pages:
            self._diagram.show_page(pages[0])
        if not self._diagram.show_thing(thing):
            self._waits = thing

    def _laid_out(self) -> None:
        if self._waits is not None and self._diagram.show_thing(self._waits):
            self._waits = None


def open_ground_map(window: Window, joint: str) -> None:
    """Choose a joint and open its ground map, also if it was chosen already."""
    window.session.choose(joint)
    window.drawer.offer(GROUND_MAP)
