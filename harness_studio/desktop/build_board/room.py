"""Opens the room: the page of the build board, and the command that leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .laying import wires_in
from .page import BuildBoardPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "build_board"


def open_room(window: Window) -> Room:
    """Make the page; what is pressed on it is selected on the diagram: of a run, the wires that lie in it."""
    page = BuildBoardPage(window.scheduler, window.drawer)

    def pick(kind: str, thing: str) -> None:
        harness = window.session.harness
        wires = wires_in(harness, thing) if kind == "run" else set()
        if wires:
            window.session.select(wires)
        elif thing in harness.taken_ids():
            window.session.select({thing})
            if kind not in ("run", "breakout"):
                window.showing.show(thing)

    def show() -> None:
        window.drawer.call_up(PAGE)
        page.view.setFocus(Qt.FocusReason.ShortcutFocusReason)

    page.picked.connect(pick)
    command = Command("build_board", "Build board: runs in true lengths", "View/e", show, ("Ctrl+U",),
                      able=lambda: bool(window.session.harness.runs))  # fmt: skip
    return Room({PAGE: page}, (command,))
