"""What the page of findings holds: counts and progress, filters, the list, the chosen one's card; advice and limits."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from harness_studio.checks.cautions import CAUTIONS, PLANNING
from harness_studio.checks.finding import Finding
from harness_studio.checks.gone import ACCEPTED_GONE
from harness_studio.desktop import look
from harness_studio.drawing.theme import Theme
from harness_studio.model.harness import Harness
from harness_studio.session.checking import Checking

from .advice_view import AdviceView
from .card import Card
from .limits_view import LimitsView
from .list import FindingList
from .rows import KINDS, rows_of
from .words import summary

LIST, SIZES, GROUNDS, LIMITS = "list", "size", "ground", "limits"
VIEWS = {LIST: "Findings", SIZES: "Sizes", GROUNDS: "Grounds", LIMITS: "Limits"}


class Body(QWidget):
    """The page's inside. `chosen` tells a finding, `turned` the view that was opened."""

    chosen = Signal(object)
    turned = Signal(str)
    stopped = Signal()
    again = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._harness: Harness | None = None
        self._findings: tuple[Finding, ...] = ()
        self._key: str | None = None
        self._read_only = False
        self.said = QLabel(self)
        self.bar, self.stop = QProgressBar(self), QPushButton("Stop", self)
        self.words = QLineEdit(self)
        self.kinds = {kind: QPushButton(kind, self) for kind in KINDS}
        self.views = {name: QPushButton(title, self) for name, title in VIEWS.items()}
        self.list, self.card = FindingList(self), Card(self)
        self.advice = {SIZES: AdviceView(self), GROUNDS: AdviceView(self)}
        self.limits = LimitsView(self)
        self._stack = QStackedWidget(self)
        self._dress()
        self._lay_out()
        self.words.textChanged.connect(self._fill)
        for button in self.kinds.values():
            button.toggled.connect(self._fill)
        for name, button in self.views.items():
            button.clicked.connect(lambda _=False, n=name: self.turn(n))
        self.list.chosen.connect(self._choose)
        self.list.entered.connect(lambda _: self.card.give_keys())
        self.stop.clicked.connect(self._stop)
        self.show_progress(None)
        self._show_card(None)
        self.turn(LIST)

    def _dress(self) -> None:
        self.said.setFont(look.small())
        self.said.setWordWrap(True)
        self.words.setPlaceholderText("words, ids or rules, as in: GP9 drop")
        self.words.setAccessibleName("Show only findings with these words")
        self.words.setClearButtonEnabled(True)
        self.bar.setRange(0, 100)
        self.bar.setTextVisible(False)
        self.bar.setFixedHeight(8)
        for kind, button in self.kinds.items():
            button.setObjectName("word")
            button.setCheckable(True)
            button.setChecked(True)
            button.setFont(look.small())
            button.setAccessibleName(f"Show findings: {kind}")
        group = QButtonGroup(self)
        for name, button in self.views.items():
            button.setObjectName("word")
            button.setCheckable(True)
            button.setFont(look.small())
            button.setAccessibleName(f"View: {VIEWS[name]}")
            group.addButton(button)

    def _lay_out(self) -> None:
        top, views = QHBoxLayout(), QHBoxLayout()
        for button in self.views.values():
            views.addWidget(button)
        views.addStretch(1)
        top.addWidget(self.bar, 1)
        top.addWidget(self.stop)
        listing = self._listing()
        for widget in (listing, self.advice[SIZES], self.advice[GROUNDS], self.limits):
            self._stack.addWidget(widget)
        caution = QLabel(PLANNING, self)
        caution.setObjectName("quiet")
        caution.setFont(look.small())
        caution.setWordWrap(True)
        caution.setToolTip("\n".join(CAUTIONS))
        caution.setAccessibleDescription(" ".join(CAUTIONS))
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(6)
        page.addWidget(self.said)
        page.addLayout(top)
        page.addLayout(views)
        page.addWidget(self._stack, 1)
        page.addWidget(caution)

    def _listing(self) -> QWidget:
        listing, kinds = QWidget(self), QHBoxLayout()
        for button in self.kinds.values():
            kinds.addWidget(button)
        kinds.addStretch(1)
        split = QSplitter(Qt.Orientation.Vertical, listing)
        split.setChildrenCollapsible(False)
        split.addWidget(self.list)
        split.addWidget(self.card)
        split.setSizes([320, 300])
        column = QVBoxLayout(listing)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.words)
        column.addLayout(kinds)
        column.addWidget(split, 1)
        return listing

    # Showing ---------------------------------------------------------------------------------------------------------

    def show_checking(self, checking: Checking, harness: Harness, *, read_only: bool) -> None:
        """Show what the checks found, and how far they are."""
        self._read_only = read_only
        self.show_progress(checking)
        latest = checking.latest
        self.said.setText(_said(checking))
        if latest is not None and (latest.findings is not self._findings or harness is not self._harness):
            self._harness, self._findings = harness, latest.findings
            self._fill()
        elif latest is None and self._findings:
            self._findings = ()
            self._fill()
        if latest is not None:
            self.limits.show_limits(latest.scope.limits, read_only=read_only)

    def show_progress(self, checking: Checking | None) -> None:
        """Show how far the check is; a check that was stopped can be taken up again."""
        progress = checking.progress if checking else None
        stopped = checking is not None and checking.stopped
        self.bar.setVisible(progress is not None)
        self.stop.setVisible(progress is not None or stopped)
        self.stop.setText("Check again" if stopped else "Stop")
        if progress is not None:
            self.bar.setValue(round(progress.part * 100))

    def _stop(self) -> None:
        (self.again if self.stop.text() == "Check again" else self.stopped).emit()

    def _fill(self) -> None:
        harness = self._harness
        kinds = [kind for kind, button in self.kinds.items() if button.isChecked()]
        counts = dict.fromkeys(KINDS, 0)
        for found in self._findings:
            counts["accepted" if found.accepted is not None else found.grade] += 1
        for kind, button in self.kinds.items():
            button.setText(f"{kind} {counts[kind]}")
        rows = rows_of(harness, self._findings, self.words.text(), kinds) if harness is not None else []
        self.list.show_rows(rows, self._key)
        self._show_card(self.current)

    @property
    def current(self) -> Finding | None:
        """The chosen finding, as it is now; None where it is gone."""
        return next((f for f in self._findings if f.key == self._key), None)

    def _choose(self, found: Finding) -> None:
        self._key = found.key
        self._show_card(found)
        self.chosen.emit(found)

    def _show_card(self, found: Finding | None) -> None:
        gone = [f.ids[0] for f in self._findings if f.rule == ACCEPTED_GONE]
        modes = self._harness.modes if self._harness is not None else {}
        self.card.show_finding(found, modes, read_only=self._read_only, gone=gone)

    def point_out(self, key: str) -> None:
        """Make a finding the current one without going to it on the diagram, if it is listed."""
        if self.list.point_out(key):
            self._key = key
            self._show_card(self.current)

    def turn(self, name: str) -> None:
        """Open a view."""
        self._stack.setCurrentIndex(list(VIEWS).index(name))
        self.views[name].setChecked(True)
        self.turned.emit(name)

    @property
    def view(self) -> str:
        """The open view."""
        return list(VIEWS)[self._stack.currentIndex()]

    def give_keys(self) -> None:
        """Give the keys to the list."""
        self.turn(LIST)
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.list.set_theme(theme)


def _said(checking: Checking) -> str:
    if checking.problem is not None:
        return f"not checked: {checking.problem}"
    if checking.progress is not None:
        return f"{checking.progress.words} …"
    if checking.latest is None:
        return "stopped" if checking.stopped else "nothing checked yet"
    scope = checking.latest.scope
    modes = len(scope.states)
    where = f"{modes} {'modes' if modes != 1 else 'mode'}, {scope.limits.title}, ampacity by {scope.how}"
    state = "stopped; of an earlier state: " if checking.stopped else ""
    return f"{state}{summary(checking.latest.counts())} · {where}"
