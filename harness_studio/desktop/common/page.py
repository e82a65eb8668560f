"""The page of common joints: loads chosen on the diagram or typed, and the joints that all of them pass."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QLabel, QLineEdit, QListView, QVBoxLayout, QWidget

from harness_studio.desktop import look
from harness_studio.desktop.same import same
from harness_studio.desktop.share_rows import ASIDE, CLEAN, HEAD, NOTICED, SHARE, SUB, ShareRows
from harness_studio.drawing import fonts

from .rows import FOLD, Row, loads_named, rows_of, sentence

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.electrics.common import Common
    from harness_studio.session.session import Session

THING = Qt.ItemDataRole.UserRole
LOST_PX = 56
HINT = (
    "Choose the loads that play up: hold Ctrl and click them on the diagram, drag a band around them, or type them. "
    "The joints that all of them pass are listed; a single bad joint behind it all is one of these."
)


class CommonPage(QWidget):
    """The page. `picked` names a joint that was pressed, `chosen` one that was entered, `wanted` loads typed."""

    title = "Common joints"
    keeps_open = True
    picked = Signal(str)
    chosen = Signal(str)
    wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._loads: tuple[str, ...] = ()
        self._shown: tuple[object, ...] = ()
        self._unfolded = self.holds = False
        self.found: Common | None = None
        self.head, self.sentence, hint = QLabel("Common joints", self), QLabel(self), QLabel(HINT, self)
        self.head.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        hint.setObjectName("quiet")
        hint.setFont(look.small())
        for label in (self.head, self.sentence, hint):
            label.setWordWrap(True)
        self.field = QLineEdit(self)
        self.field.setAccessibleName("Loads, with commas between them")
        self.field.setPlaceholderText("loads, like E5, M2, fuel gauge")
        self.field.returnPressed.connect(self._typed)
        self._model = QStandardItemModel(self)
        self.list = QListView(self)
        self.list.setModel(self._model)
        self.list.setItemDelegate(ShareRows(self.list, LOST_PX))
        self.list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.list.setAccessibleName("Joints that all chosen loads pass")
        self.list.clicked.connect(self._pressed)
        self.list.activated.connect(self._entered)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 16, 18, 16)
        layout.setSpacing(8)
        for widget in (self.head, hint, self.field, self.sentence):
            layout.addWidget(widget)
        layout.addWidget(self.list, 1)

    @property
    def listed(self) -> list[tuple[str, str]]:
        """(title, second line) of what is listed."""
        items = [self._model.item(i) for i in range(self._model.rowCount())]
        return [(item.text(), item.data(SUB) or "") for item in items]

    def give_keys(self) -> None:
        """Give the keys to the field, or to the list where loads are chosen."""
        (self.list if self.found is not None else self.field).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme: the style sheet does."""

    def show_session(self, session: Session) -> None:
        """Take the loads among what is selected, where there is one, and list what they share now."""
        from harness_studio.electrics.common import load_parts

        if session is not self._session:
            self._session, self._loads, self._unfolded = session, (), False
        network, solution = session.computed.network, session.solution
        if network is None or solution is None:
            self._put(None, session.computed.problem or "Solving.")
            return
        selected = load_parts(network, session.selection)
        loads = selected or tuple(load for load in self._loads if load in session.harness.parts)
        state = (solution, loads, self._unfolded)
        if same(self._shown, state):
            return
        self._shown = state
        if loads != self._loads:
            self._loads = loads
            self.field.setText(", ".join(loads))
        self._read(session, loads)

    def _read(self, session: Session, loads: Sequence[str]) -> None:
        from harness_studio.electrics.common import common_joints

        computed = session.computed
        if not loads or computed.network is None or computed.solution is None:
            self._put(None, "No load is chosen.")
            return
        found = common_joints(computed.network, computed.solution, loads)
        self._put(found, sentence(session.harness, found), rows_of(session, found, unfolded=self._unfolded))

    def _put(self, found: Common | None, said: str, rows: Sequence[Row] = ()) -> None:
        self.found = found
        self.sentence.setText(said)
        at, current = self.list.verticalScrollBar().value(), self.list.currentIndex().data(THING)
        self._model.clear()
        for row in rows:
            item = QStandardItem(row.title)
            for role, value in ((THING, row.joint), (SUB, row.sub), (SHARE, row.share), (ASIDE, row.lost),
                                (CLEAN, row.clean), (HEAD, row.head), (NOTICED, row.noticed)):  # fmt: skip
                item.setData(value, role)
            still = row.head
            item.setFlags(
                Qt.ItemFlag.NoItemFlags if still else Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
            )
            spoken = ", ".join(t for t in (row.title, row.sub, row.lost and f"lost {row.lost}") if t)
            item.setAccessibleText(spoken)
            item.setToolTip("" if still else spoken)
            self._model.appendRow(item)
            if row.joint and row.joint == current:
                self.list.setCurrentIndex(item.index())
        self.list.verticalScrollBar().setValue(at)

    def _typed(self) -> None:
        """Choose the loads that were typed; what is no load is told."""
        if self._session is None or self._session.computed.network is None:
            return
        names = [n.strip() for n in self.field.text().split(",") if n.strip()]
        known, wrong = loads_named(self._session, names)
        if wrong:
            self._put(None, wrong)
            self._shown = ()
        else:
            self.wanted.emit(known)

    def _pressed(self, index: QModelIndex) -> None:
        thing = index.data(THING)
        if thing == FOLD and self._session is not None:
            self._unfolded = not self._unfolded
            self.show_session(self._session)
        elif thing:
            self.picked.emit(thing)

    def _entered(self, index: QModelIndex) -> None:
        thing = index.data(THING)
        if thing and thing != FOLD:
            self.chosen.emit(thing)
