"""Keeps the positions pressed on the strip as a mode of the file: a name and Enter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.base.errors import EditError
from harness_studio.desktop.commands import Command
from harness_studio.desktop.finder import Finder, Row
from harness_studio.desktop.rooms import Room
from harness_studio.editing.modes import keep_edit
from harness_studio.model.edits import Edit

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window


class Modes:
    """Asks for a name and makes the step."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.finder = Finder(
            window.stack, "Name of the mode", "name of the mode, such as Lamps on …", self._found
        )
        self.finder.picked.connect(self._keep)
        self.finder.closed.connect(window.diagram.setFocus)
        window.strip.keep_wanted.connect(self.finder.open)

    def open(self) -> None:
        """Ask for the name."""
        self.finder.open()

    def _made(self, title: str) -> tuple[Edit, str]:
        session = self._window.session
        return keep_edit(session.harness, session.mode, session.overrides, title)

    def _found(self, text: str) -> list[Row]:
        if not text.strip():
            return []
        try:
            self._made(text)
        except EditError as error:
            return [Row("", str(error), able=False)]
        return [Row(text, f"Keep the positions as '{' '.join(text.split())}'", "Enter")]

    def _keep(self, title: str) -> None:
        session = self._window.session
        edit, mode = self._made(title)
        session.apply(edit)
        self._window.strip.overridden.emit(None)
        session.set_mode(mode)


def open_room(window: Window) -> Room:
    """Return the room of modes."""
    modes = Modes(window)
    return Room(
        commands=[
            Command("keep_mode", "Keep the positions as a mode…", "Edit/c", modes.open, ("K",),
                    able=lambda: bool(window.session.harness.parts)),
        ]
    )  # fmt: skip
