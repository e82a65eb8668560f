"""What was mended, the same readings again before and after, made to come back or not, closed or not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QWidget

from harness_studio.model.case_edits import again, same_pair
from harness_studio.model.cases import Reading
from harness_studio.session.case_words import mend_words

from .after_plot import AfterPlot
from .after_table import AfterTable, judged
from .choices import Choice
from .desk import Desk
from .forms import Entry, Kept, Said, button, column, heading, plain, quiet
from .small_forms import MendForm, today

if TYPE_CHECKING:
    from harness_studio.casebook.summary import Suspect
    from harness_studio.diagram.scene import Hit
    from harness_studio.session.session import Session

BACK = (("", "not tried"), ("yes", "yes"), ("no", "no"))


class MendPage(QWidget):
    """The page. `measure` carries a reading that is to be taken again."""

    measure = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.kept = Kept("mend", "Nothing mended yet.", self)
        self.form = MendForm(self)
        self.add = button("+ A mend", self.form.open, self)
        self.table, self.plot = AfterTable(self), AfterPlot(self)
        self.verdict, self.leads = plain("", self, strong=True), plain("", self)
        self.again = button("Take the next pair again …", self._again, self, "main")
        self.back = Choice("fault made to come back", BACK, self)
        self.closed = QCheckBox("Case closed", self)
        self.said = quiet("", self)
        layout = column(
            heading("Mended", self), self.kept, self.form, self.add, heading("Before and after", self), self.table,
            self.verdict, self.leads, self.plot, self.again,
            heading("Made to come back with the old state?", self), self.back, self.said, self.closed,
            margins=(18, 8, 18, 14),
        )  # fmt: skip
        layout.addStretch(1)
        self.setLayout(layout)
        self.form.kept.connect(self._keep)
        self.form.opened.connect(self.add.hide)
        self.form.shut.connect(self.add.show)
        self.form.shut.connect(self.add.setFocus)
        self.kept.change.connect(self._change)
        self.kept.take_out.connect(lambda n: self._desk.take_out("mends", n))
        self.back.changed.connect(
            lambda v: self._desk.set("say whether the fault came back",
                                     fault_made_to_come_back={"yes": True, "no": False}.get(v))
        )  # fmt: skip
        self.closed.clicked.connect(self._close)

    @property
    def forms(self) -> tuple[Entry, ...]:
        """What can be open."""
        return (self.form,)

    def show_session(self, session: Session) -> None:
        """Show the open case."""
        case = self._desk.case
        if case is None:
            return
        self.kept.show_lines([Said(*mend_words(m)) for m in case.mends])
        self.form.show_session(session)
        self.table.show_session(session, case)
        after = session.casework.after
        self.plot.show_pairs(judged(session, case))
        self.verdict.setText(after.said if after is not None else "")
        self.leads.setText(
            "\n".join(f"Mind: {lead}." for lead in after.false_leads) if after is not None else ""
        )
        for label in (self.verdict, self.leads):
            label.setVisible(bool(label.text()))
        self.again.setVisible(self._next() is not None)
        back = case.fault_made_to_come_back
        self.back.set_value({True: "yes", False: "no", None: ""}[back])
        self.closed.setChecked(case.closed)
        self.said.setText(self._open_ends())
        self.said.setVisible(bool(self.said.text()))

    def _open_ends(self) -> str:
        """Return what still keeps the case from being closed with a good conscience."""
        case = self._desk.case
        if case is None or case.closed:
            return ""
        left = []
        if not case.mends:
            left.append("nothing was mended")
        if self._next() is not None:
            left.append("not every pair was taken again")
        if case.fault_made_to_come_back is None:
            left.append("the old state was not tried again")
        return "Before it is closed: " + ", ".join(left) + "." if left else ""

    def _next(self) -> Reading | None:
        """Return the first reading from before the mend that was not taken again."""
        case = self._desk.case
        if case is None or not case.mends:
            return None
        after = [r for r in case.readings if r.after_mend and (r.value is not None or r.least is not None)]
        for reading in case.readings:
            if not reading.after_mend and not any(same_pair(reading, r) for r in after):
                return reading
        return None

    def open(self, suspect: Suspect) -> None:
        """Open the form for a mend of a group's likeliest member."""
        self.form.open(on=suspect.members[0][0])

    def touch(self, hit: Hit) -> bool:
        """Give a click on the diagram to the form."""
        return self.form.touch(hit)

    def _keep(self, entry: object) -> None:
        if self._desk.keep("mends", entry, self.form.number):
            self.form.done()

    def _change(self, number: int) -> None:
        case = self._desk.case
        if case is not None:
            self.form.open(case.mends[number], number)

    def _again(self) -> None:
        reading = self._next()
        if reading is not None:
            self.measure.emit(again(reading, today()))

    def _close(self, on: bool) -> None:
        self._desk.set("close the case" if on else "open the case again", closed=on)
