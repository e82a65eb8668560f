"""What the window is made of beside the diagram: rooms, each with pages of the drawer and commands of its own.

A room is a module of its folder with a function `open_room(window)`. A new page or command goes into a room; the window
itself knows no page by name.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from PySide6.QtWidgets import QWidget

from .commands import Command

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.session import Session

    from .window import Window


class Page(Protocol):
    """A page of the drawer; a QWidget. All of these are called on the thread of the window.

    A page with a true `keeps_open` shows the selection itself: selecting opens no other page in its place.
    """

    title: str

    def show_session(self, session: Session) -> None:
        """Show the session as it is now: another session, an edit, results, selection, chosen joint or mode.

        Called often and only while the page is open or about to open; it must be quick where nothing changed.
        """

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""


@dataclass(frozen=True, slots=True)
class Room:
    """What a room adds to the window.

    Parameters
    ----------
    pages
        Pages for the drawer, by the id that commands open them with.
    commands
        Commands for menus and list.
    follow
        Gets each session the window shows, before anything of it is seen.
    close
        Called when the window goes: with True if the user left, with False if the program ends without being asked.
    """

    pages: dict[str, QWidget] = field(default_factory=dict)
    commands: Sequence[Command] = ()
    follow: Callable[[Session], object] | None = None
    close: Callable[[bool], object] | None = None


def open_rooms(window: Window) -> list[Room]:
    """Make the rooms of a window, in the order of their pages."""
    from .bench import room as bench
    from .build_board import room as build_board
    from .casebook import room as casebook
    from .common import room as common
    from .donor import room as donor
    from .drawing import room as drawing
    from .findings import room as findings
    from .first import room as first
    from .guide import room as guide
    from .history import room as history
    from .keys import room as keys
    from .lists import room as lists
    from .modes import room as modes
    from .moving import room as moving
    from .notes import room as notes
    from .pages import room as pages
    from .photo import room as photo
    from .plots import room as plots
    from .printing import room as printing
    from .safety import room as safety
    from .sweep import room as sweep
    from .two_modes import room as two_modes

    return [
        safety.open_room(window),
        first.open_room(window),
        common.open_room(window),
        findings.open_room(window),
        lists.open_room(window),
        drawing.open_room(window),
        bench.open_room(window),
        casebook.open_room(window),
        plots.open_room(window),
        sweep.open_room(window),
        moving.open_room(window),
        two_modes.open_room(window),
        build_board.open_room(window),
        modes.open_room(window),
        printing.open_room(window),
        notes.open_room(window),
        pages.open_room(window),
        photo.open_room(window),
        donor.open_room(window),
        history.open_room(window),
        keys.open_room(window),
        guide.open_room(window),
    ]
