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
    """What the keys R and Shift+R do, and what stops the second."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._let_go: object = None

    def selected(self) -> None:
        """Lay the selected wires anew, and those at selected things."""
        harness, chosen = self._window.session.harness, self._window.session.selection
        self._lay(chosen & harness.wires.keys() | wires_at(harness, chosen), "re-route")

    def page(self) -> None:
        """Lay every wire of the page anew."""
        made = self._lay(None, "re-route the page")
        self._let_go = self._window.session.project.history.revision if made else None

    def stop(self) -> None:
        """Leave the wires as they were before every one of them was to be laid, bends made by hand included."""
        session = self._window.session
        if not self._window.diagram.staging.stop():
            self._window.tell(
                "Only while every wire of a large page is being laid is there something to stop."
            )
        elif self._let_go == session.project.history.revision:
            session.undo()

    def _lay(self, wires: Collection[str] | None, words: str) -> bool:
        """Let bends go, and lay; return whether there were any."""
        window, diagram = self._window, self._window.diagram
        page = diagram.scene.page
        kept = {k: bends for k, bends in page.wires.items() if wires is not None and k not in wires}
        had = kept != dict(page.wires)
        if had:
            do(diagram, lambda: change(window.session.harness, "pages", page.id, words, wires=kept))
        diagram.relay(wires)
        return had
