"""The meter page: two tips on any two points, volts now and in a clean harness, amperes of a clicked wire."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QStringListModel, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QCompleter,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.base.errors import AddressError
from harness_studio.base.units import show_mohm
from harness_studio.diagram.tips import Tips, point_of
from harness_studio.diagram.words import amperes, millivolts, volts
from harness_studio.drawing import fonts
from harness_studio.session.scheduler import Synchronous

from . import look
from .across_fuse import AcrossFuse
from .leading import Leading

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Hit
    from harness_studio.electrics.meter import MeterReading
    from harness_studio.session.scheduler import Scheduler
    from harness_studio.session.session import Session

PLUS, MINUS = "+", "−"
HINT = "Click a point on the diagram for the + tip, then one for the − tip; or type them. Click a wire for its amperes."
NOWHERE = "No tip goes there: click a terminal, a cavity, a ring, a splice or a body."
CAUTION = "Planning aid. Meter leads back in the volt sockets before a battery is touched; ohms only with power off."


def words_of(found: MeterReading) -> list[str]:
    """Return a reading line by line, the clean one and what nothing would mean included."""
    said = [f"{_volts(found.clean_volts)} in a clean harness"]
    if found.between == "one point":
        return [*said, "Both tips are on one point."]
    if found.between == "a load or a source":
        return [*said, "A load or a source lies between the tips: this is its voltage, not a drop."]
    if found.current_flows:
        flows = f"{amperes(found.amperes or 0.0)} flow between the tips"
        return [*said, f"{flows}: the reading is the drop they cause, and 0.00 V would mean good metal."]
    return [*said, "No current flows between the tips: 0.00 V says nothing about the metal between them."]


def _volts(value: float | None) -> str:
    if value is None:
        return "no reading"
    return volts(value) if abs(value) >= 0.1 or value == 0 else millivolts(value * 1e3)


class MeterPage(QWidget):
    """The page. `moved` carries the tips whenever one was put elsewhere, `kept` + and − of a pair for the casebook."""

    keeps_open = True  # the second tip is seldom in view: finding its place must not end the measuring
    moved = Signal(object)
    kept = Signal(str, str)

    def __init__(self, parent: QWidget | None = None, scheduler: Scheduler | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._network: object = None
        self._next = PLUS
        self._wire: str | None = None
        title, hint, caution = QLabel("Meter", self), QLabel(HINT, self), QLabel(CAUTION, self)
        title.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self.value, self.about, self.wire = QLabel(self), QLabel(self), QLabel(self)
        self.value.setFont(fonts.font(fonts.HEAD_PX * 1.6, fonts.BOLD))
        for label in (hint, caution):
            label.setObjectName("quiet")
            label.setFont(look.small())
        for label in (hint, caution, self.about, self.wire):
            label.setWordWrap(True)
        self._names = QStringListModel(self)
        self.fields: dict[str, QLineEdit] = {}
        grid = QGridLayout()
        for row, (sign, name) in enumerate(((PLUS, "plus tip"), (MINUS, "minus tip"))):
            head, field = QLabel(sign, self), QLineEdit(self)
            head.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
            field.setAccessibleName(name)
            field.setPlaceholderText("point, like W31@GP2")
            completer = QCompleter(self._names, self)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            completer.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
            field.setCompleter(completer)
            field.editingFinished.connect(self._typed)
            grid.addWidget(head, row, 0)
            grid.addWidget(field, row, 1)
            self.fields[sign] = field
        self.swap = QPushButton("Swap the tips", self)
        self.swap.clicked.connect(self._swap)
        self.keep = QPushButton("Keep in the casebook", self)
        self.keep.clicked.connect(self._keep)
        self.leading = Leading(scheduler or Synchronous(), self._read)
        self.across = AcrossFuse(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 16, 18, 16)
        layout.setSpacing(8)
        for widget in (title, hint):
            layout.addWidget(widget)
        layout.addLayout(grid)
        beside = QHBoxLayout()
        for button in (self.swap, self.keep):
            beside.addWidget(button)
        beside.addStretch(1)
        layout.addLayout(beside)
        layout.addSpacing(8)
        shown: tuple[QWidget, ...] = (self.value, self.about, self.across, self.wire)
        for part in shown:
            layout.addWidget(part)
        layout.addStretch(1)
        layout.addWidget(caution)

    @property
    def tips(self) -> Tips:
        """The tips that are put on points of the network."""
        network = self._session.computed.network if self._session is not None else None
        if network is None:
            return ()
        return tuple((s, f.text()) for s, f in self.fields.items() if f.text() in network.index)

    def show_session(self, session: Session) -> None:
        """Read again in the present state of a session; another harness starts without tips."""
        if session is not self._session:
            self._session, self._wire, self._next = session, None, PLUS
            for field in self.fields.values():
                field.clear()
        network = session.computed.network
        if network is not self._network:
            self._network = network
            names = [] if network is None else [n for n in network.index if not n.startswith("~")]
            self._names.setStringList(sorted(names))
        self._read()

    def touch(self, hit: Hit) -> bool:
        """Take a click on a thing of the diagram: a point for the next tip, a wire for its amperes."""
        if self._session is None or self._session.computed.network is None:
            return False
        if hit.kind == "wire":
            self._wire = hit.id
            self._read()
            return True
        point = point_of(self._session.computed.network, hit)
        if point is None:
            self.wire.setText(NOWHERE)
            return True
        self.fields[self._next].setText(point)
        self._next = MINUS if self._next == PLUS else PLUS
        self._put()
        return True

    def _typed(self) -> None:
        self._put()

    def _swap(self) -> None:
        plus, minus = (self.fields[s].text() for s in (PLUS, MINUS))
        self.fields[PLUS].setText(minus)
        self.fields[MINUS].setText(plus)
        self._put()

    def _keep(self) -> None:
        self.kept.emit(*(self.fields[s].text().strip() for s in (PLUS, MINUS)))

    def _put(self) -> None:
        self._read()
        self.moved.emit(self.tips)

    def showEvent(self, event: QShowEvent) -> None:
        """Read what has changed while another page was open."""
        super().showEvent(event)
        self._read()

    def _read(self) -> None:
        if not self.isVisible():
            return  # nobody looks, and a step of the dial should not wait for it
        self.keep.setEnabled(len(self.tips) == 2)
        value, about = self._reading()
        self.value.setText(value)
        self.about.setText(about)
        self.across.show_tips(self._session, *(self.fields[s].text().strip() for s in (PLUS, MINUS)))
        self.wire.setText(self._wire_words())

    def _reading(self) -> tuple[str, str]:
        from harness_studio.electrics.meter import meter

        plus, minus = (self.fields[s].text().strip() for s in (PLUS, MINUS))
        if self._session is None or not plus or not minus:
            return "", ""
        computed = self._session.computed
        if computed.network is None or computed.solution is None or computed.clean_solution is None:
            return "", computed.problem or "Solving."
        try:
            found = meter(computed.network, computed.solution, computed.clean_solution, plus, minus)
        except AddressError as error:
            return "", str(error)
        if found.volts is None:
            return "no reading", "A tip is on a part that nothing else touches."
        said = [self._under_suspect(plus, minus), *words_of(found), self._ohms(plus, minus)]
        return f"{_volts(found.volts)} now", "\n".join(line for line in said if line)

    def _under_suspect(self, plus: str, minus: str) -> str:
        """Return what the tips show under the casebook's leading suspect; nothing where there is none."""
        from harness_studio.electrics.meter import volts_between

        solution = self.leading.solution(self._session) if self._session is not None else None
        if solution is None:
            return ""
        return (
            f"{_volts(volts_between(solution, plus, minus))} under the leading suspect: {self.leading.words}"
        )

    def _ohms(self, plus: str, minus: str) -> str:
        """Return what an ohmmeter tells with the power off."""
        from harness_studio.electrics.meter_ohms import SEEN_OHM, ohms_between

        computed = self._session.computed if self._session is not None else None
        if computed is None or computed.network is None or computed.solution is None:
            return ""
        ohm = ohms_between(computed.network, computed.solution, plus, minus)
        if math.isinf(ohm):
            return "Power off: no metal joins the tips, an ohmmeter sees the loads between them."
        small = " An ohmmeter shows 0.0: this is found by its drop under load." if ohm < SEEN_OHM else ""
        return f"Power off: {show_mohm(ohm)} of metal.{small}"

    def _wire_words(self) -> str:
        solution = self._session.solution if self._session is not None else None
        found = dict(solution.wires()).get(self._wire or "") if solution is not None else None
        if found is None:
            return ""
        return f"{self._wire}: {amperes(found.amperes)}, {millivolts(found.drop_v * 1e3)} lost along it"
