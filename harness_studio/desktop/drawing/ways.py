"""Laying wires anew: bends that were made by hand are let go, the program finds the ways."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from harness_studio.diagram.doing import do
from harness_studio.model.drawing.selecting import wires_at
from harness_studio.model.edits import change

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window


class Ways:
    """What the keys R and Shift+R do."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def selected(self) -> None:
        """Lay the selected wires anew, and those at selected things."""
        harness, chosen = self._window.session.harness, self._window.session.selection
        self._lay(chosen & harness.wires.keys() | wires_at(harness, chosen), "re-route")

    def page(self) -> None:
        """Lay every wire of the page anew."""
        self._lay(None, "re-route the page")

    def _lay(self, wires: Collection[str] | None, words: str) -> None:
        window, diagram = self._window, self._window.diagram
        page = diagram.scene.page
        kept = {k: bends for k, bends in page.wires.items() if wires is not None and k not in wires}
        if kept != dict(page.wires):
            do(diagram, lambda: change(window.session.harness, "pages", page.id, words, wires=kept))
        diagram.relay(wires)
