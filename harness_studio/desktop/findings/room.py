"""The room of findings: checks the harness whenever it has settled, and does what its page asks for."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from harness_studio.base.changes import Changes
from harness_studio.base.errors import EditError
from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room
from harness_studio.placing.links import thing_of
from harness_studio.session.checking import Checking

from .advice import Advised, Adviser, Question
from .page import FindingsPage
from .words import summary

if TYPE_CHECKING:
    from harness_studio.checks.finding import Finding
    from harness_studio.desktop.window import Window
    from harness_studio.model.edits import Edit
    from harness_studio.model.harness import Harness
    from harness_studio.session.session import Session

    from .body import Body

PAGE = "findings"
SIZES, GROUNDS = "size", "ground"


class Findings:
    """Keeps page, foot and diagram to what the checks have found."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._ends: list[Callable[[], None]] = []
        self._chosen: str | None = None
        self.marked = False
        self.checking = Checking(window.scheduler, self._told)
        self.adviser = Adviser(window.scheduler, self._advised)
        self._advised_on: object = None
        self._selected: frozenset[str] = frozenset()
        self.page = FindingsPage(window.drawer, self._dress, self._seen)
        window.foot.findings.clicked.connect(self.open)
        window.drawer.tabs.currentChanged.connect(self.show_marks)

    @property
    def session(self) -> Session:
        """The session that the window shows."""
        return self._window.session

    def follow(self, session: Session) -> None:
        """Check another session's harness from now on."""
        for end in self._ends:
            end()
        self._ends = [session.subscribe("changes", self._changed)]
        self._chosen = None
        self.adviser.stop()
        self.checking.open(session.harness, session.project.circuit_revision)

    def close(self, _: bool) -> None:
        """Check no more."""
        for end in self._ends:
            end()
        self._ends = []
        self.adviser.stop()
        self.checking.close()

    def _changed(self, changes: Changes) -> None:
        self.checking.want(self.session.harness, self.session.project.circuit_revision, changes)
        if self.page.made:
            for view in self.page.body.advice.values():
                view.out_of_date()

    # Showing ---------------------------------------------------------------------------------------------------------

    def open(self) -> None:
        """Open the page and give the list the keys."""
        self._window.drawer.call_up(PAGE)
        self._told()
        self.page.body.give_keys()

    def open_view(self, name: str) -> None:
        """Open the page at one of its views."""
        self._window.drawer.call_up(PAGE)
        self._told()
        self.page.body.turn(name)

    def _seen(self) -> None:
        """Show the page as it is now, and point out the gravest finding about what was selected on the diagram."""
        self._told()
        selected, latest = self.session.selection, self.checking.latest
        if selected == self._selected or latest is None:
            return
        self._selected = selected
        current = self.page.body.current
        if current is not None and selected & set(map(thing_of, current.ids)):
            return
        from .rows import numbered

        about = (f for _, f in numbered(latest.findings) if selected & set(map(thing_of, f.ids)))
        found = next(about, None)
        if found is not None:
            self._chosen = found.key
            self.page.body.point_out(found.key)
            self.show_marks()

    def _told(self) -> None:
        latest = self.checking.latest
        foot = summary(latest.counts()) if latest is not None else ""
        self._window.foot.show_findings(f"checking … {foot}" if self.checking.busy and latest else foot)
        if self.page.isVisible() or self.page.made:
            session = self.session
            self.page.body.show_checking(self.checking, session.harness, read_only=session.read_only)
            self._offer()
        self.show_marks()

    def _dress(self, body: Body) -> None:
        body.chosen.connect(self._choose)
        body.stopped.connect(self.checking.cancel)
        body.again.connect(self.checking.again)
        body.card.accepted.connect(self._accept)
        body.card.taken_back.connect(self._take_back)
        body.card.forgotten.connect(self._forget)
        body.limits.set_wanted.connect(self._choose_set)
        body.limits.how_wanted.connect(self._choose_way)
        body.limits.limit_wanted.connect(self._set_limit)
        body.limits.limit_dropped.connect(self._drop_limit)
        for view in body.advice.values():
            view.asked.connect(self._ask)
            view.applied.connect(self._apply)
            view.stopped.connect(self._stop_advice)
        body.turned.connect(lambda _: self._offer())

    def _choose(self, found: Finding) -> None:
        self._chosen = found.key
        self._show(found)

    def _show(self, found: Finding) -> None:
        """Bring the thing of a finding into view; its numbers stand beside it."""
        self.show_marks()
        thing = next((o for o in map(thing_of, found.ids) if self.session.harness.section_of(o)), None)
        if thing is not None:
            self.session.select({thing})
            self._window.showing.show(thing)

    def toggle_marks(self) -> None:
        """Mark the findings on the diagram also while another page is open, or no longer."""
        self.marked = not self.marked
        self.show_marks()
        self._window.commands.refresh()

    def show_marks(self, _: object = None) -> None:
        """Mark the findings on the diagram while the page is open, or where that is wanted."""
        open_here = self.page.isVisible()
        state, latest = self._window.diagram.state, self.checking.latest
        marks: tuple[object, ...] = ()
        if latest is not None and (open_here or self.marked):
            from .marks import marks_of

            marks = marks_of(latest.findings, self._chosen if open_here else None)
        if marks != state.marks:
            state.marks = marks  # type: ignore[assignment]
            self._window.diagram.update()

    # What is asked for -----------------------------------------------------------------------------------------------

    def _do(self, make: Callable[[], Edit | None]) -> None:
        try:
            edit = make()
            if edit is not None:
                self.session.apply(edit)
        except EditError as error:
            self._window.tell(str(error))

    def _accept(self, reason: str) -> None:
        from harness_studio.checks import accepting

        found = self.page.body.current
        if found is not None:
            today = datetime.datetime.now(tz=datetime.UTC).astimezone().date().isoformat()
            self.page.body.list.setFocus()  # the line that was typed into goes
            self._do(lambda: accepting.accept(found, reason, today))

    def _take_back(self) -> None:
        from harness_studio.checks import accepting

        found = self.page.body.current
        if found is not None:
            self.page.body.list.setFocus()
            self._do(lambda: accepting.take_back(self.session.harness, found))

    def _forget(self, keys: Sequence[str]) -> None:
        from harness_studio.checks import accepting

        self._do(lambda: accepting.forget(self.session.harness, keys))

    def _choose_set(self, name: str) -> None:
        from harness_studio.checks import accepting

        self._do(lambda: accepting.choose_set(self.session.harness, name))

    def _choose_way(self, name: str | None) -> None:
        from harness_studio.checks import accepting

        self._do(lambda: accepting.choose_way(self.session.harness, name))

    def _set_limit(self, name: str, value: float, reason: str) -> None:
        from harness_studio.checks import accepting

        self._do(lambda: accepting.override(self.session.harness, name, value, reason))

    def _drop_limit(self, name: str) -> None:
        from harness_studio.checks import accepting

        self._do(lambda: accepting.as_the_set_says(self.session.harness, name))

    def _offer(self) -> None:
        """Offer advice on what the chosen finding is about, and on the whole harness."""
        body, session = self.page.body, self.session
        found = body.current
        ids = [thing_of(i) for i in (found.ids if found else ())]
        harness = session.harness
        wires = [Question(SIZES, w, f"wire {w}") for w in ids if w in harness.wires]
        circuits = dict.fromkeys(harness.wires[w.of].circuit for w in wires)
        circuits.update(dict.fromkeys(circuits_of(harness, set(ids))))
        wires += [Question(SIZES, c, f"circuit {c}") for c in circuits if c]
        grounds = [Question(GROUNDS, g, harness.title_of(g)) for g in ids if g in harness.grounds]
        whole = Question(SIZES, "", "all wires"), Question(GROUNDS, "", "all grounds")
        others = [
            Question(GROUNDS, g.id, harness.title_of(g.id))
            for g in harness.grounds.values()
            if g.id not in ids
        ]
        body.advice[SIZES].offer(
            "Sizes and fuses: the smallest that pass", [*wires, whole[0]], read_only=session.read_only
        )
        body.advice[GROUNDS].offer(
            "Grounds: which returns to move", [*grounds, whole[1], *others], read_only=session.read_only
        )

    def _ask(self, question: Question) -> None:
        latest = self.checking.latest
        if latest is None or self.checking.stale:
            self._window.tell("The harness is still being checked: ask again when it is done.")
            return
        self.page.body.advice[question.kind].show_busy(True)
        self._advised_on = self.session.project.history.revision
        self.adviser.ask(latest.scope, question)

    def _advised(self, advised: Advised | None) -> None:
        if advised is None or not self.page.made:
            return
        view = self.page.body.advice[advised.question.kind]
        view.show_busy(False)
        view.show_advice(advised)
        if self._advised_on != self.session.project.history.revision:
            view.out_of_date()

    def _stop_advice(self) -> None:
        self.adviser.stop()
        for view in self.page.body.advice.values():
            view.show_busy(False)
            view.show_advice(None)

    def _apply(self, advised: Advised) -> None:
        self._do(lambda: advised.edit)


