"""By which limits it is judged: the set, how ampacity is found, and limits of the project's own with their reasons."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from harness_studio.checks.finding import SURE
from harness_studio.checks.how import HANDBOOK, HEAT_BALANCE, names
from harness_studio.checks.limits import SETS, Limit, LimitSet, limit_set
from harness_studio.desktop import look
from harness_studio.desktop.combo import Combo
from harness_studio.drawing import fonts
from harness_studio.standards.ampacity import title_of

from .rows import short

WAYS = {
    HEAT_BALANCE: "heat balance (Churchill and Chu 1975, radiation)",
    HANDBOOK: "handbook: the first table that judges",
}
COLUMNS = ("limit", "value")


def ways() -> list[tuple[str, str | None]]:
    """Return the ways to find ampacity, in words, each with its name in the file."""
    return [
        ("as the limit set says", None),
        *((WAYS[name] if name in WAYS else f"handbook: {title_of(name)}", name) for name in names()),
    ]


class LimitsView(QWidget):
    """The view. Signals: another set, another way to find ampacity, a limit (name, value, reason), one taken back."""

    set_wanted = Signal(str)
    how_wanted = Signal(object)
    limit_wanted = Signal(str, float, str)
    limit_dropped = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._limits: list[Limit] = []
        self._shown: LimitSet | None = None
        self.sets, self.how, self.table = Combo(self), Combo(self), QTableWidget(0, 2, self)
        self.about = QLabel(self)
        self.value, self.reason = QLineEdit(self), QLineEdit(self)
        self.set_it, self.drop = (
            QPushButton("Set for this project", self),
            QPushButton("As the set says", self),
        )
        self.named = QLabel(self)
        for name in SETS:
            self.sets.addItem(limit_set(name).title, name)
        for words, way in ways():
            self.how.addItem(words, way)
        self._name_things()
        self._lay_out()
        self.sets.activated.connect(lambda n: self.set_wanted.emit(self.sets.itemData(n)))
        self.how.activated.connect(lambda n: self.how_wanted.emit(self.how.itemData(n)))
        self.table.currentCellChanged.connect(lambda row, *_: self._choose(row))
        for field in (self.value, self.reason):
            field.textChanged.connect(self._able)
            field.returnPressed.connect(self._set)
        self.set_it.clicked.connect(self._set)
        self.drop.clicked.connect(lambda: self.limit_dropped.emit(self._limits[self.table.currentRow()].name))
        self._able()

    def _name_things(self) -> None:
        for box, name in ((self.sets, "Limit set"), (self.how, "How ampacity is found")):
            box.setAccessibleName(name)
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(16)
        self.about.setObjectName("quiet")
        for label in (self.about, self.named):
            label.setFont(look.small())
            label.setWordWrap(True)
        self.table.setAccessibleName("Limits in force")
        self.table.setHorizontalHeaderLabels(COLUMNS)
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setTabKeyNavigation(False)
        self.table.setFont(look.small())
        head = self.table.horizontalHeader()
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        head.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        self.value.setAccessibleName("Value of the chosen limit for this project")
        self.value.setPlaceholderText("value")
        self.reason.setAccessibleName("Why this project may differ")
        self.reason.setPlaceholderText("because …")

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow("limit set", self.sets)
        form.addRow("ampacity by", self.how)
        line, buttons = QHBoxLayout(), QHBoxLayout()
        line.addWidget(self.value, 1)
        line.addWidget(self.reason, 3)
        buttons.addWidget(self.set_it)
        buttons.addWidget(self.drop)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addLayout(form)
        column.addWidget(self.about)
        column.addWidget(self.table, 1)
        column.addWidget(self.named)
        column.addLayout(line)
        column.addLayout(buttons)

    def show_limits(self, limits: LimitSet, *, read_only: bool) -> None:
        """Show the limits in force; nothing moves where they are the same."""
        for widget in (self.sets, self.how, self.value, self.reason):
            widget.setEnabled(not read_only)
        self.how.setCurrentIndex(next(n for n, (_, name) in enumerate(ways()) if name == limits.own_way))
        if limits == self._shown:
            return
        self._shown = limits
        self.sets.setCurrentIndex(SETS.index(limits.name))
        self.about.setText(limits.about)
        row = self.table.currentRow()
        self._limits = list(limits.limits.values())
        self.table.setRowCount(len(self._limits))
        for n, limit in enumerate(self._limits):
            self._put(n, limit)
        if 0 <= row < len(self._limits):
            self.table.setCurrentCell(row, 0)
        self._able()

    def _put(self, n: int, limit: Limit) -> None:
        own = limit.reason is not None
        for column, text in enumerate(_cells(limit)):
            item = QTableWidgetItem(f"{text}, own" if own and column else text)
            item.setToolTip(_source(limit))
            item.setFont(fonts.font(fonts.SMALL_PX + 1, fonts.BOLD) if own else look.small())
            self.table.setItem(n, column, item)

    def _choose(self, row: int) -> None:
        if 0 <= row < len(self._limits):
            limit = self._limits[row]
            self.value.setText("" if limit.value is None else f"{limit.value:g}")
            self.reason.setText(limit.reason or "")
            self.named.setText(f"{limit.name}, in {limit.unit}. From: {_source(limit)}")
        self._able()

    def _able(self) -> None:
        row = self.table.currentRow()
        known = self._limits[row] if 0 <= row < len(self._limits) else None
        ready = known is not None and self._number() is not None and bool(self.reason.text().strip())
        self.set_it.setEnabled(ready and self.value.isEnabled())
        self.drop.setEnabled(known is not None and known.reason is not None and self.value.isEnabled())

    def _number(self) -> float | None:
        try:
            return float(self.value.text().strip().replace(",", "."))
        except ValueError:
            return None

    def _set(self) -> None:
        number = self._number()
        if self.set_it.isEnabled() and number is not None:
            name = self._limits[self.table.currentRow()].name
            self.limit_wanted.emit(name, number, self.reason.text())


def _cells(limit: Limit) -> tuple[str, str]:
    return limit.what, "off" if limit.value is None else f"{short(limit.value)} {limit.unit}"


def _source(limit: Limit) -> str:
    sure = SURE.get(limit.sureness, "")
    return limit.source if not sure or sure in limit.source else f"{limit.source} ({sure})"
