"""The room of lists: the page, its commands, and a drawer that is wide while the list wants it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .page import ListsPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "lists"
_WIDE_SHARE, _LEAST_PX = 0.6, 340


class _Width:
    """Makes the drawer wide, and as it was before."""

    def __init__(self, window: Window, page: ListsPage) -> None:
        self._window, self._page = window, page
        self._before: list[int] | None = None
        page.wide_wanted.connect(self.set)
        window.drawer.tabs.currentChanged.connect(self._turned)

    def set(self, wide: bool) -> None:
        """Make it wide or as it was."""
        split = self._window.split
        if wide and self._before is None:
            self._before = split.sizes()
            whole = sum(self._before)
            drawer = max(_LEAST_PX, round(whole * _WIDE_SHARE))
            split.setSizes([whole - drawer, drawer])
        elif not wide and self._before is not None:
            split.setSizes(self._before)
            self._before = None

    def _turned(self, _number: int) -> None:
        self.set(self._window.drawer.current is self._page and self._page.wide.isChecked())


def open_room(window: Window) -> Room:
    """Make the room."""
    page = ListsPage(window.drawer)
    width = _Width(window, page)

    def opened() -> None:
        window.drawer.call_up(PAGE)
        page.table.setFocus()

    def to_filter() -> None:
        opened()
        page.filter.setFocus()

    def widen() -> None:
        opened()
        page.wide.toggle()

    def closed(_: bool) -> None:
        width.set(False)
        page.close_session()

    commands = [
        Command("lists", "Lists: wires, connectors, parts, grounds …", "Record/a", opened, ("Ctrl+L",)),
        Command("list_filter", "Filter the list", "Record/a", to_filter, ("Ctrl+Shift+L",)),
        Command("list_fill", "Fill down in the list", "Record/a", page.fill, ("Ctrl+Shift+Down",)),
        Command("list_wide", "Wide list", "View/b", widen, ("Ctrl+Alt+L",),
                ticked=page.wide.isChecked),
    ]  # fmt: skip
    return Room({PAGE: page}, commands, follow=page.follow, close=closed)
