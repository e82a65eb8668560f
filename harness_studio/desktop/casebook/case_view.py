"""An open case: its head, the names of its pages, and the page that is open."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QScrollArea, QStackedWidget, QVBoxLayout, QWidget

from harness_studio.diagram.tips import Tips
from harness_studio.drawing import fonts
from harness_studio.model.cases import Provocation, Reading
from harness_studio.session.case_words import standing

from .choices import Choice
from .desk import Desk
from .forms import button, row
from .mend_page import MendPage
from .readings_page import ReadingsPage
from .seen_page import SeenPage
from .small_forms import today
from .suspects_page import SuspectsPage
from .tests_page import TestsPage
from .words import OneLine

if TYPE_CHECKING:
    from harness_studio.casebook.next_reading import Proposal
    from harness_studio.casebook.provoke import Provoke
    from harness_studio.diagram.scene import Hit
    from harness_studio.session.ready_tests import Step
    from harness_studio.session.session import Session

SEEN, SUSPECTS, READINGS, MEND, TESTS = "seen", "suspects", "readings", "mend", "tests"
NAMES = ((SEEN, "Seen"), (SUSPECTS, "Suspects"), (READINGS, "Readings"), (MEND, "Mend"), (TESTS, "Tests"))


class CaseView(QWidget):
    """The case. `left` goes back to the list, `tips_moved` tells that other tips are to be drawn."""

    left = Signal()
    tips_moved = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._looked_at: Proposal | None = None
        self._step_tips: Tips = ()
        self._then = SUSPECTS
        self.back = button("‹ All", self.left.emit, self, "word")
        self.title = OneLine(self)
        self.title.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self.back.setAccessibleName("All cases")
        self.names = Choice("page of the case", NAMES, self)
        self.seen, self.suspects = SeenPage(desk, self), SuspectsPage(desk, self)
        self.readings, self.mend = ReadingsPage(desk, self), MendPage(desk, self)
        self.tests = TestsPage(desk, self)
        self._pages: dict[str, SeenPage | SuspectsPage | ReadingsPage | MendPage | TestsPage] = {
            SEEN: self.seen,
            SUSPECTS: self.suspects,
            READINGS: self.readings,
            MEND: self.mend,
            TESTS: self.tests,
        }
        self._stack = QStackedWidget(self)
        self._areas: dict[str, QScrollArea] = {}
        for name, page in self._pages.items():
            self._areas[name] = area = _scrolling(page, self)
            self._stack.addWidget(area)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 10, 0, 0)
        layout.setSpacing(5)
        head = QVBoxLayout()
        head.setContentsMargins(14, 0, 14, 0)
        head.setSpacing(5)
        head.addLayout(row(self.back, self.title, stretch=1))
        head.addWidget(self.names)
        layout.addLayout(head)
        layout.addWidget(self._stack, 1)
        self.tests.looked_at.connect(self._look_at_step)
        self.tests.measured.connect(self._measured_step)
        self.names.changed.connect(self.turn_to)
        self.suspects.looked_at.connect(self._look_at)
        self.suspects.measured.connect(self._measured)
        self.suspects.mend.connect(self._mend)
        self.suspects.provoked.connect(self._provoked)
        self.readings.tips_moved.connect(self.tips_moved)
        self.readings.entered.connect(self._entered)
        self.mend.measure.connect(self._take_again)
        self.turn_to(SEEN)

    @property
    def page(self) -> str:
        """Name of the open page."""
        return next(name for name, area in self._areas.items() if area is self._stack.currentWidget())

    def turn_to(self, name: str) -> None:
        """Open a page."""
        self.names.set_value(name)
        self._stack.setCurrentWidget(self._areas[name])
        self._looked_at, self._step_tips, self._then = None, (), SUSPECTS
        if self._desk.session is not None and self._desk.case is not None:
            self._pages[name].show_session(self._desk.session)
        self.tips_moved.emit()

    def show_session(self, session: Session) -> None:
        """Show the open case: its head, and the page that is open."""
        case = self._desk.case
        if case is None:
            return
        ended = "closed: " if standing(case) == "closed" else ""
        self.title.show_text(ended + (case.complaint or case.id))
        self._pages[self.page].show_session(session)

    def shut_forms(self) -> None:
        """Shut every form, as another case needs."""
        for page in (self.seen, self.readings, self.mend):
            for form in page.forms:
                if not form.isHidden():
                    form.done()

    def touch(self, hit: Hit) -> bool:
        """Give a click on the diagram to the open page."""
        page = self._pages[self.page]
        if isinstance(page, SuspectsPage | TestsPage):
            return False
        taken = page.touch(hit)
        if taken:
            self.tips_moved.emit()
        return taken

    @property
    def tips(self) -> Tips:
        """The tips that are to be drawn: of the proposal looked at, or of the reading that is entered."""
        if self.page == READINGS:
            return self.readings.form.tips
        if self.page == TESTS:
            return self._step_tips
        if self.page == SUSPECTS and self._looked_at is not None:
            return (("+", self._looked_at.plus), ("−", self._looked_at.minus))
        return ()

    def enter(self, reading: Reading) -> None:
        """Open the form of a reading that waits for its value."""
        self.turn_to(READINGS)
        self.readings.start(reading)

    def _look_at(self, proposal: Proposal | None) -> None:
        self._looked_at = proposal
        self.tips_moved.emit()

    def _measured(self, proposal: Proposal) -> None:
        self.turn_to(READINGS)
        reading = Reading("volts", proposal.mode, proposal.plus, proposal.minus, date=today())
        self.readings.start(reading, back=True)

    def _provoked(self, provocation: Provoke) -> None:
        self.turn_to(SEEN)
        self.seen.provocation.open(Provocation(provocation.means, provocation.at))  # type: ignore[arg-type]
        self.seen.provocation.did.setFocus()

    def _look_at_step(self, step: Step | None) -> None:
        self._step_tips = ()
        if step is not None and step.reading.plus and step.reading.minus:
            self._step_tips = (("+", step.reading.plus), ("−", step.reading.minus))
        self.tips_moved.emit()

    def _measured_step(self, step: Step) -> None:
        self.turn_to(READINGS)
        self._then = TESTS
        self.readings.start(replace(step.reading, date=today(), note=step.purpose), back=True)

    def _take_again(self, reading: Reading) -> None:
        self.turn_to(READINGS)
        self.readings.start(reading, back=True)

    def _entered(self) -> None:
        case = self._desk.case
        after = case is not None and bool(case.readings) and case.readings[-1].after_mend
        then, self._then = self._then, SUSPECTS
        self.turn_to(MEND if after else then)
        self._areas[self.page].verticalScrollBar().setValue(0)
        self.names.buttons[self.page].setFocus()

    def _mend(self, suspect: object) -> None:
        self.turn_to(MEND)
        self.mend.open(suspect)  # type: ignore[arg-type]


def _scrolling(page: QWidget, parent: QWidget) -> QScrollArea:
    area = QScrollArea(parent)
    area.setWidget(page)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.viewport().setAutoFillBackground(False)
    page.setAutoFillBackground(False)
    return area
