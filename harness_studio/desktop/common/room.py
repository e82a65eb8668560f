"""Opens the room: the page of common joints, and the command that leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.drawer import GROUND_MAP
from harness_studio.desktop.rooms import Room

from .page import CommonPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "common"


def open_room(window: Window) -> Room:
    """Make the page; pressing a joint shows it on the diagram and chooses it, Enter on it opens its ground map."""
    page = CommonPage(window.drawer)

    def pick(joint: str) -> None:
        window.showing.show(owner_of(joint))
        page.holds = True  # the page stays; the dial and the front are those of the joint
        window.session.choose(joint)
        page.holds = False

    def enter(joint: str) -> None:
        window.session.choose(joint)
        window.drawer.offer(GROUND_MAP)

    page.picked.connect(pick)
    page.chosen.connect(enter)
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
