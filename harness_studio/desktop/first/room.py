"""The first minute: samples and recent projects on the start page, hints on an empty one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.finder import Finder, Row
from harness_studio.desktop.remembered import add_recent, recent
from harness_studio.desktop.rooms import Room
from harness_studio.storage.samples import samples

from .hint import Hint

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window
    from harness_studio.session.session import Session


class First:
    """Fills the start page, and keeps the list of recent projects."""

    def __init__(self, window: Window) -> None:
        self._window = window
        page = window.start_page
        page.show_samples(samples())
        page.sample.connect(self.open_sample)
        page.recent.connect(self.open_recent)
        self.finder = Finder(window.stack, "Open a recent project", "name or folder …", self._found)
        self.finder.picked.connect(self._picked)
        self.hint = Hint(window.diagram)
        window.diagram.laying.connect(self.hint.hide)
        window.diagram.laid_out.connect(self._laid_out)
        self._end = lambda: None

    def follow(self, session: Session) -> None:
        """Put a project on the list when it is opened, and when it is saved."""
        self._end()
        self._end = session.subscribe("saved", self._opened)
        self._opened(session.path)

    def close(self, _left: bool) -> None:
        """Listen no more."""
        self._end()

    def _opened(self, path: Path | None) -> None:
        if path is not None:
            add_recent(path)
        self._window.start_page.show_recent(recent())

    def open_sample(self, path: Path) -> None:
        """Open a sample, as a harness without a file."""
        self._window.leaving(_Later(self._window.files.open_sample, path))

    def open_recent(self, path: Path) -> None:
        """Open a project of the list."""
        self._window.leaving(_Later(self._window.files.open, path))

    def _found(self, text: str) -> list[Row]:
        words = text.lower().split()
        paths = [path for path in recent() if all(word in str(path).lower() for word in words)]
        return [Row(str(path), path.name, str(path.parent)) for path in paths]

    def _picked(self, name: str) -> None:
        self.open_recent(Path(name))

    def _laid_out(self) -> None:
        if hasattr(self._window, "commands"):
            self.hint.show_for(self._window.commands)


class _Later:
    """Does something with one path."""

    def __init__(self, do: object, path: Path) -> None:
        self._do = do
        self._path = path

    def __call__(self) -> object:
        return self._do(self._path)  # type: ignore[operator]


def open_room(window: Window) -> Room:
    """Return the room of the first minute."""
    first = First(window)
    return Room(
        commands=[
            Command("recent", "Open a recent project…", "Harness/a", first.finder.open, ("Ctrl+Shift+O",),
                    able=lambda: bool(recent()), always=True),
            Command("close", "Close the harness", "Harness/c", lambda: window.leaving(window.files.close),
                    ("Ctrl+W",)),
        ],
        follow=first.follow,
        close=first.close,
    )  # fmt: skip
