"""The mode strip along the top: each thing as its name over its positions, the present one marked."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from harness_studio.drawing import fonts
from harness_studio.model.harness import Harness
from harness_studio.network.network import Overrides

from . import look
from .strip_groups import Group, groups, plain_value, pressed

NO_MODES = "no modes yet: engine off, every switch in its first position"
BACK = "as the mode has it"


class Strip(QFrame):
    """Shows what the harness is looked at in; a press on another position asks for it.

    `wanted` carries a mode's id, `overridden` the Overrides after a press (None: as the mode has it).
    """

    wanted = Signal(str)
    overridden = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.setFixedHeight(64)
        self._harness = Harness()
        self._mode: str | None = None
        self._overrides: Overrides | None = None
        self._shown: list[Group] = []
        self._built = False
        self._buttons: dict[tuple[str, str, str], QPushButton] = {}
        self._groups: list[QButtonGroup] = []
        self._title = QLabel(self)
        self._title.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self._back = QPushButton(BACK, self)
        self._back.setObjectName("word")
        self._back.setToolTip("Let go of every position that was pressed beside the mode")
        self._back.clicked.connect(lambda: self.overridden.emit(None))
        self._words = QWidget()
        self._row = QHBoxLayout(self._words)
        self._row.setContentsMargins(0, 4, 0, 0)
        self._row.setSpacing(26)
        area = self._area = QScrollArea(self)
        area.setWidget(self._words)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.viewport().setAutoFillBackground(False)
        self._words.setAutoFillBackground(False)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(18, 0, 12, 0)
        layout.setSpacing(26)
        layout.addWidget(self._title)
        layout.addWidget(area, 1)
        layout.addWidget(self._back)

    def show_modes(self, harness: Harness, present: str | None, overrides: Overrides | None = None) -> None:
        """Show what a harness offers; widgets are made anew only where the groups differ."""
        self._harness, self._mode, self._overrides = harness, present, overrides
        found = groups(harness, present, overrides)
        if not self._built or _frame(found) != _frame(self._shown):
            self._rebuild(found)
            self._built = True
        self._shown = found
        self.mark(harness, present, overrides)

    def _rebuild(self, found: list[Group]) -> None:
        while self._row.count():
            item = self._row.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.deleteLater()
        for old in self._groups:
            old.deleteLater()
        self._buttons, self._groups = {}, []
        if not found:
            self._row.addWidget(_quiet(NO_MODES))
        for group in found:
            self._row.addWidget(self._column(group))
        self._row.addStretch(1)

    def _column(self, group: Group) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addWidget(_quiet(group.title))
        line = QHBoxLayout()
        line.setSpacing(2)
        exclusive = QButtonGroup(holder)
        exclusive.setExclusive(True)
        self._groups.append(exclusive)
        for value, label in group.options:
            button = QPushButton(label, holder)
            button.setObjectName("word")
            button.setCheckable(True)
            button.setFont(fonts.font(fonts.TEXT_PX))
            button.setAccessibleName(f"{group.title} {label}")
            button.setProperty("value", value)
            button.setProperty("of", f"{group.kind}/{group.id}")
            button.clicked.connect(self._clicked)
            exclusive.addButton(button)
            line.addWidget(button)
            self._buttons[group.kind, group.id, value] = button
        line.addStretch(1)
        column.addLayout(line)
        return holder

    def mark(self, harness: Harness, present: str | None, overrides: Overrides | None = None) -> None:
        """Mark the present positions; those that are not the mode's own are set in bold italics."""
        self._title.setText(harness.settings.title)
        for group in groups(harness, present, overrides):
            for value, _ in group.options:
                button = self._buttons.get((group.kind, group.id, value))
                if button is None:
                    continue
                chosen = value == group.present
                button.setChecked(chosen)
                font = fonts.font(fonts.TEXT_PX, fonts.STRONG if chosen else fonts.REGULAR)
                font.setItalic(chosen and group.set)
                button.setFont(font)
        self._back.setVisible(overrides is not None and overrides.joints_as_found != Overrides())

    @property
    def buttons(self) -> dict[str, QPushButton]:
        """The words of the named modes, by mode."""
        return {value: b for (kind, _, value), b in self._buttons.items() if kind == "mode"}

    def button(self, kind: str, thing: str, value: str) -> QPushButton:
        """Return the word of one position."""
        return self._buttons[kind, thing, value]

    def _clicked(self) -> None:
        button = self.sender()
        if not isinstance(button, QPushButton):
            return
        kind, _, thing = str(button.property("of")).partition("/")
        value = str(button.property("value"))
        if kind == "mode":
            self.wanted.emit(value)
            return
        group = next(g for g in self._shown if (g.kind, g.id) == (kind, thing))
        plain = plain_value(self._harness, self._mode, group) == value
        self.overridden.emit(pressed(self._overrides, group, value, plain))


def _frame(found: list[Group]) -> list[tuple[str, str, str, tuple[tuple[str, str], ...]]]:
    return [(g.kind, g.id, g.title, g.options) for g in found]


def _quiet(text: str) -> QLabel:
    label = QLabel(text)
    label.setObjectName("quiet")
    label.setFont(look.small())
    return label
