"""Keys of commands: shown, changed, taken from another, and put back as they came."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QKeySequence

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .page import KeysPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "keys"
_ARROWS = ("Left", "Right", "Up", "Down")
TAKEN = {
    *("Esc", "Return", "Enter", "Tab", "Backtab", "Space"),
    *(f"{held}{arrow}" for held in ("", "Alt+", "Shift+") for arrow in _ARROWS),
}
"""Keys that the diagram, lists and fields need for themselves."""


class Keys:
    """Does what the page asks for."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.page = KeysPage(window)
        self.page.wanted.connect(self.set)
        self.page.reset.connect(self.reset)
        self._asked: tuple[str, str] | None = None

    def open(self) -> None:
        """Open the page."""
        self._window.drawer.call_up(PAGE)
        self.page.show_commands(self._window.commands)
        self.page.table.setFocus()

    def set(self, command: str, key: str) -> None:
        """Give a command a key; one that another command has is taken when it is asked for a second time."""
        commands, page = self._window.commands, self.page
        title = commands.by_id[command].title.replace("…", "")
        if not key:
            commands.set_keys(command, ())
            page.say(f"'{title}' has no key; it is called from the menu and from the list of commands.")
        elif key in TAKEN:
            page.say(f"{key} is needed on the diagram and in fields; nothing was changed.")
            return
        else:
            other = commands.who_has(key)
            if other is not None and other.id != command and self._asked != (command, key):
                self._asked = (command, key)
                named = other.title.replace("…", "")
                page.say(f"{key} calls '{named}'. Press it once more for '{title}' to take it from there.")
                page.take_again()
                return
            commands.set_keys(command, (key,))
            lost = f", '{other.title.replace('…', '')}' has lost it" if other and other.id != command else ""
            page.say(f"{QKeySequence(key).toString()} now calls '{title}'{lost}.")
        self._asked = None
        page.show_commands(commands)

    def reset(self, command: str) -> None:
        """Give a command, or all, the keys they come with."""
        commands = self._window.commands
        if command:
            commands.set_keys(command, None)
            self.page.say("As it came.")
        else:
            commands.reset_keys()
            self.page.say("All commands have the keys they came with.")
        self.page.show_commands(commands)


def open_room(window: Window) -> Room:
    """Return the room of keys."""
    keys = Keys(window)
    return Room(
        {PAGE: keys.page}, [Command("keys", "Keys of commands…", "Edit/d", keys.open, ("Ctrl+Alt+K",))]
    )
