"""Opens the room: the page of two modes, and the command that leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .page import TwoModes

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "two_modes"


def open_room(window: Window) -> Room:
    """Make the page; pressing a row selects its thing on the diagram."""
    page = TwoModes(window.scheduler, window.drawer)
    page.picked.connect(window.show_thing)
    page.wanted.connect(lambda mode: window.session.set_mode(mode))

    def show() -> None:
        window.drawer.call_up(PAGE)
        page.choice.setFocus(Qt.FocusReason.ShortcutFocusReason)

    command = Command("two_modes", "Compare two modes: what differs", "View/e", show, ("Alt+M",),
                      able=lambda: len(window.session.harness.modes) > 1)  # fmt: skip
    return Room({PAGE: page}, (command,))
