"""The casebook's page of the drawer: the list of cases, or the open one."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from harness_studio.diagram.ranks import Ranked, Ranks
from harness_studio.diagram.tips import Tips
from harness_studio.model import case_edits
from harness_studio.model.cases import Reading

from .case_list import CaseList
from .case_view import SEEN, CaseView
from .desk import Desk
from .small_forms import today

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Hit
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.session import Session


def _nothing() -> None:
    """End nothing: no session was shown yet."""


class CasebookPage(QWidget):
    """The page; see `rooms.Page`. `changed` tells that other tips or ranks are to be drawn."""

    title = "Casebook"
    changed = Signal()

    def __init__(self, complain: Callable[[str], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = Desk(complain)
        self._pending: Reading | None = None
        self._end: Callable[[], None] = _nothing
        self.cases, self.case = CaseList(self), CaseView(self.desk, self)
        self._stack = QStackedWidget(self)
        self._stack.addWidget(self.cases)
        self._stack.addWidget(self.case)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)
        self.cases.opened.connect(self.open_case)
        self.cases.wanted.connect(self.new_case)
        self.case.left.connect(self.leave)
        self.case.tips_moved.connect(self.changed)

    @property
    def holds(self) -> bool:
        """Whether a click on the diagram leaves this page open: a case is being worked on."""
        return self.desk.case is not None

    keeps_open = holds

    def show_session(self, session: Session) -> None:
        """Show the session as it is now, and have the open case answered."""
        if session is not self.desk.session:
            self.case.shut_forms()
            self._end()
            self.desk.session = session
            self._end = session.subscribe("casework", self._on_casework)
        if self.desk.case is None:
            if session.casework.case_id is not None:
                session.casework.open(None)
            self._stack.setCurrentWidget(self.cases)
            self.cases.show_session(session)
            return
        self._stack.setCurrentWidget(self.case)
        session.casework.want(session.harness, session.project.circuit_revision)
        self.case.show_session(session)

    def _on_casework(self, _: object) -> None:
        """Show how far the answer is; other pages need not hear of that."""
        if self.desk.session is not None and self.isVisible():
            self.show_session(self.desk.session)

    def set_theme(self, theme: Theme) -> None:
        """Follow the palette, which is set for the whole program; plots draw their own colours."""
        self.case.mend.plot.set_theme(theme)

    def open_case(self, case_id: str) -> None:
        """Open a case; a reading that waits for one is entered there."""
        session = self.desk.session
        if session is None:
            return
        self.case.shut_forms()
        session.casework.open(case_id)
        self.case.turn_to(SEEN)
        self.show_session(session)
        pending, self._pending = self._pending, None
        self.cases.pending.hide()
        if pending is not None:
            self.case.enter(pending)
        else:
            self.case.names.buttons[SEEN].setFocus()
        self.changed.emit()

    def new_case(self) -> None:
        """Begin a case, and give its complaint the keys."""
        session = self.desk.session
        if session is None:
            return
        case_id, edit = case_edits.new_case(session.harness, date=today())
        if self.desk.apply(lambda: edit):
            self.open_case(case_id)
            if self.case.page == SEEN:
                self.case.seen.complaint.setFocus()

    def leave(self) -> None:
        """Go back to the list."""
        session = self.desk.session
        if session is None:
            return
        self.case.shut_forms()
        session.casework.open(None)
        self.show_session(session)
        self.cases.list.setFocus()
        self.changed.emit()

    def enter(self, reading: Reading) -> None:
        """Enter a reading that waits for its value: in the open case, or in the one that is opened next."""
        if self.desk.case is not None:
            self.case.enter(reading)
            return
        self._pending = reading
        self.cases.pending.setText(f"Open the case that {reading.plus} to {reading.minus} belongs to.")
        self.cases.pending.show()

    def touch(self, hit: Hit) -> bool:
        """Take a click on the diagram while something is being entered."""
        return self.desk.case is not None and self.case.touch(hit)

    @property
    def ranks(self) -> Ranks:
        """The suspects that are to be drawn."""
        session = self.desk.session
        answer = session.casework.answer if session is not None and self.desk.case is not None else None
        if answer is None:
            return ()
        return tuple(
            Ranked(n, g.word, tuple(a for a, _ in g.members)) for n, g in enumerate(answer.suspects, 1)
        )

    @property
    def tips(self) -> Tips:
        """The tips that are to be drawn."""
        return self.case.tips if self.desk.case is not None else ()
