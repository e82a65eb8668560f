"""The page of notes: one is written on what is selected, others are listed, changed and taken off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.desktop import look
from harness_studio.desktop.rows import ABOUT, TitleRows
from harness_studio.drawing import fonts

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.session import Session

NOTE = Qt.ItemDataRole.UserRole + 10
HINT = "Select a thing on the diagram, or type a point such as X7.3; write; Ctrl+Enter keeps the note."
WAYS = (("↖", -1, -1), ("↗", 1, -1), ("↙", -1, 1), ("↘", 1, 1))
WAY_NAMES = {"↖": "above left", "↗": "above right", "↙": "below left", "↘": "below right"}


class _Words(QPlainTextEdit):
    """Several lines; Ctrl+Enter keeps them, Tab goes on."""

    kept = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep with Ctrl+Enter."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.kept.emit()
        else:
            super().keyPressEvent(event)


class NotesPage(QWidget):
    """The page. `kept` has (note or '', what it is on, words, way); `gone` a note; `picked` what a note is on."""

    title = "Notes"
    keeps_open = True
    kept = Signal(str, str, str, object)
    gone = Signal(str)
    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.note = ""
        self._listed: object = None
        self._selected: str | None = None
        self._session: Session | None = None
        self.list = QListWidget(self)
        self.list.setAccessibleName("Notes")
        self.list.setItemDelegate(TitleRows(self.list))
        self.on, self.words = QLineEdit(self), _Words(self)
        self.on.setAccessibleName("What the note is on")
        self.on.setPlaceholderText("thing or point, like X7.3")
        self.words.setAccessibleName("Words of the note")
        self.words.setTabChangesFocus(True)
        self.words.setFixedHeight(84)
        self.words.setFont(fonts.font(fonts.TEXT_PX))
        self.keep, self.new, self.remove = (QPushButton(t, self) for t in ("Keep", "New", "Take off"))
        self.ways: dict[str, QPushButton] = {}
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self._lay_out()
        self.list.currentItemChanged.connect(self._picked)
        self.keep.clicked.connect(self._keep)
        self.words.kept.connect(self._keep)
        self.new.clicked.connect(self.begin)
        self.remove.clicked.connect(lambda: self.gone.emit(self.note))
        self._show_buttons()

    def _lay_out(self) -> None:
        heading, hint = QLabel("Notes", self), QLabel(HINT, self)
        heading.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        hint.setWordWrap(True)
        hint.setObjectName("quiet")
        hint.setFont(look.small())
        grid = QGridLayout()
        grid.addWidget(QLabel("on", self), 0, 0)
        grid.addWidget(self.on, 0, 1)
        grid.addWidget(QLabel("says", self), 1, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.words, 1, 1)
        ways = QHBoxLayout()
        for sign, _, _ in WAYS:
            button = QPushButton(sign, self)
            button.setObjectName("word")
            button.setCheckable(True)
            button.setAutoExclusive(True)
            button.setAccessibleName(f"Card {WAY_NAMES[sign]}")
            button.setToolTip(f"card {WAY_NAMES[sign]}")
            ways.addWidget(button)
            self.ways[sign] = button
        self.ways["↗"].setChecked(True)
        ways.addStretch(1)
        grid.addWidget(QLabel("card", self), 2, 0)
        grid.addLayout(ways, 2, 1)
        does = QHBoxLayout()
        for button in (self.keep, self.new, self.remove):
            does.addWidget(button)
        does.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 16, 18, 8)
        column.setSpacing(8)
        for widget in (heading, hint):
            column.addWidget(widget)
        column.addLayout(grid)
        column.addLayout(does)
        column.addWidget(self.said)
        column.addWidget(self.list, 1)

    @property
    def way(self) -> tuple[int, int]:
        """Where the card goes from what it is on: right and down are 1."""
        return next((dx, dy) for sign, dx, dy in WAYS if self.ways[sign].isChecked())

    def show_session(self, session: Session) -> None:
        """List the notes; what is selected is offered for a new one. Another harness starts with an empty form."""
        if session is not self._session:
            self._session, self._selected = session, None
            self._empty()
        notes = session.harness.tables["annotations"]
        key = tuple(notes.values())
        if key != self._listed:
            self._listed = key
            self.list.blockSignals(True)
            self.list.clear()
            for note in notes.values():
                item = QListWidgetItem(note.on)
                item.setData(ABOUT, " ".join(note.text.split()))
                item.setData(NOTE, note)
                item.setToolTip(note.text)
                self.list.addItem(item)
                if note.id == self.note:
                    self.list.setCurrentItem(item)
            self.list.blockSignals(False)
            if self.note and self.note not in notes:
                self.begin()
        selected = next(iter(session.selection)) if len(session.selection) == 1 else None
        if selected != self._selected:
            self._selected = selected
            if selected and not self.note and not self.words.toPlainText().strip():
                self.on.setText(selected)

    def begin(self) -> None:
        """Begin a new note."""
        self._empty()
        (self.words if self.on.text() else self.on).setFocus()

    def _empty(self) -> None:
        self.note = ""
        self.list.blockSignals(True)
        self.list.setCurrentRow(-1)
        self.list.blockSignals(False)
        self.words.clear()
        self.on.setText(self._selected or "")
        self.said.clear()
        self._show_buttons()

    def say(self, text: str) -> None:
        """Say what came of it."""
        self.said.setText(text)

    def _show_buttons(self) -> None:
        self.remove.setEnabled(bool(self.note))
        self.keep.setText("Change" if self.note else "Keep")

    def _keep(self) -> None:
        self.kept.emit(self.note, self.on.text().strip(), self.words.toPlainText().strip(), self.way)

    def _picked(self, item: QListWidgetItem | None, _: object = None) -> None:
        if item is None:
            return
        note = item.data(NOTE)
        self.note = note.id
        self.on.setText(note.on)
        self.words.setPlainText(note.text)
        for sign, dx, dy in WAYS:
            if (dx > 0) == (note.offset_mm[0] >= 0) and (dy > 0) == (note.offset_mm[1] >= 0):
                self.ways[sign].setChecked(True)
        self.said.clear()
        self._show_buttons()
        self.picked.emit(note.on)

    def set_theme(self, _theme: Theme) -> None:
        """Everything here follows the palette."""
