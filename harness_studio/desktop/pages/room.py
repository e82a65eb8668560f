"""Making, changing and walking through the pages of the diagram; each change is one step."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from harness_studio.base.errors import EditError
from harness_studio.desktop.commands import Command
from harness_studio.desktop.finder import Finder, Row
from harness_studio.desktop.rooms import Room
from harness_studio.diagram.words import counted
from harness_studio.model.edits import Edit, Reorder, change
from harness_studio.model.entities import Page
from harness_studio.placing.links import owner
from harness_studio.tracing import pages

from .page import PagesPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window
    from harness_studio.model.harness import Harness

PAGE = "pages"


class Pages:
    """Does what the page and the commands ask for."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.page = PagesPage(window)
        self.page.shown.connect(self.show)
        self.page.renamed.connect(self.rename)
        self.page.moved.connect(self.reorder)
        self.page.wanted.connect(self._do)
        window.diagram.followed.connect(self.follow)
        window.diagram.laid_out.connect(self._laid_out)
        self.finder = Finder(window.stack, "Which one?", "type to narrow it down …", self._found)
        self.finder.picked.connect(self._picked)
        self._choices: list[Row] = []
        self._then: Callable[[str], None] = self.show

    @property
    def _harness(self) -> Harness:
        return self._window.session.harness

    def open(self) -> None:
        """Open the page."""
        self._window.drawer.call_up(PAGE)
        self.page.list.setFocus()

    # Walking ---------------------------------------------------------------------------------------------------------

    def show(self, page_id: str) -> None:
        """Show a page of the diagram."""
        if page_id in self._harness.pages and page_id != self._window.diagram.page_id:
            self._window.diagram.show_page(page_id)
            self._laid_out()
            self._window.refresh_foot()

    def step(self, by: int) -> None:
        """Show the next page, or the one before."""
        ids = list(self._harness.pages)
        here = self._window.diagram.page_id
        if here in ids:
            self.show(ids[(ids.index(here) + by) % len(ids)])

    def follow(self, page_id: str, thing: str) -> None:
        """Show a thing on another page, from a label that names it."""
        self.show(page_id)
        self._window.showing.show(thing)

    def follow_selected(self) -> None:
        """Show where the selected wire goes on."""
        window = self._window
        for one in window.diagram.scene.layout.onward:
            if one.label.wire in window.session.selection and one.page is not None and one.thing is not None:
                self.follow(one.page, one.thing)
                return
        window.tell("Select a wire that leaves this page first; its label names the page where it goes on.")

    def _laid_out(self) -> None:
        self.page.page_id = self._window.diagram.page_id
        if self._window.drawer.current is self.page:
            self.page.show_session(self._window.session)

    # Making ----------------------------------------------------------------------------------------------------------

    def of_circuit(self) -> None:
        """Make a page of the selected wire's or part's circuit, or ask which one."""
        harness = self._harness
        chosen = [
            getattr(harness.wires.get(i) or harness.parts.get(i), "circuit", None)
            for i in sorted(self._window.session.selection)
        ]
        named = next((name for name in chosen if name), None)
        if named is not None:
            self._of_circuit(named)
            return
        self._ask(
            [Row(name, name) for name in pages.circuits(harness)],
            self._of_circuit,
            "No wire has a circuit yet.",
        )

    def _of_circuit(self, name: str) -> None:
        self._make(pages.of_circuit(self._harness, name), name, f"make a page of circuit {name}")

    def of_ground(self) -> None:
        """Make a page of the selected ground, or ask which one."""
        harness, session = self._harness, self._window.session
        named = [i for i in (*sorted(session.selection), owner(session.chosen or "")) if i in harness.grounds]
        if named:
            self._of_ground(named[0])
            return
        rows = [Row(g, harness.title_of(g)) for g in harness.grounds]
        self._ask(rows, self._of_ground, "There is no ground yet.")

    def _of_ground(self, ground: str) -> None:
        title = self._harness.title_of(ground)
        self._make(pages.of_ground(self._harness, ground), title, f"make a page of ground {ground}")

    def of_zone(self) -> None:
        """Make a page of a zone."""
        rows = [Row(z.id, z.title or z.id, z.id if z.title else "") for z in self._harness.zones.values()]
        self._ask(rows, self._of_zone, "There is no zone yet.")

    def _of_zone(self, zone: str) -> None:
        title = self._harness.zones[zone].title or zone
        self._make(pages.of_zone(self._harness, zone), title, f"make a page of zone {title}")

    def _make(self, things: set[str], title: str, words: str) -> None:
        try:
            page = pages.page_of(self._harness, sorted(things), title)
        except EditError as error:
            self._window.tell(str(error))
            return
        self._add(page, words)

    def _add(self, page: Page, words: str) -> None:
        if self._apply(pages.add_page(page, words)):
            self._window.diagram.show_page(page.id)
            self._laid_out()

    def new(self) -> None:
        """Make a page with what is selected, or an empty one."""
        harness = self._harness
        things = set(self._window.session.selection)
        for wire in [harness.wires[i] for i in things if i in harness.wires]:
            things |= {owner(e.point) for e in wire.ends if e.point is not None}
        title = f"Page {len(harness.pages) + 1}"
        if things & harness.taken_ids() - set(harness.wires):
            self._make(things, title, "make a page of the selection")
        else:
            self._add(Page(pages.new_page_id(harness, title), title), "make an empty page")
        self.open()
        self.page.rename()

    def put(self) -> None:
        """Ask for a page to put the selection on."""
        here = self._window.diagram.page_id
        rows = [
            Row(p.id, p.title or p.id, counted(len(p.items), "symbol"))
            for p in self._harness.pages.values()
            if p.id != here
        ]
        self._ask(rows, self._put, "There is no other page: make one first.")

    def _put(self, page_id: str) -> None:
        chosen = sorted(self._window.session.selection)
        self._try(lambda: pages.put_on_page(self._harness, page_id, chosen))

    def take(self) -> None:
        """Take the selection off the page that is shown; it stays in the harness."""
        here = self._window.diagram.page_id
        if here is not None:
            self._try(lambda: pages.take_off_page(self._harness, here, self._window.session.selection))

    def rename(self, page_id: str, title: str) -> None:
        """Give a page another title."""
        page = self._harness.pages.get(page_id)
        if page is not None and title and title != page.title:
            words = f"rename page {page.title or page.id} to {title}"
            self._try(lambda: change(self._harness, "pages", page_id, words, title=title))
        self.page.show_session(self._window.session)
        self._window.refresh_foot()

    def reorder(self, page_id: str, place: int) -> None:
        """Take a page to another place among the pages."""
        page = self._harness.pages[page_id]
        words = f"take page {page.title or page.id} to place {place + 1}"
        self._apply(Reorder("pages", page_id, place, words))
        self.page.show_session(self._window.session)
        row = list(self._harness.pages).index(page_id)
        self.page.list.setCurrentRow(row)

    def bring(self, by: int) -> None:
        """Take the page that is shown a place nearer to the first or to the last."""
        ids, here = list(self._harness.pages), self._window.diagram.page_id
        if here in ids and 0 <= ids.index(here) + by < len(ids):
            self.reorder(here, ids.index(here) + by)

    def ask_name(self) -> None:
        """Let the name of the page that is shown be typed."""
        self.open()
        self.page.rename()

    def remove(self) -> None:
        """Remove the page whose line is current, else the one that is shown."""
        listed = self.page.current if self._window.drawer.current is self.page else None
        page_id = listed or self._window.diagram.page_id
        if page_id is not None:
            self._try(lambda: pages.remove_page(self._harness, page_id))

    # Help ------------------------------------------------------------------------------------------------------------

    def _do(self, command: str) -> None:
        self._window.commands.actions[command].trigger()

    def _ask(self, rows: list[Row], then: Callable[[str], None], nothing: str) -> None:
        if not rows:
            self._window.tell(nothing)
            return
        self._choices, self._then = rows, then
        self.finder.open()

    def _found(self, text: str) -> list[Row]:
        words = text.lower().split()
        return [r for r in self._choices if all(w in f"{r.id} {r.title} {r.about}".lower() for w in words)]

    def _picked(self, choice: str) -> None:
        self._then(choice)

    def _try(self, make: Callable[[], Edit]) -> None:
        try:
            edit = make()
        except EditError as error:
            self._window.tell(str(error))
            return
        self._apply(edit)

    def _apply(self, edit: Edit) -> bool:
        try:
            self._window.session.apply(edit)
        except EditError as error:
            self._window.tell(str(error))
            return False
        return True


