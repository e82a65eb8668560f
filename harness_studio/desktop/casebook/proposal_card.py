"""A reading to take next: tips, mode, reach, what each leading group expects, and the caution that applies."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QEnterEvent, QFocusEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QWidget

from harness_studio.drawing import fonts
from harness_studio.model.harness import Harness
from harness_studio.session.case_words import mode_words, thing_words, tips_words

from .forms import column, plain, quiet, row
from .suspect_words import reading

if TYPE_CHECKING:
    from harness_studio.casebook.next_reading import Proposal
    from harness_studio.casebook.provoke import Provoke


class ProposalCard(QFrame):
    """The card. `looked_at` carries the proposal while the pointer or the keys are on it, None when they leave.

    `measured` and `shown` carry it when a button is pressed.
    """

    looked_at = Signal(object)
    measured = Signal(object)
    shown = Signal(object)

    def __init__(
        self, harness: Harness, proposal: Proposal, ranks: Mapping[str, int], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.proposal = proposal
        self.setObjectName("proof")
        tips = plain(f"+ {proposal.plus}   − {proposal.minus}", self, strong=True)
        where = " · ".join(w for w in (mode_words(harness, proposal.mode), proposal.reach) if w)
        self.expected = QGridLayout()
        self.expected.setHorizontalSpacing(12)
        self.expected.setVerticalSpacing(0)
        self.cells = self._cells(ranks)
        for at, (name, value) in enumerate(self.cells):
            head, shown = quiet(name, self), QLabel(value, self)
            head.setWordWrap(False)
            shown.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
            self.expected.addWidget(head, 2 * (at // 4), at % 4, Qt.AlignmentFlag.AlignLeft)
            self.expected.addWidget(shown, 2 * (at // 4) + 1, at % 4, Qt.AlignmentFlag.AlignLeft)
        self.expected.setColumnStretch(4, 1)
        self.button = _Watched("I measured …", self)
        self.button.watched.connect(lambda on: self.looked_at.emit(self.proposal if on else None))
        self.button.clicked.connect(lambda _=False: self.measured.emit(self.proposal))
        said = ", ".join(f"{name} {value}" for name, value in self.cells)
        self.button.setAccessibleName(f"I measured {proposal.plus} to {proposal.minus}, {where}; {said}")
        self.caution = quiet("", self)
        self.caution.hide()
        self.on = quiet(tips_words(harness, proposal.plus, proposal.minus), self)
        self.on.setVisible(bool(self.on.text()))
        layout = column(tips, self.on, quiet(where, self), gap=3, margins=(12, 8, 12, 9))
        layout.addLayout(self.expected)
        layout.addWidget(self.caution)
        self.show_button = _Watched("Show where", self)
        self.show_button.setObjectName("word")
        self.show_button.watched.connect(lambda on: self.looked_at.emit(self.proposal if on else None))
        self.show_button.clicked.connect(lambda _=False: self.shown.emit(self.proposal))
        self.show_button.setAccessibleName(f"Show where {proposal.plus} and {proposal.minus} are")
        layout.addLayout(row(self.button, self.show_button))
        self.setLayout(layout)

    def warn(self, what: str) -> None:
        """Show the caution that applies to this reading and not to those above."""
        self.caution.setText(what)
        self.caution.setVisible(bool(what))

    def _cells(self, ranks: Mapping[str, int]) -> list[tuple[str, str]]:
        known = [(ranks[j], j, v) for j, v in self.proposal.expected.items() if j in ranks]
        cells = [(f"if {rank} · {joint}", reading(v)) for rank, joint, v in sorted(known)[:3]]
        return [*cells, ("if none fits", reading(self.proposal.if_none_fits))]

    def enterEvent(self, event: QEnterEvent) -> None:
        """Show the tips."""
        self.looked_at.emit(self.proposal)

    def leaveEvent(self, event: QEvent) -> None:
        """Take the tips away."""
        self.looked_at.emit(None)


class ProvokeCard(QFrame):
    """Something to try on the joint, and what to watch meanwhile. `done` carries it when it was done."""

    done = Signal(object)

    def __init__(self, harness: Harness, provocation: Provoke, parent: QWidget) -> None:
        super().__init__(parent)
        self.provocation = provocation
        self.setObjectName("proof")
        part = provocation.watch.partition("/")[0]
        watch = thing_words(harness, provocation.watch) if part in harness.parts else provocation.watch
        self.words = plain(f"{to_do(provocation)}, and watch {watch}", self, strong=True)
        self.button = QPushButton("I tried it …", self)
        self.button.clicked.connect(lambda _=False: self.done.emit(self.provocation))
        self.button.setAccessibleName(f"I tried it: {self.words.text()}")
        layout = column(self.words, gap=5, margins=(12, 8, 12, 9))
        layout.addLayout(row(self.button))
        self.setLayout(layout)


DOING = {
    "wiggle": "Wiggle {at}", "push": "Push {at}", "heat": "Warm {at}", "cold": "Cool {at}", "wet": "Wet {at}",
    "bump": "Drive over a bump", "steering lock": "Steer from lock to lock", "hinge": "Move the hinge at {at}",
}  # fmt: skip


def to_do(provocation: Provoke) -> str:
    """Return what to do, as one says it."""
    return DOING.get(provocation.means, "{means} at {at}").format(means=provocation.means, at=provocation.at)


class _Watched(QPushButton):
    """A button that tells when the keys come to it and leave it."""

    watched = Signal(bool)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.watched.emit(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.watched.emit(False)
