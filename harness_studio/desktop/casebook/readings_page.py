"""The readings of a case: those before the mend, and the form for another one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from harness_studio.model.cases import Reading
from harness_studio.session.case_words import left_out, reading_words

from .desk import Desk
from .forms import Entry, Kept, Said, button, column, heading, plain
from .reading_form import ReadingForm

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Hit
    from harness_studio.session.session import Session


class ReadingsPage(QWidget):
    """The page. `entered` comes after a new reading was kept, `tips_moved` when the form is opened or shut."""

    entered = Signal()
    tips_moved = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._back = False
        self.form = ReadingForm(self)
        self.add = button("+ A reading", self.start, self)
        self.kept = Kept("reading", "No reading yet.", self)
        self.notes = plain("", self)
        layout = column(heading("Readings", self), self.form, self.add, self.kept, self.notes,
                        margins=(18, 8, 18, 14))  # fmt: skip
        layout.addStretch(1)
        self.setLayout(layout)
        self.form.kept.connect(self._keep)
        self.form.shut.connect(self._shut)
        self.kept.change.connect(self._change)
        self.kept.take_out.connect(lambda n: self._desk.take_out("readings", n))
        for box in (self.form.plus, self.form.minus):
            box.currentTextChanged.connect(self.tips_moved)

    @property
    def forms(self) -> tuple[Entry, ...]:
        """What can be open."""
        return (self.form,)

    def show_session(self, session: Session) -> None:
        """Show the open case."""
        case = self._desk.case
        if case is None:
            return
        answer = session.casework.answer
        why, notes = left_out(answer.notes if answer is not None else (), "reading")
        notes = [n for n in notes if not n.startswith("sighting ")]
        lines = []
        for number, reading in enumerate(case.readings):
            words, about = reading_words(session.harness, reading)
            own = "after the mend" if reading.after_mend else why.get(number, "")
            lines.append(Said(words, " · ".join(w for w in (own, about) if w)))
        self.kept.show_lines(lines)
        self.notes.setText("On the sum:\n" + "\n".join(notes) if notes else "")
        self.form.show_session(session)

    def start(self, reading: Reading | None = None, *, back: bool = False) -> None:
        """Open the form: empty, or with tips and mode and waiting for the value; `back` tells when it was kept."""
        self._back = back
        self.add.hide()
        self.form.open(reading)
        self.tips_moved.emit()

    def touch(self, hit: Hit) -> bool:
        """Give a click on the diagram to the form."""
        return self.form.touch(hit)

    def _keep(self, entry: object) -> None:
        number, back = self.form.number, self._back
        if self._desk.keep("readings", entry, number):
            self.form.done()
            if number is None and back:
                self.entered.emit()

    def _change(self, number: int) -> None:
        case = self._desk.case
        if case is not None:
            self._back = False
            self.add.hide()
            self.form.open(case.readings[number], number)
            self.tips_moved.emit()

    def _shut(self) -> None:
        self.add.show()
        self.add.setFocus()
        self.tips_moved.emit()
