"""The room of notes: each note is one edit; the diagram shows them all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from harness_studio.base.errors import EditError
from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room
from harness_studio.diagram.note_cards import cards_of
from harness_studio.model.edits import Put, Remove
from harness_studio.model.entities import Annotation

from .page import NotesPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window
    from harness_studio.session.session import Session

PAGE = "notes"
OFFSET_MM = (14.0, 10.0)


class Notes:
    """Does what the page asks for."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._end: Callable[[], None] | None = None
        self.page = NotesPage(window)
        self.page.kept.connect(self._keep)
        self.page.gone.connect(self._remove)
        self.page.picked.connect(self._show)

    def open(self) -> None:
        """Open the page for a new note on what is selected."""
        self._window.drawer.call_up(PAGE)
        self.page.show_session(self._window.session)
        self.page.begin()

    def follow(self, session: Session) -> None:
        """Show the notes of a session on the diagram, and of each edit."""
        if self._end is not None:
            self._end()
        self._end = session.subscribe("changes", lambda _: self._paint())
        self._paint()

    def _paint(self) -> None:
        diagram = self._window.diagram
        cards = cards_of(self._window.session.harness.tables["annotations"].values())
        if cards != diagram.state.notes:
            diagram.state.notes = cards
            diagram.update()

    def _keep(self, note_id: str, on: str, text: str, way: tuple[int, int]) -> None:
        harness = self._window.session.harness
        if not text:
            self.page.say("A note without words was not kept.")
            return
        if not on:
            self.page.say("What is the note on? Select a thing, or type a point such as X7.3.")
            return
        notes: dict[str, Annotation] = harness.tables["annotations"]
        before = notes.get(note_id)
        offset = (OFFSET_MM[0] * way[0], OFFSET_MM[1] * way[1])
        if before is None:
            number = 1
            while f"N{number}" in notes:
                number += 1
            made = Annotation(f"N{number}", on, text, offset)
        else:
            made = replace(before, on=on, text=text, offset_mm=offset)
        if self._apply(Put("annotations", made, f"note on {on}")):
            self.page.begin()
            self.page.say(f"Kept on {on}.")

    def _remove(self, note_id: str) -> None:
        if note_id in self._window.session.harness.tables["annotations"]:
            self._apply(Remove("annotations", note_id, f"take note {note_id} off"))

    def _apply(self, edit: Any) -> bool:
        try:
            self._window.session.apply(edit)
        except EditError as error:
            self.page.say(str(error))
            return False
        return True

    def _show(self, on: str) -> None:
        self._window.show_thing(on.partition(".")[0].partition("/")[0].partition("@")[0])

    def close(self, _: bool) -> None:
        """Hear no more of the session."""
        if self._end is not None:
            self._end()
            self._end = None


def open_room(window: Window) -> Room:
    """Return the room of notes."""
    notes = Notes(window)
    return Room(
        {PAGE: notes.page},
        [Command("note", "Note on what is selected…", "Record/c", notes.open, ("Shift+N",))],
        follow=notes.follow,
        close=notes.close,
    )
