"""Opens the room: the page of the sweep, and the command that leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room
from harness_studio.desktop.showing import open_ground_map
from harness_studio.placing.links import thing_of

from .page import SweepPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "sweep"


def open_room(window: Window) -> Room:
    """Make the page; pressing a joint shows it on the diagram, Enter on it opens its ground map."""
    page = SweepPage(window.scheduler, window.drawer)
    page.picked.connect(lambda joint: window.showing.show(thing_of(joint)))
    page.chosen.connect(lambda joint: open_ground_map(window, joint))

    def show() -> None:
        window.drawer.call_up(PAGE)
        page.give_keys()

    command = Command("sweep", "Sweep: make every joint bad, one at a time", "Diagnose/b", show, ("Shift+J",))
    return Room({PAGE: page}, (command,), follow=page.follow, close=lambda _: page.sweeping.forget())
