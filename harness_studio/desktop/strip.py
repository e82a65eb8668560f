"""The mode strip along the top: the modes of the harness as words, the present one marked."""

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

from . import look

NO_MODES = "no modes yet: engine off, every switch in its first position"


class Strip(QFrame):
    """Shows which mode is computed; a press on another one asks for it."""

    wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.setFixedHeight(56)
        self._title = QLabel(self)
        self._title.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self._name = QLabel("mode", self)
        self._name.setObjectName("quiet")
        self._name.setFont(look.small())
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._group.buttonClicked.connect(self._clicked)
        self._words = QWidget(self)
        self._row = QHBoxLayout(self._words)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(4)
        self._row.addStretch(1)
        area = self._area = QScrollArea(self)
        area.setWidget(self._words)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFixedHeight(28)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.viewport().setAutoFillBackground(False)
        self._words.setAutoFillBackground(False)
        column = QVBoxLayout()
        column.setContentsMargins(0, 5, 0, 5)
        column.setSpacing(1)
        column.addWidget(self._name)
        column.addWidget(area)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(18, 0, 12, 0)
        layout.setSpacing(34)
        layout.addWidget(self._title)
        layout.addLayout(column, 1)

    def show_modes(self, harness: Harness, present: str | None) -> None:
        """Show the modes of a harness."""
        for button in self._group.buttons():
            self._group.removeButton(button)
            self._row.removeWidget(button)
            button.deleteLater()
        for number, mode in enumerate(harness.modes.values()):
            button = QPushButton(mode.title or mode.id, self._words)
            button.setObjectName("word")
            button.setCheckable(True)
            button.setFont(fonts.font(fonts.TEXT_PX))
            button.setProperty("mode", mode.id)
            button.setAccessibleName(f"mode {mode.title or mode.id}")
            self._group.addButton(button)
            self._row.insertWidget(number, button)
        self._name.setText("mode" if harness.modes else NO_MODES)
        self._area.setVisible(bool(harness.modes))
        self.mark(harness, present)

    def mark(self, harness: Harness, present: str | None) -> None:
        """Mark the present mode."""
        self._title.setText(harness.settings.title)
        for button in self._group.buttons():
            chosen = button.property("mode") == present
            button.setChecked(chosen)
            button.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG if chosen else fonts.REGULAR))

    @property
    def buttons(self) -> dict[str, QPushButton]:
        """The words by mode."""
        return {b.property("mode"): b for b in self._group.buttons() if isinstance(b, QPushButton)}

    def _clicked(self, button: QPushButton) -> None:
        self.wanted.emit(button.property("mode"))
