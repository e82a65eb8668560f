"""The card in the ground map: a button that moves a return, and after it the table of before and after."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from harness_studio.desktop import look
from harness_studio.drawing import fonts

from .returns import Line


class MoveCard(QWidget):
    """`wanted` asks for the list of grounds, `undone` for the step to be taken back."""

    wanted = Signal()
    undone = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.move_button = QPushButton("Move a return…", self)
        self.move_button.setToolTip(
            "Put a return on another ground; or drag its line from the list onto a ground"
        )
        self.move_button.clicked.connect(lambda _=False: self.wanted.emit())
        self.card = QFrame(self)
        self.card.setObjectName("proof")
        self.title = QLabel(self.card)
        self.title.setWordWrap(True)
        self.title.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
        self.undo_button, self.away_button = (
            QPushButton("Undo", self.card),
            QPushButton("Put away", self.card),
        )
        self.undo_button.clicked.connect(lambda _=False: self.undone.emit())
        self.away_button.clicked.connect(lambda _=False: self.card.hide())
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(2)
        self._grid.setColumnStretch(0, 1)
        self._cells: list[QLabel] = []
        self.lines: tuple[Line, ...] = ()
        inner = QVBoxLayout(self.card)
        inner.setContentsMargins(12, 9, 12, 9)
        inner.setSpacing(6)
        inner.addWidget(self.title)
        inner.addLayout(self._grid)
        row = QHBoxLayout()
        row.addWidget(self.undo_button)
        row.addWidget(self.away_button)
        row.addStretch(1)
        inner.addLayout(row)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.move_button, 0, Qt.AlignmentFlag.AlignLeft)
        layout.addWidget(self.card)
        self.card.hide()
        self.hide()

    def show_table(self, title: str, lines: Sequence[Line]) -> None:
        """Show what a move changed."""
        for cell in self._cells:
            self._grid.removeWidget(cell)
            cell.deleteLater()
        self._cells = []
        self.lines = tuple(lines)
        self.title.setText(title)
        rows = [
            ("", "before", "after", False),
            *((line.what, line.before, line.after, line.noticed) for line in lines),
        ]
        if not lines:
            rows = [("Nothing changes that one would notice.", "", "", False)]
        for row, (what, before, after, noticed) in enumerate(rows):
            for column, text in enumerate((what, before, after)):
                label = QLabel(text, self.card)
                label.setFont(fonts.font(fonts.SMALL_PX + 1, fonts.STRONG) if noticed else look.small())
                if row == 0 or column == 1:
                    label.setObjectName("quiet")
                side = Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight
                self._grid.addWidget(label, row, column, side)
                self._cells.append(label)
        self.card.show()
