"""The room of the guide: F1 opens it at what the drawer shows."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .chapters import CHAPTERS, FOR_PAGE, TUTORIAL

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

    from .reader import Reader


class Guide:
    """Opens the guide."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.reader: Reader | None = None

    def open(self, chapter: str = "") -> None:
        """Open a chapter; '' for that of the drawer's page."""
        from .reader import Reader

        if self.reader is None:
            self.reader = Reader(self._window)
            self.reader.sample.connect(self._open_sample)
        page = self._window.drawer.page_id if self._window.drawer.isVisible() else ""
        self.reader.open_at(chapter or FOR_PAGE.get(page, CHAPTERS[0]))
        self._come()

    def _come(self) -> None:
        if self.reader is not None:
            self.reader.show()
            self.reader.raise_()
            self.reader.activateWindow()
            self.reader.text.setFocus()

    def tutorial(self) -> None:
        """Open the tutorial where it was left; small and beside the work where the guide was not open yet."""
        if self.reader is not None and self.reader.chapter == TUTORIAL:
            self._come()
            return
        fresh = self.reader is None or not self.reader.isVisible()
        self.open(TUTORIAL)
        if fresh and self.reader is not None:
            self.reader.open_beside(self._window.geometry())

    def _open_sample(self, path: Path) -> None:
        """Open a sample as a harness without a file, once the one before may be left; go on there."""
        self._window.leaving(lambda: self._window.files.open_sample(path))
        self._window.activateWindow()
        self._window.diagram.setFocus()

    def search(self) -> None:
        """Open the guide with the keys in its search."""
        self.open()
        if self.reader is not None:
            self.reader.search()


def open_room(window: Window) -> Room:
    """Return the room of the guide."""
    guide = Guide(window)
    return Room(
        commands=[
            Command("guide", "Guide to this page", "Help/a", guide.open, ("F1",), always=True),
            Command("guide_tutorial", "Ten minutes: from nothing to a found fault", "Help/a",
                    guide.tutorial, ("Alt+F1",), always=True),
            Command("guide_search", "Search the guide…", "Help/a", guide.search, ("Shift+F1",), always=True),
            Command("guide_keys", "All keys", "Help/b", lambda: guide.open("keys"), ("Ctrl+F1",), always=True),
        ]
    )  # fmt: skip
