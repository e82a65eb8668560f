"""The casebook's room: its page of the drawer, its commands, and its marks on the diagram."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room
from harness_studio.model.cases import Reading
from harness_studio.placing.links import thing_of

from . import suspect_words
from .page import CasebookPage
from .suspect_words import reading

if TYPE_CHECKING:
    from harness_studio.casebook.next_reading import Proposal
    from harness_studio.casebook.summary import Suspect
    from harness_studio.desktop.proof import Proof
    from harness_studio.desktop.window import Window

PAGE = "casebook"


def open_room(window: Window) -> Room:
    """Make the room of a window."""
    hand = _Hand(window)
    return Room({PAGE: hand.page}, hand.commands())


class _Hand:
    """Ties the page to the window it is in."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.page = page = CasebookPage(window.tell, window)
        page._hand = self  # type: ignore[attr-defined]  # lives as long as its page
        page.changed.connect(self._draw)
        page.case.suspects.picked.connect(self._show)
        page.case.suspects.shown.connect(self._show_tips)
        page.case.seen.columns.picked.connect(self._show_thing)
        window.drawer.meter.kept.connect(self._keep_pair)
        window.drawer.ground_map.proof.kept.connect(self._keep_proof)

    def commands(self) -> list[Command]:
        """Return the commands of the room."""
        return [
            Command("casebook", "Casebook", "Diagnose/a", self.open, ("C",)),
            Command(
                "new_case", "New case", "Diagnose/a", self.new, ("Ctrl+Alt+N",), able=self._something_open
            ),
        ]

    def _something_open(self) -> bool:
        return bool(self._window.session.harness.taken_ids())

    def open(self) -> None:
        """Open the page and give it the keys."""
        window, page = self._window, self.page
        window.drawer.call_up(PAGE)
        if page.desk.case is None:
            (page.cases.list if window.session.harness.tables["cases"] else page.cases.new).setFocus()
        else:
            page.case.names.buttons[page.case.page].setFocus()

    def new(self) -> None:
        """Begin a case."""
        self.open()
        self.page.new_case()

    def _keep_pair(self, plus: str, minus: str) -> None:
        """Enter a pair of the meter's page: its value is what the real meter shows."""
        self._enter(Reading("volts", self._window.session.mode, plus, minus))

    def _keep_proof(self, proof: Proof) -> None:
        """Enter the reading that proves a joint, with what is expected as its note."""
        bad, clean = reading(proof.now_v), reading(proof.clean_v)
        note = f"{bad} as it stands, {clean} clean" + (f", {proof.limit_words}" if proof.limit_words else "")
        self._enter(Reading("volts", self._window.session.mode, proof.plus, proof.minus, note=note))

    def _enter(self, entry: Reading) -> None:
        self.open()
        self.page.enter(entry)

    def _draw(self) -> None:
        self._window.show_marks()

    def _show_tips(self, proposal: Proposal) -> None:
        """Bring the tip into view that is not on a battery post, on another page if need be."""
        harness = self._window.session.harness
        things = [thing_of(p) for p in (proposal.plus, proposal.minus)]
        things.sort(key=lambda t: t in harness.parts and harness.parts[t].kind == "battery")
        if not self._window.diagram.show_thing(things[0]):
            self._window.show_thing(things[0])
        self._draw()

    def _show_thing(self, thing: str) -> None:
        self._window.show_thing(thing)

    def _show(self, suspect: Suspect) -> None:
        session = self._window.session
        things = suspect_words.things_of(session.harness, suspect)
        wanted = sorted(things, key=lambda t: (t in session.harness.wires, t))
        if wanted and not any(self._window.diagram.show_thing(thing) for thing in wanted):
            self._window.show_thing(wanted[0])
        session.select(things)
