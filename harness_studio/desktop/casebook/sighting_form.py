"""What was seen: the thing, what it did, from which mode to which, how strongly, how often."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from PySide6.QtWidgets import QLabel, QSpinBox, QWidget

from harness_studio.model.cases import SeenChange, Sighting
from harness_studio.session.seeable import picked, seeables

from .choices import Choice
from .forms import Entry, Pick, column, field, quiet, row
from .mode_box import ModeBox

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Hit
    from harness_studio.session.session import Session

HINT = "Click the thing on the diagram or type it, press what it did, Enter."


class SightingForm(Entry):
    """The form. It takes clicks on the diagram while it is open."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("What was seen", self.read, parent)
        self._session: Session | None = None
        self._selected: frozenset[str] = frozenset()
        self.thing = Pick("thing that was seen", "gauge, lamp, motor …", self)
        self.seen = Choice("what it did", [(w, w) for w in get_args(SeenChange)], self)
        self.before, self.after = ModeBox("from mode", self), ModeBox("to mode", self)
        self.strength = Choice(
            "how strongly", [("", "strength not said"), ("slight", "slight"), ("strong", "strong")], self
        )
        self.times, self.of = (_counter(n, self) for n in ("seen so often", "of so many times"))
        self.note = field("note", "note", self)
        layout = column(
            quiet(HINT, self), self.thing, self.seen, gap=7, margins=(10, 9, 10, 10)
        )  # fmt: skip
        layout.addLayout(row(QLabel("from", self), self.before, stretch=1))
        layout.addLayout(row(QLabel("to", self), self.after, stretch=1))
        layout.addWidget(self.strength)
        layout.addLayout(
            row(QLabel("seen", self), self.times, QLabel("of", self), self.of, self.note, stretch=4)
        )
        layout.addWidget(self.complaint)
        layout.addLayout(row(self.keep_button, self.done_button))
        self.setLayout(layout)

    def show_session(self, session: Session) -> None:
        """Offer what a harness has; what is found meanwhile by its name is taken as a click on it would be."""
        self._session = session
        if self.isHidden():
            return
        self._offer()
        if session.selection != self._selected:
            self._selected = session.selection
            found = [picked(session.harness, session.computed.network, thing) for thing in session.selection]
            if len(found) == 1 and found[0] is not None and not self.thing.value:
                self.thing.set_value(found[0])

    def _offer(self) -> None:
        if self._session is None:
            return
        harness = self._session.harness
        offered = seeables(harness, self._session.computed.network)
        self.thing.offer([(s.address, s.words) for s in offered])
        for box in (self.before, self.after):
            box.offer(harness)

    def open(self, sighting: Sighting | None = None, number: int | None = None) -> None:
        """Open empty, in the present mode, or with what was kept."""
        self.number = number
        self._selected = self._session.selection if self._session is not None else frozenset()
        self._offer()
        present = self._session.mode if self._session is not None else None
        shown = sighting or self._like_the_last(present)
        self.thing.set_value(shown.on)
        self.seen.set_value(shown.seen if sighting is not None else None)
        self.before.set_value(shown.from_mode)
        self.after.set_value(shown.to_mode)
        self.strength.set_value(shown.strength or "")
        self.times.setValue(shown.times[0] if shown.times else 0)
        self.of.setValue(shown.times[1] if shown.times else 0)
        self.note.setText(shown.note or "")
        self.complain("")
        self.show()
        self.thing.setFocus()

    def _like_the_last(self, present: str | None) -> Sighting:
        """Return an empty sighting from and to the modes of the case's last one."""
        session = self._session
        case = session.harness.tables["cases"].get(session.casework.case_id or "") if session else None
        if case is not None and case.sightings:
            return Sighting("", "down", case.sightings[-1].from_mode, case.sightings[-1].to_mode)
        return Sighting("", "down", None, present)

    def touch(self, hit: Hit) -> bool:
        """Take a click on a thing of the diagram; return whether it was one that can be seen to change."""
        session = self._session
        if session is None or self.isHidden():
            return False
        thing = picked(session.harness, session.computed.network, hit.member)
        if thing is None:
            self.complain(
                f"{session.harness.title_of(hit.member)} shows nothing that a person could see change"
            )
            return True
        self.complain("")
        self.thing.set_value(thing)
        return True

    def read(self) -> Sighting:
        """Return the sighting."""
        on, seen = self.thing.value, self.seen.value
        if not on:
            raise ValueError("click the thing that was seen, or take it from the list")
        if self._session is not None and on.partition("/")[0] not in self._session.harness.parts:
            meant = [self.thing.itemText(n) for n in self.thing.meant]
            written = self.thing.currentText().strip()
            raise ValueError(
                f"'{written}' may be {' or '.join(meant)}: take one from the list"
                if meant
                else f"there is no part '{written}' in this harness"
            )
        if seen is None:
            raise ValueError(f"press what {on} did")
        of = self.of.value()
        if self.times.value() > of:
            raise ValueError(f"seen {self.times.value()} times of {of}: the second must not be less")
        return Sighting(
            on, seen, self.before.value, self.after.value, self.strength.value or None,  # type: ignore[arg-type]
            (self.times.value(), of) if of else None, self.note.text().strip() or None,
        )  # fmt: skip


def _counter(name: str, parent: QWidget) -> QSpinBox:
    made = QSpinBox(parent)
    made.setRange(0, 999)
    made.setSpecialValueText("·")
    made.setAccessibleName(name)
    made.setMinimumWidth(52)
    return made
