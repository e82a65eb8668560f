"""One reading: what kind, where the tips stand, the value or its least and greatest, and how far it can be trusted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QWidget

from harness_studio.base.quantities import quantity
from harness_studio.diagram.tips import Tips, point_of
from harness_studio.model.cases import Reading
from harness_studio.session.case_words import KINDS, UNITS, number_words

from .choices import Choice
from .forms import Entry, Pick, column, field, quiet, row
from .mode_box import ModeBox
from .small_forms import day, today

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Hit
    from harness_studio.session.session import Session

SYMPTOM = (("yes", "symptom present"), ("no", "absent"), ("not watched", "not watched"))
HINTS = {
    "volts": "Click two points on the diagram: + tip, then − tip. Enter keeps it.",
    "amperes": "Click the wire that the clamp is round.",
    "ohms": "Power off, battery disconnected. Click two points: + tip, then − tip.",
    "fuse_mv": "Click the fuse; both tips on its test points.",
}


class ReadingForm(Entry):
    """The form. It takes clicks on the diagram while it is open."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Reading", self.read, parent)
        self._session: Session | None = None
        self._network: object = None
        self._next = "plus"
        self._after_mend = False
        self.kind = Choice("kind of reading", list(KINDS.items()), self)
        self.hint = quiet("", self)
        self.plus, self.minus = Pick("plus tip", "point, as GP9", self), Pick("minus tip", "as GB1.31", self)
        self.at = Pick("wire or fuse", "wire or fuse", self)
        self.value, self.over = field("value", "value", self), field("seconds", "s", self)
        self.least, self.greatest = field("least", "least", self), field("greatest", "greatest", self)
        self.unit = QLabel("V", self)
        self.range = QCheckBox("min / max", self)
        self.accuracy = field("accuracy of the meter", "meter: 0.5 % + 2 mV", self)
        self.current = QCheckBox("current confirmed", self)
        self.symptom = Choice("symptom", SYMPTOM, self)
        self.mode = ModeBox("mode", self)
        self.date, self.note = field("date", "date", self), field("note", "note", self)
        self._ends = QWidget(self)
        self._ends.setLayout(row(self.least, QLabel("to", self), self.greatest, self.over, stretch=0))
        self._tips, self._one = QWidget(self), QWidget(self)
        self._tips.setLayout(_pair(QLabel("+", self), self.plus, QLabel("−", self), self.minus))
        self._one.setLayout(row(self.at, stretch=0))
        layout = column(self.kind, self.hint, self._tips, self._one, gap=7, margins=(10, 9, 10, 10))
        layout.addLayout(row(QLabel("in", self), self.mode, stretch=1))
        layout.addLayout(row(self.value, self.unit, self.range, stretch=0))
        layout.addWidget(self._ends)
        layout.addWidget(self.symptom)
        layout.addLayout(row(self.current, self.accuracy, stretch=1))
        layout.addLayout(row(self.date, self.note, stretch=1))
        layout.addWidget(self.complaint)
        layout.addLayout(row(self.keep_button, self.done_button))
        self.setLayout(layout)
        self.date.setFixedWidth(96)
        self.over.setFixedWidth(48)
        self.kind.changed.connect(self._show_kind)
        self.range.toggled.connect(self._show_range)

    def show_session(self, session: Session) -> None:
        """Offer the points, wires and modes of a harness."""
        self._session = session
        self.mode.offer(session.harness)
        network = session.computed.network
        if network is not None and network is not self._network and not self.isHidden():
            self._offer()

    def _offer(self) -> None:
        session = self._session
        if session is None:
            return
        network = self._network = session.computed.network
        points = sorted(n for n in network.index if not n.startswith("~")) if network is not None else []
        for box in (self.plus, self.minus):
            box.offer([(p, p) for p in points])
        fuses = [p.id for p in session.harness.parts.values() if p.kind in ("fuse", "breaker", "link")]
        wanted = fuses if self.kind.value == "fuse_mv" else list(session.harness.wires)
        self.at.offer([(w, session.harness.title_of(w)) for w in wanted])

    def open(self, shown: Reading | None = None, number: int | None = None) -> None:
        """Open for a new reading in the present mode, or with what was kept or proposed."""
        self.number = number
        mode = self._session.mode if self._session is not None else None
        found = shown or Reading("volts", mode, date=today())
        self._after_mend = found.after_mend
        self.kind.set_value(found.kind)
        self._offer()
        self.plus.set_value(found.plus or "")
        self.minus.set_value(found.minus or "")
        self.at.set_value(found.at or "")
        self._next = "plus" if not found.plus else "minus" if not found.minus else "plus"
        for line, value in (
            (self.value, found.value), (self.least, found.least), (self.greatest, found.greatest),
            (self.over, found.over_s), (self.accuracy, found.accuracy),
        ):  # fmt: skip
            line.setText(number_words(value) if value is not None else "")
        self.range.setChecked(found.value is None and (found.least, found.greatest) != (None, None))
        self.current.setChecked(found.current_confirmed)
        self.symptom.set_value(found.symptom_present)
        self.mode.set_value(found.mode)
        self.date.setText(found.date or ("" if number is not None else today()))
        self.note.setText(found.note or "")
        self.complain("")
        self._show_kind()
        self._show_range()
        self.show()
        filled = (found.plus and found.minus) or found.at
        (self.value if filled else self.plus if found.kind in ("volts", "ohms") else self.at).setFocus()

    @property
    def tips(self) -> Tips:
        """The tips that are entered."""
        if self.isHidden() or self.kind.value not in ("volts", "ohms"):
            return ()
        entered = (("+", self.plus.value), ("−", self.minus.value))
        return tuple((sign, point) for sign, point in entered if point)

    def touch(self, hit: Hit) -> bool:
        """Take a click: a point for the next tip, a wire, a fuse."""
        session = self._session
        if session is None or self.isHidden():
            return False
        self.complain("")
        if self.kind.value in ("amperes", "fuse_mv"):
            right = hit.kind == "wire" if self.kind.value == "amperes" else hit.kind != "wire"
            if right:
                self.at.set_value(hit.member)
            else:
                self.complain(HINTS[self.kind.value])
            return True
        network = session.computed.network
        point = point_of(network, hit) if network is not None else None
        if point is None:
            self.complain(
                "nothing there can be touched: take a terminal, a ring, a stud, a fuse top or bare metal"
            )
            return True
        (self.plus if self._next == "plus" else self.minus).set_value(point)
        self._next = "minus" if self._next == "plus" else "plus"
        if self.plus.value and self.minus.value:
            self.value.setFocus()
        return True

    def read(self) -> Reading:
        """Return the reading; one without a value is kept for later."""
        kind = self.kind.value or "volts"
        unit = UNITS[kind]
        tips, ranged = kind in ("volts", "ohms"), self.range.isChecked()
        accuracy = _value(self.accuracy.text(), unit, "accuracy")
        over = _value(self.over.text(), "s", "time") if ranged else None
        if over is not None and over <= 0:
            raise ValueError("the time of a least and greatest must be above 0 s")
        least = _value(self.least.text(), unit, "least") if ranged else None
        greatest = _value(self.greatest.text(), unit, "greatest") if ranged else None
        if least is not None and greatest is not None and least > greatest:
            raise ValueError(f"least {self.least.text()} is above greatest {self.greatest.text()}")
        return Reading(
            kind, self.mode.value,  # type: ignore[arg-type]
            plus=(self.plus.value or None) if tips else None,
            minus=(self.minus.value or None) if tips else None,
            at=None if tips else self.at.value or None,
            value=None if ranged else _value(self.value.text(), unit, "value"),
            least=least, greatest=greatest, over_s=over, accuracy=accuracy,
            current_confirmed=self.current.isChecked(),
            symptom_present=self.symptom.value or "not watched",  # type: ignore[arg-type]
            date=day(self.date.text()), note=self.note.text().strip() or None, after_mend=self._after_mend,
        )  # fmt: skip

    def _show_kind(self, _: str = "") -> None:
        kind = self.kind.value or "volts"
        tips = kind in ("volts", "ohms")
        self._tips.setVisible(tips)
        self._one.setVisible(not tips)
        self.unit.setText(UNITS[kind])
        self.hint.setText(HINTS[kind])
        self._offer()

    def _show_range(self, _: bool = False) -> None:
        self.value.setVisible(not self.range.isChecked())
        self._ends.setVisible(self.range.isChecked())


def _pair(*widgets: QWidget) -> QHBoxLayout:
    layout = row(*widgets)
    for number in (1, 3):
        layout.setStretch(number, 1)
    layout.setStretch(4, 0)
    return layout


def _value(text: str, unit: str, name: str) -> float | None:
    text = text.strip()
    if not text:
        return None
    if unit == "s":
        from harness_studio.base.units import number

        return number(text.removesuffix("s").strip())
    try:
        value = quantity(text, unit)
    except ValueError as error:
        raise ValueError(f"{name}: {error}") from None
    if name == "accuracy" and value < 0:
        raise ValueError(
            f"accuracy: {text} is below zero; write what the meter may be off, or leave it empty"
        )
    return value
