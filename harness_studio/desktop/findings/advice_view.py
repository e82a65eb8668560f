"""The view of advice: what it is on, what it would do before anything is done, and one step that does it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from harness_studio.desktop.combo import Combo
from harness_studio.drawing import fonts

from .advice import Advised, Question

HINT = (
    "Say on what, and have it worked out: changes are tried on a copy, solved and checked in every mode. What they do "
    "is shown first; nothing is changed until you apply it."
)

APPLIED = "Applied as one step; Ctrl+Z takes it back."


class AdviceView(QWidget):
    """The view. `asked` brings a question, `applied` the advice to carry out, `stopped` ends the work."""

    asked = Signal(object)
    applied = Signal(object)
    stopped = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._advised: Advised | None = None
        self._questions: tuple[Question, ...] = ()
        self._read_only = self._applying = False
        self.head, self.said = QLabel(self), QLabel(self)
        self.head.setFont(fonts.font(fonts.TEXT_PX, fonts.BOLD))
        self.said.setWordWrap(True)
        self.what = Combo(self)
        self.what.setAccessibleName("What advice is wanted on")
        self.what.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.what.setMinimumContentsLength(16)
        self.ask, self.stop = QPushButton("Work it out", self), QPushButton("Stop", self)
        self.apply = QPushButton("Apply as one step", self)
        self.apply.setObjectName("main")
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.text = QTextBrowser(self)
        self.text.setAccessibleName("Advice, before and after")
        self.text.setOpenLinks(False)
        self.ask.clicked.connect(self._ask)
        self.stop.clicked.connect(self.stopped)
        self.apply.clicked.connect(self._apply)
        line, work = QHBoxLayout(), QHBoxLayout()
        line.addWidget(self.what, 1)
        line.addWidget(self.ask)
        work.addWidget(self.bar, 1)
        work.addWidget(self.stop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.head)
        column.addLayout(line)
        column.addLayout(work)
        column.addWidget(self.said)
        column.addWidget(self.text, 1)
        column.addWidget(self.apply)
        self.show_busy(False)

    def offer(self, title: str, questions: Sequence[Question], *, read_only: bool) -> None:
        """Offer what advice can be asked on, the first one at once the chosen one."""
        self._read_only = read_only
        self.head.setText(title)
        if tuple(questions) != self._questions:
            self._questions = tuple(questions)
            self.what.clear()
            for question in questions:
                self.what.addItem(question.words)
            self.show_advice(None)
        if self._advised is None and not self.bar.isVisible():
            self.said.setText(HINT)

    def show_busy(self, busy: bool) -> None:
        """Show that advice is being worked out."""
        self.bar.setVisible(busy)
        self.stop.setVisible(busy)
        self.ask.setEnabled(not busy)
        if busy:
            self.show_advice(None)
            self.said.setText("Trying changes on a copy, solving and checking each …")

    def show_advice(self, advised: Advised | None) -> None:
        """Show advice with what it does, or none."""
        self._advised = advised
        self.said.setText((advised.problem or "") if advised else "")
        self.text.setHtml(advised.html if advised else "")
        able = advised is not None and advised.edit is not None and not self._read_only
        self.apply.setEnabled(able)
        self.apply.setVisible(able)

    def out_of_date(self) -> None:
        """Say that the harness has changed since."""
        if self._advised is not None:
            self.apply.setEnabled(False)
            self.apply.hide()
            self.said.setText(
                APPLIED if self._applying else "The harness has changed since: work it out again."
            )
            self._applying = False

    def _ask(self) -> None:
        if 0 <= self.what.currentIndex() < len(self._questions):
            self.asked.emit(self._questions[self.what.currentIndex()])

    def _apply(self) -> None:
        if self._advised is not None and self._advised.edit is not None:
            self._applying = True
            self.applied.emit(self._advised)
