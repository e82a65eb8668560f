"""Copy, cut, paste and duplicate on the paper; the clipboard holds a piece of a project file as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from harness_studio.base.errors import EditError
from harness_studio.diagram.doing import do
from harness_studio.diagram.words import counted
from harness_studio.model.drawing.selecting import held_with
from harness_studio.model.edits import Edit, remove_with_wires
from harness_studio.model.harness import Harness
from harness_studio.session import clipping

from .hanging import Hanging
from .taking_out import drawn_with

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

SECTIONS = ("bodies", "parts", "halves", "splices", "grounds", "wires")


class Clipboard:
    """What goes through the clipboard of the system, so that another window can paste it."""

    def __init__(self, window: Window, hanging: Hanging) -> None:
        self._window = window
        self._hanging = hanging

    def copy(self) -> bool:
        """Put what is selected onto the clipboard."""
        piece = self._clip(joined=False)
        if piece is None:
            return False
        QGuiApplication.clipboard().setText(clipping.as_text(piece))
        return True

    def cut(self) -> None:
        """Put what is selected onto the clipboard and take it out; wires to what stays keep an open end."""
        if not self.copy():
            return
        window = self._window

        def make() -> Edit:
            harness = window.session.harness
            things = held_with(harness, drawn_with(window.diagram.scene, window.session.selection))
            inner = clipping.clip(harness, window.diagram.scene.page, things)
            refs = [(s, k) for s in SECTIONS for k in inner.tables[s] if k in things or s == "wires"]
            return remove_with_wires(harness, refs, f"cut {counted(len(refs), 'thing')}")

        do(window.diagram, make)

    def paste(self) -> None:
        """Let what the clipboard holds hang at the pointer."""
        try:
            piece = clipping.from_text(QGuiApplication.clipboard().text())
        except EditError as error:
            text = str(error)
            self._window.tell(text[:1].upper() + text[1:])
            return
        self._hanging.hang(piece, f"paste {_counted(piece)}")

    def duplicate(self) -> None:
        """Let a second one of what is selected hang at the pointer; it ends on the same splices and grounds."""
        piece = self._clip(joined=True)
        if piece is not None:
            self._hanging.hang(piece, f"duplicate {_counted(piece)}")

    def other_side(self) -> None:
        """Let what is selected hang at the pointer for the other side: mirrored, with left and right changed."""
        piece = self._clip(joined=True)
        if piece is not None:
            made = clipping.other_side(self._window.session.harness, piece)
            self._hanging.hang(made, f"duplicate {_counted(piece)} for the other side")

    def _clip(self, *, joined: bool) -> Harness | None:
        window = self._window
        scene = window.diagram.scene
        try:
            things = drawn_with(scene, window.session.selection)
            return clipping.clip(window.session.harness, scene.page, things, joined=joined)
        except EditError as error:
            window.tell(str(error))
            return None


def _counted(piece: Harness) -> str:
    return counted(sum(len(piece.tables[s]) for s in SECTIONS), "thing")
