"""The page of the sweep: started and stopped here, its rows ranked by what one would notice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListView,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.base.errors import HarnessError
from harness_studio.desktop import look
from harness_studio.desktop.ground_map import heading
from harness_studio.desktop.rows import ABOUT, ASIDE, TitleRows
from harness_studio.diagram.words import counted
from harness_studio.drawing import fonts
from harness_studio.session.sweeping import Sweeping

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.electrics.sweep_rows import SweepRow
    from harness_studio.model.harness import Harness
    from harness_studio.session.scheduler import Scheduler
    from harness_studio.session.session import Session

JOINT = Qt.ItemDataRole.UserRole
USUAL = "50"
HINT = (
    "Every joint is made worse by this much, one at a time, in the state that is shown. The joints whose failing one "
    "would notice most stand first; click one to see it, press Enter for its ground map."
)
Index = QModelIndex | QPersistentModelIndex


class Rows(QAbstractListModel):
    """The rows of a sweep; words are made when a row is seen."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._harness: Harness | None = None
        self.shown: tuple[SweepRow, ...] = ()

    def put(self, harness: Harness | None, rows: tuple[SweepRow, ...]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._harness, self.shown = harness, rows
        self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """Return how many rows there are."""
        return 0 if parent is not None and parent.isValid() else len(self.shown)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is said of a row."""
        from harness_studio.electrics.sweep_rows import added_words, row_words

        if self._harness is None or not index.isValid():
            return None
        row = self.shown[index.row()]
        if role == JOINT:
            return row.joint
        if role == ABOUT:
            return row_words(row)
        title = heading(self._harness, row.joint)
        if row.in_series:
            title += f" and {len(row.in_series)} in series"
        if role == Qt.ItemDataRole.DisplayRole:
            return title
        if role == ASIDE:
            return f"+{added_words(row.added_ohm)}" if row.added_ohm < float("inf") else "open"
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            series = f"\nin series: {', '.join(row.in_series)}" if row.in_series else ""
            return f"{title}, {added_words(row.added_ohm)}: {row_words(row, 12)}{series}"
        return None


class SweepPage(QWidget):
    """The page. `picked` names a joint that was pressed, `chosen` one that was entered."""

    title = "Sweep"
    keeps_open = True
    picked = Signal(str)
    chosen = Signal(str)

    def __init__(self, scheduler: Scheduler, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self.sweeping = Sweeping(scheduler, self._told)
        self.head, hint, self.said = QLabel("Every joint made bad", self), QLabel(HINT, self), QLabel(self)
        self.head.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        hint.setObjectName("quiet")
        hint.setFont(look.small())
        self.field = QLineEdit(USUAL, self)
        self.field.setAccessibleName("Added milliohms, or open; several with commas between them")
        self.field.setToolTip(
            "Milliohms on top of what each joint has, or open; several with commas between them"
        )
        self.field.returnPressed.connect(self._start)
        self.start_button, self.stop_button = QPushButton("Start", self), QPushButton("Stop", self)
        self.start_button.clicked.connect(self._start)
        self.stop_button.clicked.connect(self.sweeping.stop)
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 100)
        self.bar.setAccessibleName("How far the sweep is")
        self.rows = Rows(self)
        self.list = QListView(self)
        self.list.setModel(self.rows)
        self.list.setItemDelegate(TitleRows(self.list))
        self.list.setUniformItemSizes(True)
        self.list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.list.setAccessibleName("Joints by what one would notice")
        self.list.clicked.connect(lambda index: self.picked.emit(index.data(JOINT)))
        self.list.activated.connect(lambda index: self.chosen.emit(index.data(JOINT)))
        line = QHBoxLayout()
        line.setSpacing(6)
        unit = QLabel("mΩ more", self)
        for widget in (self.field, unit, self.start_button, self.stop_button):
            line.addWidget(widget)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 16, 18, 16)
        layout.setSpacing(8)
        for label in (self.head, hint, self.said):
            label.setWordWrap(True)
        layout.addWidget(self.head)
        layout.addWidget(hint)
        layout.addLayout(line)
        layout.addWidget(self.bar)
        layout.addWidget(self.said)
        layout.addWidget(self.list, 1)
        self._told()

    def give_keys(self) -> None:
        """Give the keys to the rows, or to the field where there are none yet."""
        (self.list if self.rows.rowCount() else self.field).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme: the style sheet does."""

    def follow(self, session: Session) -> None:
        """Forget what belongs to another session."""
        if session is not self._session:
            self._session = session
            self.sweeping.forget()
            self._told()

    def show_session(self, session: Session) -> None:
        """Say whether what was found still is what is shown."""
        self.follow(session)
        self._say()

    def _start(self) -> None:
        from harness_studio.electrics.sweep_rows import added_from

        if self._session is None:
            return
        try:
            added = [added_from(text) for text in self.field.text().split(",")]
        except HarnessError as error:
            self.said.setText(str(error))
            return
        self.sweeping.start(self._session, list(dict.fromkeys(added)))

    def _told(self) -> None:
        """Show how far it is, or what was found."""
        progress, found = self.sweeping.progress, self.sweeping.found
        self.start_button.setEnabled(progress is None)
        self.stop_button.setEnabled(progress is not None)
        self.bar.setVisible(progress is not None)
        if progress is not None:
            self.bar.setValue(round(100 * progress.part))
        shown = found.rows if found is not None else ()
        if shown is not self.rows.shown:
            self.rows.put(self._session.harness if self._session is not None else None, shown)
        self._say()

    def _say(self) -> None:
        progress, found, session = self.sweeping.progress, self.sweeping.found, self._session
        if progress is not None:
            self.said.setText(f"{progress.words} …")
        elif found is None or session is None:
            self.said.setText(
                "" if session is None or session.solution else session.computed.problem or "Solving."
            )
        elif found.problem:
            self.said.setText(f"Not solved: {found.problem}")
        else:
            said = f"{counted(len(found.rows), 'joint')} would be noticed"
            mode = session.harness.modes.get(found.mode or "")
            said += f" in {mode.title or mode.id}." if mode is not None else "."
            if session.computed.network is not found.network:
                said += " What is shown has changed since: start again."
            self.said.setText(said)
