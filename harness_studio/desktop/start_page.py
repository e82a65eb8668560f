"""What an empty window shows: ways to begin, what was open last, and the samples."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from harness_studio.drawing import fonts
from harness_studio.storage.samples import Sample

LINES = "Records a vehicle's harness, shows which circuits share a ground, and tells what a poor joint there would do."
BEGIN = (
    ("new", "New harness"),
    ("open", "Open a project…"),
    ("new_from_photo", "New from a photo…"),
    ("import_kbl", "Import a harness description list (KBL)…"),
    ("guide_tutorial", "Ten minutes: from nothing to a found fault"),
)
MOST_RECENT = 5


class StartPage(QFrame):
    """Buttons for the first step. `wanted` names a command, `sample` a sample's path, `recent` a project's."""

    wanted = Signal(str)
    sample = Signal(object)
    recent = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("start")
        title = _label(self, "Harness Studio", 26, fonts.STRONG)
        what = _label(self, LINES, fonts.TEXT_PX)
        what.setObjectName("quiet")
        self.buttons: dict[str, QPushButton] = {}
        self.samples: list[QPushButton] = []
        self.recents: list[QPushButton] = []
        begin = QVBoxLayout()
        begin.setSpacing(10)
        begin.addWidget(_label(self, "Begin", fonts.TEXT_PX, fonts.STRONG))
        for command, words in BEGIN:
            button = QPushButton(words, self)
            button.setAutoDefault(True)  # which is how Enter presses a button outside a dialog
            button.setProperty("command", command)
            button.clicked.connect(self._pressed)
            self.buttons[command] = button
            begin.addWidget(button)
        self.buttons["new"].setObjectName("main")
        self._recent_title = _label(self, "Open last", fonts.TEXT_PX, fonts.STRONG)
        self._recent_box = QVBoxLayout()
        self._recent_box.setSpacing(2)
        begin.addSpacing(14)
        begin.addWidget(self._recent_title)
        begin.addLayout(self._recent_box)
        begin.addStretch(1)
        self._sample_box = QGridLayout()
        self._sample_box.setVerticalSpacing(2)
        right = QVBoxLayout()
        right.setSpacing(10)
        right.addWidget(_label(self, "Look at a sample", fonts.TEXT_PX, fonts.STRONG))
        right.addLayout(self._sample_box)
        right.addStretch(1)
        self._put_together(title, what, begin, right)
        self.show_recent(())

    def _put_together(self, title: QLabel, what: QLabel, begin: QVBoxLayout, right: QVBoxLayout) -> None:
        columns = QHBoxLayout()
        columns.setSpacing(40)
        columns.addLayout(begin, 1)
        columns.addLayout(right, 1)
        inner = QWidget(self)
        inner.setObjectName("start")
        inner.setMaximumWidth(860)
        column = QVBoxLayout(inner)
        column.setContentsMargins(28, 28, 28, 28)
        column.addStretch(2)
        column.addWidget(title)
        column.addWidget(what)
        column.addSpacing(18)
        column.addLayout(columns)
        column.addStretch(3)
        scroll = QScrollArea(self)
        scroll.setObjectName("start")
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        scroll.setWidget(inner)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(scroll)

    def show_samples(self, samples: Sequence[Sample]) -> None:
        """List the samples, each with its line."""
        for row, found in enumerate(samples):
            button = QPushButton(found.title, self)
            button.setAutoDefault(True)
            button.setProperty("path", found.path)
            button.setAccessibleDescription(found.line)
            button.clicked.connect(self._sample_pressed)
            line = _label(self, found.line, fonts.SMALL_PX + 1)
            line.setObjectName("quiet")
            self._sample_box.addWidget(button, 2 * row, 0)
            self._sample_box.addWidget(line, 2 * row + 1, 0, Qt.AlignmentFlag.AlignTop)
            self._sample_box.setRowMinimumHeight(2 * row + 1, 38)
            self.samples.append(button)

    def show_recent(self, paths: Sequence[Path]) -> None:
        """List what was open last."""
        for button in self.recents:
            self._recent_box.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.recents = []
        for path in paths[:MOST_RECENT]:
            button = QPushButton(path.stem, self)
            button.setAutoDefault(True)
            button.setObjectName("word")
            button.setStyleSheet("text-align: left")
            button.setToolTip(str(path))
            button.setAccessibleName(f"Open {path.name} in {path.parent}")
            button.setProperty("path", path)
            button.clicked.connect(self._recent_pressed)
            self._recent_box.addWidget(button)
            self.recents.append(button)
        self._recent_title.setVisible(bool(self.recents))

    def _pressed(self) -> None:
        self.wanted.emit(self.sender().property("command"))

    def _sample_pressed(self) -> None:
        self.sample.emit(self.sender().property("path"))

    def _recent_pressed(self) -> None:
        self.recent.emit(self.sender().property("path"))


def _label(parent: QWidget, text: str, size_px: int, weight: int | None = None) -> QLabel:
    label = QLabel(text, parent)
    label.setWordWrap(True)
    label.setFont(fonts.font(size_px) if weight is None else fonts.font(size_px, weight))
    return label
