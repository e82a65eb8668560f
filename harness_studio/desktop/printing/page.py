"""The page of sheets: which, in which order, on what paper, for which modes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.desktop import look
from harness_studio.desktop.combo import Combo
from harness_studio.drawing import fonts

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.model.harness import Harness
    from harness_studio.session.session import Session

NAME = Qt.ItemDataRole.UserRole
HINT = "Tick what to print; drag or Alt+Up, Alt+Down to order."
CAUTION = (
    "Planning aid: local codes and licensed practice come first. Battery off before work on the harness."
)
NO_MODE = "—"


class SheetList(QListWidget):
    """Sheets with ticks, in the order in which they are bound."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Sheets to print")
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setFont(fonts.font(fonts.TEXT_PX))
        self.setUniformItemSizes(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the current sheet with Alt held."""
        alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        if alt and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.move_current(-1 if event.key() == Qt.Key.Key_Up else 1)
        else:
            super().keyPressEvent(event)

    def move_current(self, by: int) -> None:
        """Move the current sheet up or down."""
        row = self.currentRow()
        if row >= 0 and 0 <= row + by < self.count():
            item = self.takeItem(row)
            self.insertItem(row + by, item)
            self.setCurrentItem(item)


class SheetsPage(QWidget):
    """The page. `wanted` names what to do: 'preview', 'file' or 'printer'; `stopped` ends what is being done."""

    title = "Sheets"
    keeps_open = True  # connectors are selected for it
    wanted = Signal(str)
    stopped = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._modes: tuple[tuple[str, str], ...] | None = None
        heading, hint = QLabel("Sheets to print", self), QLabel(HINT, self)
        heading.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self.list = SheetList(self)
        self.paper, self.grid = Combo(self), Combo(self)
        self.lying = QCheckBox("landscape", self)
        self.only = QCheckBox("pinouts of the selected connectors only", self)
        self.modes = [Combo(self) for _ in range(3)]
        self.buttons = {
            "preview": QPushButton("Preview", self),
            "file": QPushButton("Write PDF…", self),
            "printer": QPushButton("Print…", self),
        }
        self.all, self.none = QPushButton("Tick all", self), QPushButton("Tick none", self)
        self.bar, self.stop = QProgressBar(self), QPushButton("Stop", self)
        self.said = QLabel(self)
        caution = QLabel(CAUTION, self)
        for label in (hint, caution, self.said):
            label.setWordWrap(True)
            label.setFont(look.small())
        for label in (hint, caution):
            label.setObjectName("quiet")
        self.said.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.said.setMinimumHeight(
            3 * self.said.fontMetrics().lineSpacing()
        )  # so that fields stay under the hand
        self._fill()
        self._lay_out(heading, hint, caution)
        self._connect()
        self.show_progress("", 0, 0)

    def _fill(self) -> None:
        from harness_studio.sheets.catalogue import SHEETS
        from harness_studio.sheets.label_grids import MEASURES, grids
        from harness_studio.sheets.paper import SIZES_MM

        for sheet in SHEETS.values():
            item = QListWidgetItem(sheet.title)
            item.setData(NAME, sheet.name)
            item.setToolTip(sheet.holds)
            item.setFlags(
                Qt.ItemFlag.ItemIsEnabled
                | Qt.ItemFlag.ItemIsSelectable
                | Qt.ItemFlag.ItemIsUserCheckable
                | Qt.ItemFlag.ItemIsDragEnabled
            )
            item.setCheckState(Qt.CheckState.Unchecked if sheet.apart else Qt.CheckState.Checked)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self.paper.addItems(list(SIZES_MM))
        self.paper.setAccessibleName("Paper")
        self.grid.setEditable(True)
        self.grid.addItem("as the paper")
        self.grid.addItems(list(grids()))
        self.grid.setAccessibleName("Label grid")
        self.grid.setToolTip(f"A name, or own measures like: {MEASURES}")
        self.grid.setItemData(0, "a known grid for the chosen paper", Qt.ItemDataRole.ToolTipRole)
        self.grid.addItem(MEASURES)
        for number, box in enumerate(self.modes, 1):
            box.setAccessibleName(f"Expected volts, mode {number}")

    def _lay_out(self, heading: QLabel, hint: QLabel, caution: QLabel) -> None:
        form = QFormLayout()
        form.setVerticalSpacing(4)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        paper = QHBoxLayout()
        paper.addWidget(self.paper, 1)
        paper.addWidget(self.lying)
        form.addRow("paper", paper)
        form.addRow("", self.only)
        form.addRow("labels", self.grid)
        for number, box in enumerate(self.modes):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(12)
            form.addRow("volts in" if not number else "and in", box)
        ticks, does, work = QHBoxLayout(), QHBoxLayout(), QHBoxLayout()
        for button in (self.all, self.none):
            button.setObjectName("word")
            ticks.addWidget(button)
        ticks.addStretch(1)
        for button in self.buttons.values():
            does.addWidget(button)
        does.addStretch(1)
        work.addWidget(self.bar, 1)
        work.addWidget(self.stop)
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 16, 18, 16)
        column.setSpacing(8)
        column.addWidget(heading)
        column.addWidget(hint)
        column.addWidget(self.list, 1)
        for layout in (ticks, form, does, work):
            column.addLayout(layout)
        column.addWidget(self.said)
        column.addWidget(caution)

    def _connect(self) -> None:
        for name, button in self.buttons.items():
            button.clicked.connect(lambda _=False, n=name: self.wanted.emit(n))
        self.stop.clicked.connect(self.stopped)
        self.all.clicked.connect(lambda: self.tick(True))
        self.none.clicked.connect(lambda: self.tick(False))

    def tick(self, ticked: bool) -> None:
        """Tick all sheets, or none."""
        for row in range(self.list.count()):
            self.list.item(row).setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)

    @property
    def chosen(self) -> tuple[str, ...]:
        """Names of the ticked sheets, in order."""
        items = [self.list.item(row) for row in range(self.list.count())]
        return tuple(i.data(NAME) for i in items if i.checkState() == Qt.CheckState.Checked)

    @property
    def chosen_modes(self) -> tuple[str, ...] | None:
        """Ids of the modes that volts are given for; None in a harness without modes."""
        if not self._modes:
            return None
        return tuple(dict.fromkeys(box.currentData() for box in self.modes if box.currentData()))

    @property
    def chosen_grid(self) -> str | None:
        """The label grid; None for that of the paper."""
        text = self.grid.currentText().strip()
        return None if not text or text == self.grid.itemText(0) else text

    def show_session(self, session: Session) -> None:
        """Offer the modes of a harness; what was chosen stays where it still is there."""
        modes = _modes(session.harness)
        if modes == self._modes:
            return
        before = [box.currentData() for box in self.modes]
        first = self._modes is None or not self._modes
        self._modes = modes
        ids = [mode for mode, _ in modes]
        for number, box in enumerate(self.modes):
            box.clear()
            box.addItem(NO_MODE, None)
            for mode, title in modes:
                box.addItem(title, mode)
            kept = before[number] if before[number] in ids else None
            if first or (before[number] is not None and kept is None):
                kept = ids[number] if number < len(ids) else None
            box.setCurrentIndex(0 if kept is None else 1 + ids.index(kept))

    def show_progress(self, what: str, number: int, of: int) -> None:
        """Show what is being done; '' for nothing."""
        self.bar.setVisible(bool(what))
        self.stop.setVisible(bool(what))
        for button in self.buttons.values():
            button.setEnabled(not what)
        if what:
            self.bar.setRange(0, of)
            self.bar.setValue(number)
            self.said.setText(f"{what} {number} of {of}" if of else what)

    def say(self, text: str) -> None:
        """Say what came of it."""
        self.said.setText(text)

    def set_theme(self, theme: Theme) -> None:
        """Everything here follows the palette."""


def _modes(harness: Harness) -> tuple[tuple[str, str], ...]:
    return tuple((m.id, m.title or m.id) for m in harness.modes.values())
