"""The page for ringing out: what was probed, what it rings to, which open ends may belong together, and the log."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.base.errors import EditError
from harness_studio.desktop.combo import Combo
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme
from harness_studio.editing.joins import Join, join_edit, proposals
from harness_studio.editing.quantities import Refused
from harness_studio.editing.ringing import Result, log, probed, result_edit
from harness_studio.editing.typed import read
from harness_studio.model.edits import Edit
from harness_studio.model.forms import Maybe, Text

if TYPE_CHECKING:
    from harness_studio.session.session import Session

YES, NO = "rings to", "does not ring to"
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_MOST_LOGGED = 200


class RingPage(QWidget):
    """Enter goes from field to field and, from the last one, writes the result down."""

    title = "Ring out"
    keeps_open = True

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._state: object = None
        self._joins: list[Join] = []
        self.near, self.far, self.note = QLineEdit(self), QLineEdit(self), QLineEdit(self)
        self.date = QLineEdit(self)
        self.which = Combo(self)
        self.which.addItems([YES, NO])
        self.which.setAccessibleName("Whether it rings")
        self.joining = QCheckBox("join or part the wires this proves", self)
        self.joining.setChecked(True)
        self.write = QPushButton("Write down", self)
        self.write.clicked.connect(self.write_down)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.proposed, self.logged = QListWidget(self), QListWidget(self)
        self.join = QPushButton("Join these two", self)
        self.join.clicked.connect(self.join_proposed)
        for name, line, hint in (
            ("Probed wire or point", self.near, "W77 or X7.7"),
            ("To which point", self.far, "X20.2"),
            ("Day", self.date, "today"),
            ("Note", self.note, ""),
        ):
            line.setAccessibleName(name)
            line.setPlaceholderText(hint)
        self.proposed.setAccessibleName("Open ends that may belong together")
        self.logged.setAccessibleName("Log")
        self.proposed.setWordWrap(True)
        self.proposed.itemActivated.connect(lambda _: self.join_proposed())
        self.proposed.currentRowChanged.connect(self._shown)
        for widget in (self.near, self.far, self.date, self.note, self.which):
            widget.installEventFilter(self)
            widget.setFont(fonts.font(fonts.TEXT_PX))
        for other in (self.proposed, self.logged, self.joining, self.write, self.join):
            other.setFont(fonts.font(fonts.TEXT_PX))
        self._lay_out()
        order = (self.near, self.which, self.far, self.date, self.note, self.joining, self.write)
        for before, after in pairwise(order):
            self.setTabOrder(before, after)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
        for row, (words, widget) in enumerate(
            (("from", self.near), ("", self.which), ("to", self.far), ("day", self.date), ("note", self.note))
        ):
            label = QLabel(words, self)
            label.setObjectName("quiet")
            label.setBuddy(widget)
            grid.addWidget(label, row, 0)
            grid.addWidget(widget, row, 1)
        grid.setColumnStretch(1, 1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.joining, 1)
        buttons.addWidget(self.write)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 6)
        layout.setSpacing(6)
        layout.addLayout(grid)
        layout.addLayout(buttons)
        layout.addWidget(self.said)
        layout.addWidget(self._head("open ends that may belong together"))
        layout.addWidget(self.proposed, 3)
        layout.addWidget(self.join, 0, Qt.AlignmentFlag.AlignLeft)
        layout.addWidget(self._head("log"))
        layout.addWidget(self.logged, 2)

    def _head(self, words: str) -> QLabel:
        label = QLabel(words, self)
        label.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
        return label

    # Showing ---------------------------------------------------------------------------------------------------------

    def show_session(self, session: Session) -> None:
        """Show log and proposals of a session; those of a selected wire only, if one is selected."""
        wires = [i for i in session.selection if i in session.harness.wires]
        one = wires[0] if len(wires) == 1 else None
        state = (session, session.project.history.revision, one)
        if state == self._state:
            return
        if one is not None and not self.near.text() and session is self._session:
            self.near.setText(one)
        self._session, self._state = session, state
        self._joins = proposals(session.harness, one) or proposals(session.harness)
        self.proposed.blockSignals(True)
        self.proposed.clear()
        for join in self._joins:
            self.proposed.addItem(QListWidgetItem(f"{join.wire} and {join.other}: {join.reason}"))
        self.proposed.blockSignals(False)
        self.join.setEnabled(bool(self._joins))
        self.logged.clear()
        self.logged.addItems([_line(result) for result in log(session.harness)[:_MOST_LOGGED]])

    def set_theme(self, theme: Theme) -> None:
        """Nothing here is drawn by hand."""

    def _shown(self, row: int) -> None:
        """Show on the diagram which two wires are meant."""
        if self._session is not None and 0 <= row < len(self._joins):
            join = self._joins[row]
            self._session.select({join.wire, join.other})

    def tell(self, what: str, *, refused: bool = False) -> None:
        """Say one line: what was done, or why not."""
        self.said.setText(what)
        self.said.setObjectName("refusal" if refused else "quiet")
        self.said.style().polish(self.said)

    # Doing -----------------------------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go on with Enter; from the last field, or with the day and the note left as they are, write it down."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent) and event.key() in _ENTER:
            order: list[QWidget] = [self.near, self.which, self.far]
            if watched in order[:-1]:
                order[order.index(watched) + 1].setFocus(Qt.FocusReason.TabFocusReason)  # type: ignore[arg-type]
            else:
                self.write_down()
            return True
        return super().eventFilter(watched, event)

    def write_down(self) -> None:
        """Write the result down, and join or part what it proves, as one step."""
        if self._session is None:
            return
        harness = self._session.harness
        if self.near.text().strip() and not self.far.text().strip():
            self.tell("Say to which point: X20.2, M1.31, GP2 …", refused=True)
            self.far.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        try:
            wire = probed(harness, self.near.text())
            point = str(read(Text("point"), self.far.text()))
            day = read(Maybe(Text("date")), self.date.text() or "today")
            result = Result(
                wire.id, self.which.currentText() == YES, point, day, self.note.text().strip() or None
            )
            outcome = result_edit(harness, result, joining=self.joining.isChecked())
            self._session.apply(outcome.edit)
        except (Refused, EditError) as error:
            self.tell(str(error), refused=True)
            return
        self.tell(
            f"{wire.id} {self.which.currentText()} {point}" + (f": {outcome.words}" if outcome.words else "")
        )
        for line in (self.near, self.far, self.note):
            line.clear()
        self.near.setFocus(Qt.FocusReason.OtherFocusReason)

    def join_proposed(self) -> None:
        """Make the two wires of the chosen proposal one."""
        row = max(0, self.proposed.currentRow())
        if self._session is None or row >= len(self._joins):
            return
        join = self._joins[row]
        self._do(
            join_edit(self._session.harness, join), f"{join.wire} and {join.other} are one wire: {join.wire}"
        )

    def _do(self, edit: Edit, said: str) -> None:
        assert self._session is not None
        try:
            self._session.apply(edit)
        except EditError as error:
            self.tell(str(error), refused=True)
            return
        self.tell(said)


def _line(result: Result) -> str:
    said = f"{result.wire} {YES if result.rings else NO} {result.point}"
    return ", ".join(part for part in (said, result.date, result.note) if part)
