"""Opens the room: the page of common joints, and the command that leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .page import CommonPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "common"


def open_room(window: Window) -> Room:
    """Make the page; pressing a joint shows it on the diagram, Enter on it opens its ground map."""
    page = CommonPage(window.drawer)
    page.picked.connect(lambda joint: window.showing.show(owner_of(joint)))
    page.chosen.connect(lambda joint: window.session.choose(joint))
    page.wanted.connect(lambda loads: window.session.select(loads))

    def ask() -> None:
        window.drawer.show()
        window.drawer.open(PAGE)
        page.give_keys()

    command = Command("common", "Common joints: what do the chosen loads share?", "Diagnose/b", ask, ("J",))
    return Room({PAGE: page}, (command,))


def owner_of(joint: str) -> str:
    """Return the thing that a joint's address belongs to: 'GP2' of 'GP2/W31' and of 'W31@GP2'."""
    thing = joint.rpartition("@")[2]
    for sign in "/.:":
        thing = thing.partition(sign)[0]
    return thing
