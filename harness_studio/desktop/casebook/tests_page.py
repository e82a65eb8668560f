"""Ready-made tests: cranking, charging, key-off drain, each as a short guided list of readings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Signal
from PySide6.QtGui import QEnterEvent
from PySide6.QtWidgets import QFrame, QWidget

from harness_studio.diagram.words import amperes
from harness_studio.model.cases import Case
from harness_studio.session.case_words import UNITS, mode_words, value_words, where_words
from harness_studio.session.ready_tests import ReadyTest, Step, judged, taken

from .choices import Choice
from .desk import Desk
from .forms import button, column, heading, plain, quiet, row
from .suspect_words import reading

if TYPE_CHECKING:
    from harness_studio.session.session import Session

TITLES = (("cranking", "Cranking"), ("charging", "Charging"), ("key-off drain", "Key-off drain"))
MAKING = "Solving the modes of this harness …"


def quantity_words(step: Step, value: float) -> str:
    """Return a value in the unit of a step, as a meter shows it."""
    unit = UNITS[step.reading.kind]
    if unit == "V":
        return reading(value)
    return amperes(value) if unit == "A" else f"{value:.2f} {unit}"


def expected_words(step: Step) -> str:
    """Return what is expected, and the limit: 'expected 0.178 V · at most 0.5 V'."""
    said = [] if step.expected is None else [f"expected {quantity_words(step, step.expected)}"]
    if step.limit is not None:
        said.append(f"at most {step.limit:g} {UNITS[step.reading.kind]}")
    return " · ".join(said)


class StepCard(QFrame):
    """One reading of a test. `looked_at` carries the step while the pointer is on it, `measured` a press."""

    looked_at = Signal(object)
    measured = Signal(object)

    def __init__(self, number: int, step: Step, case: Case, parent: QWidget) -> None:
        super().__init__(parent)
        self.step = step
        self.setObjectName("proof")
        self.title = plain(f"{number}  {step.purpose[:1].upper()}{step.purpose[1:]}", self, strong=True)
        where = quiet(f"{where_words(step.reading)} · {expected_words(step)}", self)
        where.setToolTip(step.limit_words)
        found = taken(case, step)
        value = None if found is None else found.value if found.value is not None else found.greatest
        self.said = plain("", self)
        if found is not None and value is not None:
            self.said.setText(f"{value_words(found)}: {judged(step, value)}")
        self.said.setVisible(bool(self.said.text()))
        self.button = button("I measured …", lambda: self.measured.emit(self.step), self, "word")
        self.button.setAccessibleName(f"I measured {step.purpose}, {where.text()}")
        layout = column(gap=2, margins=(12, 6, 8, 7))
        layout.addLayout(row(self.title, self.button, stretch=0))
        self.caution = quiet("", self)
        self.caution.hide()
        for label in (where, self.caution, self.said):
            layout.addWidget(label)
        self.setLayout(layout)

    def warn(self, what: str) -> None:
        """Show the caution that applies to this step and not to those above."""
        self.caution.setText(what)
        self.caution.setVisible(bool(what))

    def enterEvent(self, event: QEnterEvent) -> None:
        """Show the tips."""
        self.looked_at.emit(self.step)

    def leaveEvent(self, event: QEvent) -> None:
        """Take the tips away."""
        self.looked_at.emit(None)


class TestsPage(QWidget):
    """The page."""

    __test__ = False
    looked_at = Signal(object)
    measured = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._shown: object = None
        self.which = Choice("test", TITLES, self)
        self.which.set_value("cranking")
        self.which.changed.connect(self._turn)
        self.about, self.caution = quiet("", self), plain("", self)
        self.next = button("", self._next, self, "main")
        self.cards: list[StepCard] = []
        self._cards = column(gap=6)
        layout = column(
            heading("Ready-made tests", self), self.which, self.about, self.caution, self.next, margins=(18, 8, 18, 14)
        )  # fmt: skip
        layout.addLayout(self._cards)
        layout.addStretch(1)
        self.setLayout(layout)

    def show_session(self, session: Session) -> None:
        """Show the chosen test with what the open case has of it."""
        case = self._desk.case
        if case is None:
            return
        bench = session.casework.bench
        bench.want(session.harness, case, session.project.circuit_revision)
        test = self.test
        if (test, case.readings) == self._shown:
            return
        self._shown = (test, case.readings)
        self._fill(session, test, case)

    @property
    def test(self) -> ReadyTest | None:
        """The chosen test; None while it is being made."""
        session = self._desk.session
        tests = session.casework.bench.tests if session is not None else None
        return next((t for t in tests or () if t.id == self.which.value), None)

    def _fill(self, session: Session, test: ReadyTest | None, case: Case) -> None:
        for old in self.cards:
            self._cards.removeWidget(old)
            old.hide()
            old.deleteLater()
        steps = test.steps if test is not None else ()
        self.cards = [StepCard(n, step, case, self) for n, step in enumerate(steps, 1)]
        told: set[str] = set()
        for card in self.cards:
            own = [c for c in card.step.caution.split("; ") if c and c not in told]
            card.warn("; ".join(own))
            told.update(own)
            card.looked_at.connect(self.looked_at)
            card.measured.connect(self.measured)
            self._cards.addWidget(card)
            card.show()
        if test is None:
            self.about.setText(MAKING)
        elif not steps:
            self.about.setText("\n".join(f"Not for this harness: {note}." for note in test.notes))
        else:
            mode = mode_words(session.harness, steps[0].reading.mode)
            self.about.setText("\n".join([f"In the mode: {mode}", *test.notes]))
        self.caution.setText(test.caution if test is not None and steps else "")
        self.caution.setVisible(bool(self.caution.text()))
        left = self.left
        self.next.setVisible(left is not None)
        if left is not None:
            self.next.setText(f"Next: {left.purpose}")

    @property
    def left(self) -> Step | None:
        """The first step that was not taken yet."""
        case, test = self._desk.case, self.test
        if case is None or test is None:
            return None
        for step in test.steps:
            found = taken(case, step)
            if found is None or (found.value is None and found.greatest is None):
                return step
        return None

    def _turn(self, _: str) -> None:
        if self._desk.session is not None:
            self.show_session(self._desk.session)

    def _next(self) -> None:
        left = self.left
        if left is not None:
            self.measured.emit(left)