def open_room(window: Window) -> Room:
    """Return the room of pages."""
    room = Pages(window)

    def several() -> bool:
        return len(window.session.harness.pages) > 1

    def chosen() -> bool:
        return bool(window.session.selection) and bool(window.session.harness.pages)

    def something() -> bool:
        return bool(window.session.harness.taken_ids())

    menu = "Pages"
    commands = [
        Command("pages", "Pages of the diagram…", f"{menu}/a", room.open, ("Ctrl+G",)),
        Command("page_next", "Next page", f"{menu}/a", lambda: room.step(1), ("Ctrl+PgDown",), able=several),
        Command("page_before", "Page before", f"{menu}/a", lambda: room.step(-1), ("Ctrl+PgUp",), able=several),
        Command("page_earlier", "Take the page to an earlier place", f"{menu}/d", lambda: room.bring(-1),
                ("Ctrl+Shift+PgUp",), able=several),
        Command("page_later", "Take the page to a later place", f"{menu}/d", lambda: room.bring(1),
                ("Ctrl+Shift+PgDown",), able=several),
        Command("page_follow", "Follow the selected wire to its other page", f"{menu}/a", room.follow_selected, ("G",),
                able=several),
        Command("page_circuit", "Page of a circuit…", f"{menu}/b", room.of_circuit, ("Alt+Shift+C",), able=something),
        Command("page_ground", "Page of a ground…", f"{menu}/b", room.of_ground, ("Alt+Shift+G",), able=something),
        Command("page_zone", "Page of a zone…", f"{menu}/b", room.of_zone, ("Alt+Shift+Z",), able=something),
        Command("page_new", "New page with what is selected", f"{menu}/b", room.new, ("Alt+Shift+N",)),
        Command("page_put", "Put the selection on another page…", f"{menu}/c", room.put, ("Alt+Shift+P",), able=chosen),
        Command("page_take", "Take the selection off this page", f"{menu}/c", room.take, ("Alt+Shift+T",), able=chosen),
        Command("page_rename", "Rename the page", f"{menu}/d", room.ask_name, ("Alt+F2",)),
        Command("page_remove", "Remove the page", f"{menu}/d", room.remove, ("Alt+Shift+Del",), able=several),
    ]  # fmt: skip
    return Room({PAGE: room.page}, commands)
