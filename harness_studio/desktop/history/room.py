"""Going back and forward in the history of the harness."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.base.errors import EditError
from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .page import HistoryPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "history"


class History:
    """Does what the page asks for."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.page = HistoryPage(window)
        self.page.wanted.connect(self.go)

    def open(self) -> None:
        """Open the page."""
        self._window.drawer.call_up(PAGE)
        self.page.steps.setFocus()

    def go(self, steps: int) -> None:
        """Undo or do again until this many steps are done."""
        try:
            self._window.session.go_to(steps)
        except EditError as error:
            self._window.tell(str(error))


def open_room(window: Window) -> Room:
    """Return the room of history."""
    history = History(window)
    return Room({PAGE: history.page}, [Command("history", "History…", "Edit/a", history.open, ("Ctrl+H",))])
