"""The page of two modes: the present one and another, side by side, only what differs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from harness_studio.desktop import look
from harness_studio.desktop.combo import Combo
from harness_studio.desktop.same import same
from harness_studio.diagram.words import signed
from harness_studio.drawing import fonts
from harness_studio.session.attempt import attempt

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.electrics.mode_changes import Differs, ModeChanges
    from harness_studio.session.scheduler import Scheduler
    from harness_studio.session.session import Session

THING = Qt.ItemDataRole.UserRole
KINDS = {"set": "Set", "reading": "Readings", "state": "States", "ground": "Grounds", "fuse": "Fuses"}


class TwoModes(QWidget):
    """The page. `picked` carries the thing of a row that was pressed, `wanted` a mode to go to."""

    title = "Two modes"
    keeps_open = True
    picked = Signal(str)
    wanted = Signal(str)

    def __init__(self, scheduler: Scheduler, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scheduler = scheduler
        self._session: Session | None = None
        self._names: tuple[tuple[str, str], ...] = ()
        self._state: tuple[object, ...] = ()
        self._generation = 0
        self.found: ModeChanges | None = None
        head = QLabel("Two modes, what differs", self)
        head.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self.present, self.said = QLabel(self), QLabel(self)
        for label in (self.present, self.said):
            label.setWordWrap(True)
        self.said.setObjectName("quiet")
        self.said.setFont(look.small())
        self.choice = Combo(self)
        self.choice.setAccessibleName("The other mode")
        self.choice.currentIndexChanged.connect(lambda _: self._refresh())
        self.swap = QPushButton("Go to the other mode", self)
        self.swap.clicked.connect(self._go)
        self._model = QStandardItemModel(self)
        self.table = QTableView(self)
        self.table.setModel(self._model)
        self.table.setAccessibleName("What differs between the two modes")
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        self.table.setWordWrap(False)
        self.table.setFont(fonts.font(fonts.SMALL_PX + 1))
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(23)
        self.table.horizontalHeader().setFont(fonts.font(fonts.SMALL_PX + 1, fonts.STRONG))
        self.table.clicked.connect(self._pressed)
        self.table.activated.connect(self._pressed)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 16, 18, 16)
        layout.setSpacing(8)
        for widget in (head, self.present, self.choice, self.said):
            layout.addWidget(widget)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.swap, 0, Qt.AlignmentFlag.AlignLeft)

    def _go(self, _: bool = False) -> None:
        if self.other is not None:
            self.wanted.emit(self.other)

    @property
    def other(self) -> str | None:
        """Id of the other mode."""
        return self.choice.currentData()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme: the style sheet does."""

    def show_session(self, session: Session) -> None:
        """Compare with the mode that is computed now; the other one stays what it is where it can."""
        self._session = session
        modes = session.harness.modes
        names = tuple((m.id, m.title or m.id) for m in modes.values() if m.id != session.mode)
        if names != self._names:
            kept = self.other
            self._names = names
            self.choice.blockSignals(True)
            self.choice.clear()
            for mode, title in names:
                self.choice.addItem(title, mode)
            if kept is not None and self.choice.findData(kept) >= 0:
                self.choice.setCurrentIndex(self.choice.findData(kept))
            self.choice.blockSignals(False)
        self._refresh()

    def _refresh(self) -> None:
        session = self._session
        if session is None:
            return
        mode, other = session.mode, self.other
        titled = session.harness.modes.get(mode or "")
        self.present.setText(f"{titled.title or titled.id} (now), against" if titled is not None else "")
        self.choice.setEnabled(bool(self._names))
        self.swap.setEnabled(other is not None)
        if other is None:
            self._put(None, "This harness has no second mode.")
            return
        state = (mode, other, session.solution)
        if same(self._state, state) or session.solution is None:
            return
        self._state = state
        self._generation += 1
        generation, harness, solution = self._generation, session.harness.snapshot(), session.solution
        overrides = session.overrides
        self._put(None, "Solving.")

        def work() -> ModeChanges:
            from harness_studio.electrics.mode_changes import mode_changes

            return mode_changes(harness, mode, other, overrides, solution)

        def arrived(found: ModeChanges | None, problem: str | None) -> None:
            if generation == self._generation:
                self._put(found, f"Not solved: {problem}" if problem else "")

        self._scheduler.run(lambda: attempt("comparing two modes", work), lambda result: arrived(*result))

    def _put(self, found: ModeChanges | None, said: str) -> None:
        self.found = found
        self._model.clear()
        if found is not None:
            said = "Nothing differs." if not found.rows else "What is alike is left out."
            self._fill(found.rows)
        self.said.setText(said)

    def _fill(self, rows: Sequence[Differs]) -> None:
        assert self._session is not None
        self._model.setHorizontalHeaderLabels(["", "now", "other"])
        for kind, words in KINDS.items():
            some = [row for row in rows if row.what == kind]
            if not some:
                continue
            head = QStandardItem(words)
            head.setFont(fonts.font(fonts.SMALL_PX + 1, fonts.STRONG))
            self._model.appendRow([head, QStandardItem(""), QStandardItem("")])
            for row in some:
                items = [QStandardItem(t) for t in (_named(self._session, row), _shown(row.first, row.unit),
                                                     _shown(row.second, row.unit))]  # fmt: skip
                for column, item in enumerate(items):
                    item.setData(row.thing, THING)
                    if column:
                        item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                items[0].setToolTip(items[0].text())
                self._model.appendRow(items)
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for column in (1, 2):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)

    def _pressed(self, index: QModelIndex) -> None:
        thing = index.data(THING)
        if thing:
            self.picked.emit(thing)


def _named(session: Session, row: Differs) -> str:
    title = session.harness.title_of(row.thing) if row.thing else row.name
    if row.what in ("set", "state"):
        return title
    return f"{title}, {row.name.removeprefix(row.thing).strip(' /')}"


def _shown(value: float | str | None, unit: str) -> str:
    if value is None:
        return "none"
    if isinstance(value, str):
        return value
    if unit == "V" and abs(value) < 0.1:
        return f"{signed(value * 1e3, 1)} mV"
    size = abs(value)
    digits = 0 if size >= 100 else 1 if size >= 10 else 2
    return f"{signed(value, digits)} {unit}".removesuffix(" of scale")
