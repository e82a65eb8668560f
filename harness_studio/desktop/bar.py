"""A quiet bar that says in one or a few lines what went wrong, and stays until it is put away."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

MOST_LINES = 6


class Bar(QFrame):
    """Hidden while there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("bar")
        self._text = QLabel(self)
        self._text.setWordWrap(True)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self.close_button = QPushButton("Put away", self)
        self.close_button.clicked.connect(self.hide)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(18, 8, 12, 8)
        layout.addWidget(self._text, 1)
        layout.addWidget(self.close_button, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def text(self) -> str:
        """What it says; empty while it is hidden."""
        return "" if self.isHidden() else self._text.text()

    def say(self, what: str) -> None:
        """Show a text; of many lines the first few."""
        lines = what.splitlines() or [what]
        more = len(lines) - MOST_LINES
        shown = lines[:MOST_LINES] + ([f"and {more} more"] if more > 0 else [])
        self._text.setText("\n".join(shown))
        self.setAccessibleName("Notice: " + shown[0])
        self.show()
