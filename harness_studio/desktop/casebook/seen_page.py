"""What was complained of and seen, the two columns, what brought it on, what is known of joints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel, QLineEdit, QWidget

from harness_studio.base.units import number
from harness_studio.model import case_edits
from harness_studio.session.case_words import left_out, provocation_words, sighting_words

from .choices import Choice
from .columns import Columns
from .desk import Desk
from .forms import Entry, Kept, Pick, Said, button, column, field, heading, quiet, row
from .sighting_form import SightingForm
from .small_forms import ProvocationForm, day, joint_words, pressed_joint
from .words import Words

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Hit
    from harness_studio.session.session import Session

FACTS = (
    ("disturbed", "disturbed lately"), ("found_good", "found good"), ("previous owner", "made by previous owner"),
    ("us", "made by us"), ("factory", "made by factory"),
)  # fmt: skip


MOST_MADE = 8
"""Joints whose maker is told, the latest."""


class SeenPage(QWidget):
    """The page."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.complaint = Words("complaint", "the complaint, in the driver's words", self)
        self.state = Words("vehicle state", "vehicle: trailer coupled, warm, tank half full …", self)
        self.date, self.odometer = field("date", "date", self), field("odometer", "km", self)
        self.date.setFixedWidth(100)
        self.sightings = Kept("sighting", "Nothing yet. What moves, when what comes on?", self)
        self.sighting = SightingForm(self)
        self.columns = Columns(self)
        self.provocations = Kept("provocation", "", self)
        self.provocation = ProvocationForm(self)
        self.facts = Kept("known of a joint", "", self)
        self.joint = Pick("joint", "a joint: click it or type it", self)
        self.fact = Choice("what is known of it", FACTS, self)
        self._fact_entry = _Holder(self, self.joint, self.fact)
        self.note = Words("note on the case", "note on the case", self)
        self.remove = button("Take this case out", self._remove, self, "word")
        self._add_sighting = button("+ Something was seen", self.sighting.open, self)
        self._add_provocation = button("+ Something brought it on", self.provocation.open, self)
        self.add_fact = button("+ Something is known of a joint", self._open_fact, self)
        layout = column(self.complaint, self.state, margins=(18, 8, 18, 14), gap=6)
        layout.addLayout(row(self.date, QLabel("at", self), self.odometer, QLabel("km", self), stretch=2))
        layout.addSpacing(6)
        for widget in (
            heading("Seen", self), self.sightings, self.sighting, self._add_sighting, self.columns,
            heading("Brought on by", self), self.provocations, self.provocation, self._add_provocation,
            heading("Known of joints", self), self.facts, self._fact_entry, self.add_fact,
        ):  # fmt: skip
            layout.addWidget(widget)
        layout.addSpacing(6)
        layout.addWidget(self.note)
        layout.addLayout(row(self.remove))
        layout.addStretch(1)
        self.setLayout(layout)
        self._join()

    def _join(self) -> None:
        for line, save in (
            (self.complaint, self._save_complaint), (self.state, self._save_state), (self.date, self._save_date),
            (self.odometer, self._save_odometer), (self.note, self._save_note),
        ):  # fmt: skip
            line.editingFinished.connect(save)
        self.sighting.kept.connect(self._keep_sighting)
        self.sightings.change.connect(self._change_sighting)
        self.sightings.take_out.connect(lambda n: self._desk.take_out("sightings", n))
        self.provocation.kept.connect(self._keep_provocation)
        self.provocations.change.connect(self._change_provocation)
        self.provocations.take_out.connect(lambda n: self._desk.take_out("provocations", n))
        self.facts.take_out.connect(self._forget_fact)
        self.fact.changed.connect(self._keep_fact)
        for form, add in (
            (self.sighting, self._add_sighting), (self.provocation, self._add_provocation),
        ):  # fmt: skip
            form.opened.connect(add.hide)
            form.shut.connect(add.show)
            form.shut.connect(add.setFocus)

    # What is shown ---------------------------------------------------------------------------------------------------

    def show_session(self, session: Session) -> None:
        """Show the open case."""
        case = self._desk.case
        if case is None:
            return
        self.complaint.show_text(case.complaint)
        self.state.show_text(case.state or "")
        self.note.show_text(case.note or "")
        _show(self.date, str(case.date or ""))
        _show(self.odometer, f"{case.odometer_km:g}" if case.odometer_km is not None else "")
        harness = session.harness
        answer = session.casework.answer
        why, _ = left_out(answer.notes if answer is not None else (), "sighting")
        lines = []
        for at, sighting in enumerate(case.sightings):
            title, about = sighting_words(harness, sighting)
            lines.append(Said(title, " · ".join(w for w in (about, why.get(at, "")) if w)))
        self.sightings.show_lines(lines)
        self.provocations.show_lines([Said(*provocation_words(p)) for p in case.provocations])
        self.facts.show_lines([Said(words) for words, _, _ in self._known()], can_change=False)
        self.sighting.show_session(session)
        self.provocation.show_session(session)
        self.columns.show_session(session)

    def _known(self) -> list[tuple[str, case_edits.Entries | None, int | str]]:
        """Return (words, what it is kept under, its number); of who made a joint its address."""
        case, session = self._desk.case, self._desk.session
        if case is None or session is None:
            return []
        found: list[tuple[str, case_edits.Entries | None, int | str]] = []
        found += [(f"{text}: disturbed lately", "disturbed", n) for n, text in enumerate(case.disturbed)]
        found += [(f"{text}: found good", "found_good", n) for n, text in enumerate(case.found_good)]
        made = [j for j in session.harness.joints.values() if j.made_by is not None]
        found += [(f"{j.id}: made by {j.made_by}", None, j.id) for j in made[-MOST_MADE:]]
        return found

    # The hand --------------------------------------------------------------------------------------------------------

    @property
    def forms(self) -> tuple[Entry, ...]:
        """What can be open."""
        return (self.sighting, self.provocation)

    def touch(self, hit: Hit) -> bool:
        """Give a click on the diagram to the form that is open."""
        if not self._fact_entry.isHidden() and self._desk.session is not None:
            self.joint.set_value(pressed_joint(self._desk.session, hit))
            return True
        return any(form.touch(hit) for form in (self.sighting, self.provocation) if not form.isHidden())

    def _save_complaint(self) -> None:
        self._desk.set(complaint=self.complaint.text().strip())

    def _save_state(self) -> None:
        self._desk.set(state=self.state.text().strip() or None)

    def _save_note(self) -> None:
        self._desk.set(note=self.note.text().strip() or None)

    def _remove(self) -> None:
        case, session = self._desk.case, self._desk.session
        if case is not None and session is not None:
            self._desk.apply(lambda: case_edits.remove_case(session.harness, case.id))

    def _save_date(self) -> None:
        try:
            self._desk.set(date=day(self.date.text()))
            self.date.setToolTip("")
        except ValueError as error:
            self._desk.complain(str(error))

    def _save_odometer(self) -> None:
        text = self.odometer.text().replace("km", "").replace(" ", "").strip()
        try:
            self._desk.set(odometer_km=number(text) if text else None)
        except ValueError as error:
            self._desk.complain(f"odometer: {error}")

    def _keep_sighting(self, entry: object) -> None:
        changed = self.sighting.number
        if self._desk.keep("sightings", entry, changed):
            if changed is not None:
                self.sighting.done()
            else:
                self.sighting.open()  # the next one, in the same modes

    def _change_sighting(self, number: int) -> None:
        case = self._desk.case
        if case is not None:
            self.sighting.open(case.sightings[number], number)

    def _keep_provocation(self, entry: object) -> None:
        if self._desk.keep("provocations", entry, self.provocation.number):
            self.provocation.done()

    def _change_provocation(self, number: int) -> None:
        case = self._desk.case
        if case is not None:
            self.provocation.open(case.provocations[number], number)

    def _open_fact(self) -> None:
        if self._desk.session is not None:
            self.joint.offer(joint_words(self._desk.session))
        self.joint.set_value("")
        self.fact.set_value(None)
        self._fact_entry.show()
        self.joint.setFocus()

    def _keep_fact(self, fact: str) -> None:
        joint, session = self.joint.value, self._desk.session
        self.fact.set_value(None)
        if session is None or not joint:
            return
        if fact in ("disturbed", "found_good"):
            kept = self._desk.keep("disturbed" if fact == "disturbed" else "found_good", joint)
        else:
            kept = self._desk.apply(lambda: case_edits.say_maker(session.harness, joint, fact))
        if kept:
            self._fact_entry.hide()
            self.add_fact.setFocus()

    def _forget_fact(self, number: int) -> None:
        _, what, at = self._known()[number]
        session = self._desk.session
        if what is not None and isinstance(at, int):
            self._desk.take_out(what, at)
        elif session is not None:
            self._desk.apply(lambda: case_edits.say_maker(session.harness, str(at), None))


class _Holder(QWidget):
    """A joint, and what is known of it."""

    def __init__(self, parent: QWidget, joint: Pick, fact: Choice) -> None:
        super().__init__(parent)
        self.setLayout(column(joint, fact, quiet("Press what holds; it is kept at once.", self), gap=5))
        self.hide()


def _show(line: QLineEdit, text: str) -> None:
    """Show a text where nobody types."""
    if not line.hasFocus() and line.text() != text:
        line.setText(text)
        line.setCursorPosition(0)
