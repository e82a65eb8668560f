"""What an empty window shows: three ways to begin."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QVBoxLayout, QWidget

from harness_studio.drawing import fonts

LINES = "Records a vehicle's harness, shows which circuits share a ground, and tells what a poor joint there would do."


class StartPage(QFrame):
    """Buttons for the first step. `wanted` names the command."""

    wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("start")
        title = QLabel("Harness Studio", self)
        title.setFont(fonts.font(26, fonts.STRONG))
        what = QLabel(LINES, self)
        what.setWordWrap(True)
        what.setObjectName("quiet")
        what.setFont(fonts.font(fonts.TEXT_PX))
        column = QVBoxLayout()
        column.setSpacing(10)
        column.addWidget(title)
        column.addWidget(what)
        column.addSpacing(14)
        self.buttons: dict[str, QPushButton] = {}
        for command, words in (
            ("open_sample", "Open the sample"),
            ("open", "Open a project…"),
            ("import_kbl", "Import a harness description list (KBL)…"),
        ):
            button = QPushButton(words, self)
            button.setProperty("command", command)
            button.clicked.connect(self._pressed)
            self.buttons[command] = button
            column.addWidget(button)
        self.buttons["open_sample"].setObjectName("main")
        inner = QWidget(self)
        inner.setLayout(column)
        inner.setFixedWidth(380)
        layout = QVBoxLayout(self)
        layout.addStretch(2)
        layout.addWidget(inner, 0, Qt.AlignmentFlag.AlignHCenter)
        layout.addStretch(3)

    def _pressed(self) -> None:
        self.wanted.emit(self.sender().property("command"))
