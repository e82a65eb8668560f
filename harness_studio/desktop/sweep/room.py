"""Opens the room: the page of the sweep, and the command that leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.common.room import owner_of
from harness_studio.desktop.rooms import Room

from .page import SweepPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "sweep"


def open_room(window: Window) -> Room:
    """Make the page; pressing a joint shows it on the diagram, Enter on it opens its ground map."""
    page = SweepPage(window.scheduler, window.drawer)
    page.picked.connect(lambda joint: window.showing.show(owner_of(joint)))
    page.chosen.connect(lambda joint: window.session.choose(joint))

    def show() -> None:
        window.drawer.show()
        window.drawer.open(PAGE)
        page.give_keys()

    command = Command("sweep", "Sweep: make every joint bad, one at a time", "Edit/c", show, ("Shift+J",))
    return Room({PAGE: page}, (command,), follow=page.follow, close=lambda _: page.sweeping.forget())
