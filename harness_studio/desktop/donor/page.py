"""The page of two harnesses: a form to bring one in, plans for the chosen wires, cavities of a unit, the joins."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from harness_studio.desktop.combo import Combo
from harness_studio.drawing import fonts
from harness_studio.model.second_harness import PLANS, joins, origin_of, pins_of, units

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.session import Session

_ID = Qt.ItemDataRole.UserRole
_NEED_KEYS = {Qt.Key.Key_N: "needed", Qt.Key.Key_O: "optional", Qt.Key.Key_U: "unused", Qt.Key.Key_Delete: ""}


class _Pins(QTreeWidget):
    """N, O, U and Delete say whether the chosen cavities are needed."""

    said = Signal(str)

    def event(self, event: QEvent) -> bool:
        """Keep the four keys from commands of the window."""
        plain = isinstance(event, QKeyEvent) and event.modifiers() == Qt.KeyboardModifier.NoModifier
        if event.type() == QEvent.Type.ShortcutOverride and plain and Qt.Key(event.key()) in _NEED_KEYS:  # type: ignore[attr-defined]
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the four keys."""
        need = _NEED_KEYS.get(Qt.Key(event.key()))
        if need is not None and event.modifiers() == Qt.KeyboardModifier.NoModifier:
            self.said.emit(need)
        else:
            super().keyPressEvent(event)


