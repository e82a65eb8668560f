"""The bench page: one connector half, cavity by cavity, by keys alone: colour, stripe, size, mark, next."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPixmap
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QListWidget, QPushButton, QVBoxLayout, QWidget

from harness_studio.base.errors import EditError
from harness_studio.drawing import fonts, looks
from harness_studio.drawing.faces import Filling
from harness_studio.drawing.theme import Theme
from harness_studio.editing.bench import (
    Seen,
    capture_edit,
    cavities_of,
    line_of,
    new_half,
    put_on_bench,
    wires_at,
)
from harness_studio.editing.quantities import Refused
from harness_studio.placing.faces import face_shape

from .face_picture import FacePicture

if TYPE_CHECKING:
    from harness_studio.session.session import Session

FIELDS = ("colour", "stripe", "size", "mark")
_HINTS = {"colour": "bn, or plug", "stripe": "wh", "size": "1,5 mm²", "mark": "31-7"}
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_PHOTO_PX = 320
DITTO = ('"', "=")
"""Typed alone: the same as in the cavity before."""


class BenchPage(QWidget):
    """Enter goes from field to field and from the last one to the next cavity; Up and Down go to other cavities."""

    title = "Bench"
    keeps_open = True
    face_wanted = Signal()

    def __init__(
        self, parent: QWidget | None = None, page_id: Callable[[], str | None] = lambda: None
    ) -> None:
        super().__init__(parent)
        self._page_id = page_id
        self._session: Session | None = None
        self._revision: object = None
        self._last: dict[str, str] = {}
        self.half: str | None = None
        self.cavity: str | None = None
        self.which = QLineEdit(self)
        self.which.setPlaceholderText("connector: X7, or a new one with its cavities: X30 8")
        self.which.setAccessibleName("Connector on the bench")
        self.which.returnPressed.connect(self._taken)
        self.heading = QLabel(self)
        self.heading.setFont(fonts.font(fonts.TEXT_PX + 1, fonts.STRONG))
        self.picture = FacePicture(self)
        self.picture.pressed.connect(self.go_to)
        self.face_button = QPushButton("Draw up its face…", self)
        self.face_button.setObjectName("word")
        self.face_button.clicked.connect(self.face_wanted)
        self.number = QLabel(self)
        self.number.setFont(fonts.font(fonts.TEXT_PX + 9, fonts.BOLD))
        self.lines = {name: QLineEdit(self) for name in FIELDS}
        self.refusal = QLabel(self)
        self.refusal.setObjectName("refusal")
        self.refusal.setWordWrap(True)
        self.list = QListWidget(self)
        self.list.setAccessibleName("Cavities")
        self.list.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.list.currentRowChanged.connect(self._row)
        self.photo = QLabel(self)
        self.photo.setAccessibleName("Photo of the connector")
        self.photo.hide()
        self._photo_file = ""
        for widget in (self.which, self.list, *self.lines.values()):
            widget.setFont(fonts.font(fonts.TEXT_PX))
        self._lay_out()
        self._enable()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(1)
        grid.addWidget(self.number, 1, 0)
        for column, (name, line) in enumerate(self.lines.items(), 1):
            label = QLabel(name, self)
            label.setObjectName("quiet")
            label.setFont(fonts.font(fonts.SMALL_PX + 1))
            label.setBuddy(line)
            line.setPlaceholderText(_HINTS[name])
            line.setAccessibleName(name)
            line.setToolTip(f'{name}; " alone stands for the same as in the cavity before')
            line.installEventFilter(self)
            grid.addWidget(label, 0, column)
            grid.addWidget(line, 1, column)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 6)
        layout.setSpacing(6)
        for widget in (self.which, self.heading, self.picture, self.face_button):
            layout.addWidget(widget)
        layout.addLayout(grid)
        layout.addWidget(self.refusal)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.photo)

    # Showing ---------------------------------------------------------------------------------------------------------

    def show_session(self, session: Session) -> None:
        """Put the selected half on the bench, and show what is known; what is being typed stays."""
        if session is not self._session:
            self._session, self.half, self._revision = session, None, None
        chosen = [i for i in session.selection if i in session.harness.halves]
        if len(chosen) == 1 and chosen[0] != self.half and not self._typed().strip():
            self.take(chosen[0])
            return
        if self.half is not None and self.half not in session.harness.halves:
            self.half = self.cavity = None
            self._enable()
        if session.project.history.revision != self._revision:
            self._show()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.picture.theme = theme
        self.picture.update()

    def take(self, half_id: str) -> None:
        """Put a half on the bench and go to its first cavity that nothing is known of."""
        assert self._session is not None
        self.half = half_id
        names, wires = cavities_of(self._session.harness, half_id), wires_at(self._session.harness, half_id)
        known = self._session.harness.halves[half_id].cavities
        bare = [n for n in names if n not in wires and (n not in known or not known[n].plug)]
        self.cavity = next(iter(bare or names), None)
        self.which.setText(half_id)
        self._enable()
        self._show()

    def _enable(self) -> None:
        there = self.half is not None
        for widget in (self.list, self.face_button, *self.lines.values()):
            widget.setEnabled(there)
        for widget in (self.heading, self.picture, self.number):
            widget.setVisible(there)

    def _show(self) -> None:
        if self._session is None or self.half is None:
            return
        self._revision = self._session.project.history.revision
        harness, half = self._session.harness, self._session.harness.halves[self.half]
        names, wires = cavities_of(harness, self.half), wires_at(harness, self.half)
        if self.cavity not in names:
            self.cavity = names[0] if names else None
        self.heading.setText(
            f"{harness.title_of(self.half)} · {sum(n in wires for n in names)} of {len(names)} wired"
        )
        filled = {n: Filling(plug=True) for n, c in half.cavities.items() if c.plug == "fitted"}
        filled |= {n: Filling(looks.codes(found[0])) for n, found in wires.items()}
        self.picture.show_face(face_shape(half, names), filled, self.cavity)
        self.number.setText(self.cavity or "")
        self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([f"{n}   {line_of(harness, self.half, n, wires.get(n, []))}" for n in names])
        self.list.setCurrentRow(names.index(self.cavity) if self.cavity in names else -1)
        self.list.blockSignals(False)
        self._show_photo()

    def _show_photo(self) -> None:
        """Show the half's photo, if it has one in the project's folder."""
        assert self._session is not None
        found = [p.file for p in self._session.harness.tables["photos"].values() if self.half in p.on]
        path = self._session.path.parent / found[0] if found and self._session.path else None
        name = str(path) if path and path.is_file() else ""
        if name != self._photo_file:
            self._photo_file = name
            picture = QPixmap(name) if name else QPixmap()
            if not picture.isNull():
                room = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
                self.photo.setPixmap(picture.scaled(_PHOTO_PX, 200, *room))
            self.photo.setVisible(not picture.isNull())

    # Typing ----------------------------------------------------------------------------------------------------------

    def _typed(self) -> str:
        return "".join(line.text() for line in self.lines.values())

    def _taken(self) -> None:
        """Put the connector on the bench whose id was typed, or make it."""
        if self._session is None:
            return
        text = self.which.text().strip()
        match = next((i for i in self._session.harness.halves if i.lower() == text.lower()), None)
        try:
            if match is None:
                half = new_half(self._session.harness, text)
                self._session.apply(put_on_bench(self._session.harness, half, self._page_id()))
                match = half.id
        except (Refused, EditError) as error:
            self.refusal.setText(str(error))
            return
        self.refusal.clear()
        self.take(match)
        self.lines["colour"].setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go on with Enter; Up and Down go to other cavities; Escape empties the line."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            name = next((n for n, line in self.lines.items() if line is watched), None)
            if name is not None and event.key() in _ENTER:
                self._next(name)
                return True
            if name is not None and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
                self.step(-1 if event.key() == Qt.Key.Key_Up else 1)
                return True
            if name is not None and event.key() == Qt.Key.Key_Escape and self._typed():
                self._clear()
                return True
        return super().eventFilter(watched, event)

    def _next(self, name: str) -> None:
        plug = name == "colour" and self.lines[name].text().strip().lower() in (
            "plug",
            "plugged",
            "empty",
            "open",
        )
        if name != FIELDS[-1] and not plug:
            following = self.lines[FIELDS[FIELDS.index(name) + 1]]
            following.setFocus(Qt.FocusReason.TabFocusReason)
            following.selectAll()
            return
        if self._write():
            self.step(1)
            self.lines["colour"].setFocus(Qt.FocusReason.TabFocusReason)

    def _write(self) -> bool:
        if self._session is None or self.half is None or self.cavity is None:
            return False
        words = {name: self._last.get(name, "") if line.text().strip() in DITTO else line.text()
                 for name, line in self.lines.items()}  # fmt: skip
        seen = Seen(*(words[name] for name in FIELDS))
        try:
            edit = capture_edit(self._session.harness, self.half, self.cavity, seen)
            if edit is not None:
                self._session.apply(edit)
        except (Refused, EditError) as error:
            self.refusal.setText(f"cavity {self.cavity}: {error}")
            return False
        self._last = words if not seen.nothing else self._last
        self._clear()
        return True

    def _clear(self) -> None:
        self.refusal.clear()
        for line in self.lines.values():
            line.clear()

    def _row(self, row: int) -> None:
        if row >= 0 and self._session is not None and self.half is not None:
            self.go_to(cavities_of(self._session.harness, self.half)[row])

    def step(self, by: int) -> None:
        """Go to the next cavity, or the one before; after the last comes the first."""
        if self._session is None or self.half is None:
            return
        names = cavities_of(self._session.harness, self.half)
        if names:
            at = names.index(self.cavity) if self.cavity in names else 0
            self.go_to(names[(at + by) % len(names)])

    def go_to(self, cavity: str) -> None:
        """Take a cavity in hand."""
        self.cavity = cavity
        self._show()
