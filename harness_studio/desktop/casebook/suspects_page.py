"""Suspects and the next reading: groups by rank, why, what they explain, and what to measure now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QGridLayout, QLabel, QListView, QProgressBar, QPushButton, QWidget

from harness_studio.desktop import look
from harness_studio.session.case_words import CAUTION

from . import suspect_words as words
from .columns import conclusion
from .desk import Desk
from .forms import button, column, heading, plain, quiet, row
from .group_rows import RANK, SUB, SURE, WORD, GroupRows
from .proposal_card import ProposalCard, ProvokeCard

if TYPE_CHECKING:
    from harness_studio.casebook.summary import Suspect
    from harness_studio.session.session import Session
    from harness_studio.session.study import Answer

NOTHING = "Keep what was seen, or a reading: then every joint and wire is held against it."
STOPPED = "Stopped: what stands below is from before the last entry."
STOPPED_EARLY = "Stopped: the suspects are weighed, the next reading is not worked out."
OWED, NOT_FOUND = "Measure next: still being worked out", "Measure next: not worked out"
ROW_PX = 44
SHOWN = 4


class SuspectsPage(QWidget):
    """The page.

    `picked` and `mend` carry a group, `looked_at`, `measured` and `shown` a proposal, `provoked` a provocation.
    """

    picked = Signal(object)
    looked_at = Signal(object)
    measured = Signal(object)
    shown = Signal(object)
    provoked = Signal(object)
    mend = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._shown: Answer | None = None
        self._per_cent = False
        self.argued = plain("", self)
        self.stage, self.bar = quiet("", self), QProgressBar(self)
        self.bar.setTextVisible(False)
        self.bar.setRange(0, 100)
        self.bar.setFixedHeight(6)
        self.bar.setAccessibleName("Progress of the suspects")
        self.cancel = button("Stop", self._cancel, self)
        self.again = button("Go on", self._again, self)
        self.verdict = plain("", self, strong=True)
        self.per_cent = button("in per cent", self._turn, self, "word")
        self.per_cent.setCheckable(True)
        self._model = QStandardItemModel(self)
        self.list = QListView(self)
        self.list.setModel(self._model)
        self.list.setItemDelegate(GroupRows(self.list))
        self.list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.list.setAccessibleName("Suspects")
        self.list.clicked.connect(self._pressed)
        self.list.activated.connect(self._pressed)
        self.list.selectionModel().currentChanged.connect(self._came_to)
        self.none_fits, self.detail = quiet("", self), Detail(self)
        self.mend_button = button("Mend this …", self._mend, self)
        self._suspects_head, self._next_head = heading("Suspects", self), heading("Measure next", self)
        self.caution = quiet(CAUTION, self)
        self.cards: list[ProposalCard] = []
        self.provoke_cards: list[ProvokeCard] = []
        self.empty = quiet(NOTHING, self)
        self._build()

    def _build(self) -> None:
        layout = self._column = column(self.empty, self.argued, margins=(18, 8, 18, 14))
        self._work = QWidget(self)
        self._work.setLayout(column(self.stage, self.bar, gap=3))
        bar = row(self._work, self.cancel, self.again, stretch=0)
        layout.addLayout(bar)
        layout.addWidget(self.verdict)
        layout.addLayout(row(self._suspects_head, self.per_cent))
        for widget in (self.list, self.none_fits, self.detail):
            layout.addWidget(widget)
        layout.addLayout(row(self.mend_button))
        layout.addSpacing(6)
        layout.addWidget(self._next_head)
        layout.addWidget(self.caution)
        self._cards = column(gap=6)
        layout.addLayout(self._cards)
        layout.addStretch(1)
        self.setLayout(layout)

    # What is shown ---------------------------------------------------------------------------------------------------

    def show_session(self, session: Session) -> None:
        """Show the answer of the open case, and how far the next one is."""
        work = session.casework
        self._show_progress(session)
        answer = work.answer
        self.empty.setVisible(answer is None and not work.busy)
        self.argued.setVisible(bool(answer is not None and answer.argument and answer.argument.changed))
        if answer is not None and answer.argument is not None and answer.argument.changed:
            self.argued.setText(conclusion(answer.argument))
        if answer is self._shown:
            self._tell_next(session)
            return
        self._shown = answer
        self._fill(session)

    def _show_progress(self, session: Session) -> None:
        work = session.casework
        at = work.progress
        self._work.setVisible(work.busy or work.stopped)
        self.bar.setVisible(work.busy)
        self.cancel.setVisible(work.busy)
        self.again.setVisible(work.stopped)
        if at is not None:
            self.stage.setText(f"{at.words} …")
            self.bar.setValue(round(at.part * 100))
        elif work.busy:
            self.stage.setText("Waiting for the entries to pause")
            self.bar.setValue(0)
        elif work.stopped:
            owed = work.answer is not None and work.answer.pending and not work.stale
            self.stage.setText(STOPPED_EARLY if owed else STOPPED)

    def _fill(self, session: Session) -> None:
        answer = self._shown
        groups = answer.suspects if answer is not None else ()
        titles = [words.title(session.harness, group) for group in groups]
        kept = self._kept_row(titles)
        self._model.clear()
        for rank, (group, title) in enumerate(zip(groups, titles, strict=True), 1):
            item = QStandardItem(title)
            sure = words.sure_words(group, in_per_cent=self._per_cent)
            item.setData(words.second_line(group), SUB)
            item.setData(sure, SURE)
            item.setData(rank, RANK)
            item.setData(group.word, WORD)
            said = f"{rank}: {title}, {sure}, {words.second_line(group)}"
            item.setAccessibleText(said)
            item.setToolTip(said)
            self._model.appendRow(item)
        self.list.setFixedHeight(ROW_PX * min(SHOWN, len(groups)) + 4)
        for widget in (self.list, self._suspects_head, self.per_cent, self.detail, self.mend_button):
            widget.setVisible(bool(groups))
        self._tell_verdict(answer)
        self._show_cards(session)
        if groups:
            self.list.setCurrentIndex(self._model.index(kept, 0))
        self._tell_detail()

    def _kept_row(self, titles: Sequence[str]) -> int:
        """Return the row that the keys are on if the same suspects stand there already, else the first."""
        before = [self._model.item(n).text() for n in range(self._model.rowCount())]
        return max(0, self.list.currentIndex().row()) if before == titles else 0

    def _tell_verdict(self, answer: Answer | None) -> None:
        said = ""
        if answer is not None:
            said = f"Not computed: {answer.problem}" if answer.problem else words.verdict(answer)
        self.verdict.setText(said)
        self.verdict.setVisible(bool(said))
        fits = answer.none_fits if answer is not None else 0.0
        sure = f"{fits * 100:.0f} %" if self._per_cent else words_of(fits)
        self.none_fits.setText(f"None of these fits: {sure}")
        self.none_fits.setVisible(bool(answer is not None and answer.suspects))

    def _show_cards(self, session: Session) -> None:
        self.looked_at.emit(None)
        for old in (*self.cards, *self.provoke_cards):
            self._cards.removeWidget(old)
            old.hide()
            old.deleteLater()
        answer = self._shown
        ranks = {g.joint: n for n, g in enumerate(answer.suspects, 1)} if answer is not None else {}
        proposals = answer.proposals if answer is not None else ()
        self.cards = [ProposalCard(session.harness, p, ranks, self) for p in proposals]
        told: set[str] = set()
        for card in self.cards:
            caution = card.proposal.caution
            card.warn("" if caution in told else caution)
            told.add(caution)
            card.looked_at.connect(self.looked_at)
            card.measured.connect(self.measured)
            card.shown.connect(self.shown)
            self._cards.addWidget(card)
            card.show()
        provocations = answer.provocations if answer is not None else ()
        self.provoke_cards = [ProvokeCard(session.harness, p, self) for p in provocations]
        for other in self.provoke_cards:
            other.done.connect(self.provoked)
            self._cards.addWidget(other)
            other.show()
        self.caution.setVisible(bool(self.cards))
        self._tell_next(session)

    def _tell_next(self, session: Session) -> None:
        answer = self._shown
        done = answer is not None and bool(answer.suspects)
        self._next_head.setVisible(done)
        if done and answer is not None:
            self._next_head.setText(
                (OWED if session.casework.busy else NOT_FOUND) if answer.pending else
                "Measure next" if answer.proposals and not answer.stop else
                "If you want to be surer still" if answer.proposals else
                "Try next" if answer.provocations else "No further reading tells more"
            )  # fmt: skip

    @property
    def current(self) -> Suspect | None:
        """The group that the keys are on."""
        at = self.list.currentIndex().row()
        groups = self._shown.suspects if self._shown is not None else ()
        return groups[at] if 0 <= at < len(groups) else None

    def _tell_detail(self) -> None:
        group, answer = self.current, self._shown
        if group is None or answer is None or self._desk.session is None:
            self.detail.show_lines([])
            return
        foresees = words.predicts(self._desk.session.harness, group, answer.proposals)
        self.detail.show_lines(
            [
                ("why", words.why(group, answer.argument)),
                ("when", "comes and goes" if group.joint in answer.comes_and_goes else ""),
                ("explains", "\n".join(group.explains)),
                ("does not explain", "\n".join(group.misses)),
                ("predicts", "\n".join(foresees)),
            ]
        )

    # The hand --------------------------------------------------------------------------------------------------------

    def buttons(self) -> list[QPushButton]:
        """Return the 'I measured' buttons."""
        return [card.button for card in self.cards]

    def _pressed(self, _: QModelIndex) -> None:
        if self.current is not None:
            self.picked.emit(self.current)

    def _came_to(self, index: QModelIndex, _: QModelIndex) -> None:
        self.list.selectionModel().select(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._tell_detail()
        if self.list.hasFocus() and self.current is not None:
            self.picked.emit(self.current)

    def _mend(self) -> None:
        if self.current is not None:
            self.mend.emit(self.current)

    def _turn(self) -> None:
        self._per_cent = self.per_cent.isChecked()
        if self._desk.session is not None:
            self._fill(self._desk.session)

    def _cancel(self) -> None:
        if self._desk.session is not None:
            self._desk.session.casework.cancel()
            self.again.setFocus(Qt.FocusReason.OtherFocusReason)

    def _again(self) -> None:
        if self._desk.session is not None:
            self._desk.session.casework.again(self._desk.session.harness)


class Detail(QWidget):
    """What is said of one group: name beside text, a line each; what is empty is left out."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("About the suspect")
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 2, 0, 2)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(3)
        self._grid.setColumnStretch(1, 1)
        self._rows: list[tuple[QLabel, QLabel]] = []

    @property
    def text(self) -> str:
        """All that is shown."""
        return "\n".join(f"{n.text()}: {t.text()}" for n, t in self._rows if not t.isHidden())

    def show_lines(self, lines: Sequence[tuple[str, str]]) -> None:
        """Show (name, text)."""
        while len(self._rows) < len(lines):
            name, text = quiet("", self), plain("", self)
            text.setFont(look.small())
            self._grid.addWidget(name, len(self._rows), 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(text, len(self._rows), 1)
            self._rows.append((name, text))
        for number, (name, text) in enumerate(self._rows):
            said = lines[number] if number < len(lines) else ("", "")
            name.setText(said[0])
            text.setText(said[1])
            for label in (name, text):
                label.setVisible(bool(said[1]))


def words_of(part: float) -> str:
    """Return a probability in a word."""
    return "likely" if part >= 0.5 else "possible" if part >= 0.05 else "unlikely"
