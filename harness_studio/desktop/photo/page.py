"""The page of the photo: what lies under the page that is shown, and what can be done to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSlider,
    QVBoxLayout,
    QWidget,
)

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.model.values import TracedPhoto
    from harness_studio.session.session import Session

HINT = "A photo, a scan or a page of a PDF lies under the drawing, to trace it. It is kept as PNG beside the project."


class PhotoPage(QWidget):
    """`wanted` names a command, `faded` and `locked` have what was set, `length` what was typed."""

    title = "Photo"
    wanted = Signal(str)
    faded = Signal(float)
    locked = Signal(bool)
    length = Signal(str)
    placed = Signal(str, str, str)
    needed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.says = QLabel(HINT, self)
        self.says.setWordWrap(True)
        self.says.setObjectName("quiet")
        self.buttons: dict[str, QPushButton] = {}
        for command, words in (
            ("photo", "Put a photo under this page…"),
            ("photo_scale", "Set the scale: two points and a length"),
            ("photo_move", "Move it: a point, and where it belongs"),
            ("photo_remove", "Take it away"),
        ):
            button = QPushButton(words, self)
            button.setProperty("command", command)
            button.clicked.connect(self._pressed)
            self.buttons[command] = button
        self.fade = QSlider(Qt.Orientation.Horizontal, self)
        self.fade.setRange(0, 95)
        self.fade.setPageStep(10)
        self.fade.setAccessibleName("Fade of the photo, per cent")
        self.fade.setTracking(False)
        self.fade.valueChanged.connect(self._fade_moved)
        self.lock = QCheckBox("Locked: it is neither moved nor scaled", self)
        self.lock.toggled.connect(self.locked)
        self.between = QLineEdit(self)
        self.between.setPlaceholderText("length between the points: 320, 1.2 m, 14 in")
        self.between.setAccessibleName("Length between the two points")
        self.between.returnPressed.connect(self._length_typed)
        self.between.hide()
        self.at = [QLineEdit(self), QLineEdit(self), QLineEdit(self)]
        names = ("Left edge, mm", "Top edge, mm", "Scale, mm to the pixel")
        for field, name in zip(self.at, names, strict=True):
            field.setAccessibleName(name)
            field.editingFinished.connect(self._placed)
        self._lay_out(names)

    def _lay_out(self, names: tuple[str, ...]) -> None:
        form = QFormLayout()
        form.addRow("Fade", self.fade)
        for name, field in zip(names, self.at, strict=True):
            form.addRow(name, field)
        row = QHBoxLayout()
        row.addWidget(self.between)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 8)
        layout.setSpacing(8)
        layout.addWidget(self.says)
        for command in ("photo", "photo_scale"):
            layout.addWidget(self.buttons[command])
        layout.addLayout(row)
        layout.addWidget(self.buttons["photo_move"])
        layout.addLayout(form)
        layout.addWidget(self.lock)
        layout.addWidget(self.buttons["photo_remove"])
        layout.addStretch(1)

    def say(self, what: str) -> None:
        """Say something in place of the hint."""
        self.says.setText(what or HINT)

    def show_session(self, _session: Session) -> None:
        """Ask for the photo of the page that is shown."""
        self.needed.emit()

    def show_photo(self, photo: TracedPhoto | None, problem: str = "") -> None:
        """Show what lies under the page."""
        free = photo is not None and not photo.locked
        for command in ("photo_scale", "photo_move"):
            self.buttons[command].setEnabled(free)
        self.buttons["photo_remove"].setEnabled(photo is not None)
        for field in (self.fade, self.lock, *self.at):
            field.setEnabled(photo is not None)
            field.blockSignals(True)
        self.fade.setValue(round(photo.fade * 100) if photo is not None else 60)
        self.lock.setChecked(photo is not None and photo.locked)
        values = [f"{v:g}" for v in (*photo.at, photo.mm_per_px)] if photo is not None else [""] * 3
        for field, value in zip(self.at, values, strict=True):
            field.setText(value)
            field.setReadOnly(not free)
        for field in (self.fade, self.lock, *self.at):
            field.blockSignals(False)
        if problem:
            self.say(problem)

    def set_theme(self, _theme: Theme) -> None:
        """Leave that to the palette."""

    def ask_length(self) -> None:
        """Ask how far apart the two points are."""
        self.say("How far apart are these points on the real thing? Enter takes it, Escape leaves the scale.")
        self.between.clear()
        self.between.show()
        self.between.setFocus()

    def _length_typed(self) -> None:
        self.length.emit(self.between.text())

    def _fade_moved(self, value: int) -> None:
        self.faded.emit(value / 100)

    def _placed(self) -> None:
        self.placed.emit(*(field.text() for field in self.at))

    def _pressed(self) -> None:
        self.wanted.emit(self.sender().property("command"))
