"""Opens the room: the page of common joints, and the command that leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room
from harness_studio.desktop.showing import open_ground_map
from harness_studio.placing.links import thing_of

from .page import CommonPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "common"


def open_room(window: Window) -> Room:
    """Make the page; pressing a joint shows it on the diagram and chooses it, Enter on it opens its ground map."""
    page = CommonPage(window.drawer)

    def pick(joint: str) -> None:
        window.showing.show(thing_of(joint))
        page.holds = True  # the page stays; the dial and the front are those of the joint
        window.session.choose(joint)
        page.holds = False

    page.picked.connect(pick)
    page.chosen.connect(lambda joint: open_ground_map(window, joint))
    page.wanted.connect(lambda loads: window.session.select(loads))

    def ask() -> None:
        window.drawer.call_up(PAGE)
        page.give_keys()

    command = Command("common", "Common joints: what do the chosen loads share?", "Diagnose/b", ask, ("J",))
    return Room({PAGE: page}, (command,))
