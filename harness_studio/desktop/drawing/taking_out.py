"""Taking out what is selected, and extending a connector."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from harness_studio.diagram.doing import do
from harness_studio.model.drawing.cavities import extend_edit
from harness_studio.model.drawing.selecting import held_with, wires_at
from harness_studio.model.edits import Edit, remove_with_wires

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window
    from harness_studio.diagram.scene import Scene


class TakingOut:
    """What the keys Del and X do."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def with_wires(self) -> None:
        """Take out what is selected, with the wires that end there."""
        self._take_out(with_wires=True)

    def leave_wires(self) -> None:
        """Take out what is selected; its wires stay, with open ends."""
        self._take_out(with_wires=False)

    def _take_out(self, *, with_wires: bool) -> None:
        window = self._window

        def make() -> Edit | None:
            harness = window.session.harness
            things = held_with(harness, drawn_with(window.diagram.scene, window.session.selection))
            wires = wires_at(harness, things) if with_wires else set()
            refs = [(s, k) for s, k in harness.refs() if k in things | wires and s in _SECTIONS]
            if not refs:
                return None
            words = f"take out {refs[0][1]}" if len(refs) == 1 else f"take out {len(refs)} things"
            return remove_with_wires(harness, refs, words)

        do(window.diagram, make)

    def extend(self) -> None:
        """Give the selected connector one more cavity."""
        window = self._window

        def make() -> Edit:
            halves = [t for t in sorted(window.session.selection) if t in window.session.harness.halves]
            return extend_edit(window.session.harness, (halves or sorted(window.session.selection))[0])[0]

        do(window.diagram, make)


def drawn_with(scene: Scene, things: Collection[str]) -> set[str]:
    """Return the things with everything that is drawn within a symbol among them: mated halves, plugs on a part."""
    return {
        m for thing in things for m in (scene.symbols[thing].members if thing in scene.symbols else (thing,))
    }


_SECTIONS = ("bodies", "bonds", "parts", "halves", "splices", "grounds", "wires")
