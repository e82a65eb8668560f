"""A quiet bar that says in one or a few lines what went wrong, or offers something, and stays until it is put away."""

from __future__ import annotations

from collections.abc import Callable, Sequence

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
        self.offers: list[QPushButton] = []
        self._row = layout = QHBoxLayout(self)
        layout.setContentsMargins(18, 8, 12, 8)
        layout.addWidget(self._text, 1)
        layout.addWidget(self.close_button, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def text(self) -> str:
        """What it says; empty while it is hidden."""
        return "" if self.isHidden() else self._text.text()

    def say(self, what: str, offers: Sequence[tuple[str, Callable[[], object]]] = ()) -> None:
        """Show a text, of many lines the first few, and what can be done about it: titles and what they do."""
        self._offer(offers)
        lines = what.splitlines() or [what]
        more = len(lines) - MOST_LINES
        shown = lines[:MOST_LINES] + ([f"and {more} more"] if more > 0 else [])
        self._text.setText("\n".join(shown))
        self.setAccessibleName("Notice: " + shown[0])
        self.show()

    def _offer(self, offers: Sequence[tuple[str, Callable[[], object]]]) -> None:
        for button in self.offers:
            self._row.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.offers = []
        for place, (title, do) in enumerate(offers, 1):
            button = QPushButton(title, self)
            button.clicked.connect(_Taken(self, do))
            self._row.insertWidget(place, button, 0, Qt.AlignmentFlag.AlignTop)
            self.offers.append(button)
        self.close_button.setHidden(bool(offers))  # every offer can be declined


class _Taken:
    """Puts the bar away and does what was offered."""

    def __init__(self, bar: Bar, do: Callable[[], object]) -> None:
        self._bar = bar
        self._do = do

    def __call__(self, _checked: bool = False) -> None:
        self._bar.hide()
        self._do()