def circuits_of(harness: Harness, parts: set[str]) -> list[str]:
    """Return the circuits of the wires that end at parts, or at halves that plug onto them."""
    at = parts & set(harness.parts) | {half.id for half in harness.halves.values() if half.part in parts}
    return [
        wire.circuit
        for wire in harness.wires.values()
        if wire.circuit and any(end.point and thing_of(end.point) in at for end in wire.ends)
    ]


def open_room(window: Window) -> Room:
    """Make the room."""
    findings = Findings(window)
    commands = (
        Command("findings", "Findings: what the checks have to say", "Check/a", findings.open, ("Ctrl+Shift+F",)),
        Command("sizes", "Advice on sizes and fuses", "Check/a", lambda: findings.open_view(SIZES), ("Ctrl+Alt+S",)),
        Command("grounds_advice", "Advice on grounds: which returns to move", "Check/a",
                lambda: findings.open_view(GROUNDS), ("Ctrl+Alt+G",)),
        Command("limits", "Limits in force, and how ampacity is found", "Check/a",
                lambda: findings.open_view("limits"), ("Ctrl+Alt+M",)),
        Command("overlay_findings", "Findings on the diagram", "View/d", findings.toggle_marks, ("Alt+9",),
                ticked=lambda: findings.marked),
    )  # fmt: skip
    return Room({PAGE: findings.page}, commands, findings.follow, findings.close)