class DonorPage(QWidget):
    """Signals say what the user wants: a file, to bring it in, a plan, a need, to see a thing."""

    title = "Two harnesses"
    file_wanted = Signal()
    bring = Signal(str, str)
    planned = Signal(str)
    needed = Signal(str)
    picked = Signal(str)
    keeps_open = True

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._seen: object = None
        self.says = _quiet(self, "")
        self.choose = QPushButton("Bring a second harness in…", self)
        self.choose.clicked.connect(self.file_wanted)
        self.prefix, self.name = QLineEdit("D-", self), QLineEdit("donor", self)
        self.prefix.setAccessibleName("Prefix of its ids")
        self.name.setAccessibleName("What it is called")
        self.go = QPushButton("Bring it in", self)
        self.go.clicked.connect(self._go)
        for field in (self.prefix, self.name):
            field.returnPressed.connect(self._go)
        self.form = QWidget(self)
        row = QHBoxLayout(self.form)
        row.setContentsMargins(0, 0, 0, 0)
        for widget in (QLabel("prefix"), self.prefix, QLabel("called"), self.name, self.go):
            row.addWidget(widget)
        self.form.hide()
        self.plans: dict[str, QPushButton] = {}
        plans = QGridLayout()
        plans.setSpacing(2)
        for number, plan in enumerate((*PLANS, "")):
            button = QPushButton(plan or "no plan", self)
            button.setObjectName("word")
            button.setAccessibleName(f"Plan of the selected wires: {plan or 'none'}")
            button.setProperty("plan", plan)
            button.clicked.connect(self._plan)
            self.plans[plan] = button
            plans.addWidget(button, 0, number)
        self.unit = Combo(self)
        self.unit.setAccessibleName("Unit whose cavities are listed")
        self.unit.currentIndexChanged.connect(self._fill_pins)
        self.pins = _Pins(self)
        self.pins.said.connect(self.needed)
        _table(self.pins, "Cavities of the unit", ["Cavity", "For", "Wires", "Need"])
        self.pins.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.open_pins = _quiet(self, "")
        self.joins = QTreeWidget(self)
        _table(self.joins, "Where the harnesses meet", ["Join", "From", "To", "Plan"])
        self.joins.itemActivated.connect(self._picked)
        self.joins.itemClicked.connect(self._picked)
        self._lay_out(plans)

    def _lay_out(self, plans: QGridLayout) -> None:
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 8)
        layout.addWidget(self.says)
        layout.addWidget(self.choose)
        layout.addWidget(self.form)
        layout.addWidget(_head(self, "What becomes of the selected wires"))
        layout.addLayout(plans)
        layout.addWidget(_head(self, "Cavities: needed, optional, unused"))
        layout.addWidget(self.unit)
        layout.addWidget(self.pins, 3)
        layout.addWidget(self.open_pins)
        layout.addWidget(_head(self, "Where the harnesses meet"))
        layout.addWidget(self.joins, 2)

    def say(self, what: str) -> None:
        """Say what was done, or went wrong."""
        self.says.setText(what)

    def ask_prefix(self, file: str) -> None:
        """Ask for prefix and name of a harness that was chosen."""
        self.say(f"{file}: its ids get the prefix; bodies and zones that both have become one.")
        self.form.show()
        self.prefix.setFocus()
        self.prefix.selectAll()

    def show_session(self, session: Session) -> None:
        """List units, cavities and joins."""
        harness = session.harness
        seen = (session, session.project.history.revision)
        if seen == self._seen:
            return
        self._seen, self._session = seen, session
        if not self.form.isVisible():
            names = ", ".join(dict.fromkeys(origin_of(harness).values()))
            self.say(f"Brought in: {names}." if names else "One harness so far. A second one comes as donor.")
        kept = self.unit.currentData()
        self.unit.blockSignals(True)
        self.unit.clear()
        for part in units(harness):
            self.unit.addItem(harness.title_of(part), part)
        self.unit.setCurrentIndex(max(0, self.unit.findData(kept)))
        self.unit.blockSignals(False)
        self._fill_pins()
        self.joins.clear()
        for join in joins(harness):
            ends = [f"{end} ({of})" for end, of in zip(join.ends, join.of, strict=True)]
            item = QTreeWidgetItem(
                [join.thing, *ends, join.plan or ("plugs" if join.kind == "mated" else "")]
            )
            item.setData(0, _ID, join.thing)
            self.joins.addTopLevelItem(item)

    def _fill_pins(self) -> None:
        if self._session is None:
            return
        kept = set(self.chosen_pins())
        self.pins.clear()
        part = self.unit.currentData()
        found = pins_of(self._session.harness, part) if part is not None else []
        for pin in found:
            item = QTreeWidgetItem(
                [f"{pin.half}.{pin.name}", pin.function, ", ".join(pin.wires) or "–", pin.need or ""]
            )
            item.setData(0, _ID, (pin.half, pin.name))
            self.pins.addTopLevelItem(item)
            item.setSelected((pin.half, pin.name) in kept)
        lacking = [f"{p.half}.{p.name}" for p in found if p.open]
        if not found:
            self.open_pins.setText("No connector is plugged onto a part yet.")
        elif lacking:
            self.open_pins.setText(f"Needed and without a wire that stays: {', '.join(lacking)}")
        else:
            self.open_pins.setText(
                "N needed, O optional, U unused, Delete not said. Every needed cavity has its wire."
            )

    def set_theme(self, _theme: Theme) -> None:
        """Leave that to the palette."""

    def chosen_pins(self) -> Sequence[tuple[str, str]]:
        """Return the cavities that are chosen, as (half, name)."""
        return [tuple(item.data(0, _ID)) for item in self.pins.selectedItems()]

    def _go(self) -> None:
        self.bring.emit(self.prefix.text().strip(), self.name.text().strip())

    def _plan(self) -> None:
        self.planned.emit(self.sender().property("plan"))

    def _picked(self, item: QTreeWidgetItem) -> None:
        self.picked.emit(item.data(0, _ID))


def _quiet(parent: QWidget, text: str) -> QLabel:
    label = QLabel(text, parent)
    label.setObjectName("quiet")
    label.setWordWrap(True)
    return label


def _head(parent: QWidget, text: str) -> QLabel:
    label = QLabel(text, parent)
    label.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
    return label


def _table(table: QTreeWidget, name: str, heads: list[str]) -> None:
    table.setAccessibleName(name)
    table.setHeaderLabels(heads)
    table.setRootIsDecorated(False)
    table.setUniformRowHeights(True)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.header().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
