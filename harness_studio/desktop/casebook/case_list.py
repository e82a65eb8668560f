"""The list of cases: new, open and closed ones; a press opens one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QListView, QWidget

from harness_studio.desktop.rows import ABOUT, ASIDE, TitleRows
from harness_studio.drawing import fonts
from harness_studio.session.case_words import standing

from .forms import button, column, heading, plain, quiet

if TYPE_CHECKING:
    from harness_studio.session.session import Session

HINT = (
    "A case goes from what was seen to the joint, in the fewest readings: keep what moved when what came on, and what "
    "the meter showed. All of it is kept in the project file."
)
ORDER = ("open", "new", "closed")
CASE = Qt.ItemDataRole.UserRole


class CaseList(QWidget):
    """The list. `opened` carries a case's id, `wanted` asks for a new one."""

    opened = Signal(str)
    wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        title = heading("Casebook", self)
        title.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self.pending = plain("", self)
        self.pending.hide()
        self._model = QStandardItemModel(self)
        self.list = QListView(self)
        self.list.setModel(self._model)
        self.list.setItemDelegate(TitleRows(self.list))
        self.list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.list.setAccessibleName("Cases")
        self.list.clicked.connect(self._pressed)
        self.list.activated.connect(self._pressed)
        self.new = button("New case", self.wanted.emit, self, "main")
        layout = column(title, quiet(HINT, self), self.pending, self.new, gap=8, margins=(18, 16, 18, 16))
        layout.addWidget(self.list, 1)
        self.setLayout(layout)
        self._shown: list[tuple[str, str, str, str]] | None = None

    def show_session(self, session: Session) -> None:
        """Show the cases of a harness, those that are open first."""
        cases = sorted(session.harness.tables["cases"].values(), key=lambda c: ORDER.index(standing(c)))
        lines = []
        for case in cases:
            many = [f"{len(case.sightings)} seen", f"{len(case.readings)} readings"]
            km = f"{case.odometer_km:g} km" if case.odometer_km is not None else ""
            about = " · ".join(t for t in (case.id, str(case.date or ""), km, *many) if t)
            lines.append((case.id, case.complaint or "no complaint written down yet", about, standing(case)))
        if lines == self._shown:
            return
        self._shown = lines
        self._model.clear()
        for case_id, title, about, aside in lines:
            item = QStandardItem(title)
            item.setData(case_id, CASE)
            item.setData(about, ABOUT)
            item.setData(aside, ASIDE)
            item.setToolTip(title)
            item.setAccessibleText(f"{title}, {aside}, {about}")
            self._model.appendRow(item)

    def _pressed(self, index: QModelIndex) -> None:
        case_id = index.data(CASE)
        if case_id:
            self.opened.emit(case_id)
