"""The page that draws up a connector's face: rows or free places, names, view, lock, outline, with a live picture."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.base.errors import EditError
from harness_studio.desktop.combo import Combo
from harness_studio.drawing import fonts, looks
from harness_studio.drawing.faces import Filling
from harness_studio.drawing.theme import Theme
from harness_studio.editing.bench import cavities_of, wires_at
from harness_studio.editing.face_change import face_edit, names_changed
from harness_studio.editing.face_layouts import (
    LAYOUTS,
    NUMBERINGS,
    as_text,
    from_text,
    laid_out,
    moved_to,
    names_of,
    seen_from_behind,
)
from harness_studio.editing.quantities import Refused
from harness_studio.model.entities import Half
from harness_studio.model.values import Face
from harness_studio.placing.faces import FaceShape, face_shape

from .face_picture import FacePicture

if TYPE_CHECKING:
    from harness_studio.session.session import Session

_LOCKS = ("not known", "top", "bottom", "left", "right")
_MODES = ("rows", "places in mm")
_AS_IT_IS = "as it is"


class Lines(QPlainTextEdit):
    """Several lines of text; Tab leaves them."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setTabChangesFocus(True)
        self.setFont(fonts.font(fonts.TEXT_PX))
        self.setAccessibleName("Cavities, a line a row, or a line a place")


class FacePage(QWidget):
    """Nothing is written before 'Write the face': then all of it is one step."""

    title = "Face"
    keeps_open = True

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._state: object = None
        self._filling = False
        self.half: str | None = None
        self.heading = QLabel(self)
        self.heading.setFont(fonts.font(fonts.TEXT_PX + 1, fonts.STRONG))
        self.picture = FacePicture(self)
        self.picture.setToolTip("Pull a cavity to where it is; it comes into line with others")
        self.picture.pulled.connect(self._pull)
        self.picture.let_go.connect(self._let_go)
        self._pulled: tuple[Face, FaceShape, float] | None = None
        self.names = QLineEdit(self)
        self.names.setPlaceholderText("8, 1-8 or A B C D")
        self.choices = {
            "view": _combo(self, "View", ("mating", "wire entry")),
            "lock": _combo(self, "Side of the lock", _LOCKS),
            "outline": _combo(self, "Outline", ("slab", "round")),
            "layout": _combo(self, "Layout", (_AS_IT_IS, *LAYOUTS)),
            "numbering": _combo(self, "Numbering", NUMBERINGS),
            "typed as": _combo(self, "Typed as", _MODES),
        }
        self.text = Lines(self)
        self.refusal = QLabel(self)
        self.refusal.setObjectName("refusal")
        self.refusal.setWordWrap(True)
        self.behind = QPushButton("See it from the other side", self)
        self.apply = QPushButton("Write the face", self)
        self.names.setAccessibleName("Names of the cavities")
        self.names.setFont(fonts.font(fonts.TEXT_PX))
        self.names.textEdited.connect(self._lay_out_names)
        self.choices["layout"].activated.connect(self._lay_out_names)
        self.choices["numbering"].activated.connect(self._lay_out_names)
        self.choices["typed as"].activated.connect(self._other_mode)
        for name in ("view", "lock", "outline"):
            self.choices[name].activated.connect(self._preview)
        self.text.textChanged.connect(self._preview)
        self.behind.clicked.connect(self._turn)
        self.apply.clicked.connect(self.write)
        self._place()

    def _place(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
        rows: list[tuple[str, QWidget]] = [("cavities", self.names), *self.choices.items()]
        for number, (words, widget) in enumerate(rows):
            label = QLabel(words, self)
            label.setObjectName("quiet")
            label.setBuddy(widget)
            grid.addWidget(label, number, 0)
            grid.addWidget(widget, number, 1)
        grid.setColumnStretch(1, 1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.behind)
        buttons.addStretch(1)
        buttons.addWidget(self.apply)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 6)
        layout.setSpacing(6)
        layout.addWidget(self.heading)
        layout.addWidget(self.picture)
        layout.addLayout(grid)
        layout.addWidget(self.text, 1)
        layout.addWidget(self.refusal)
        layout.addLayout(buttons)

    # Showing ---------------------------------------------------------------------------------------------------------

    def show_session(self, session: Session) -> None:
        """Take the selected half; a face that is being drawn up stays until it is written or another half is taken."""
        chosen = [i for i in session.selection if i in session.harness.halves]
        half = chosen[0] if len(chosen) == 1 else self.half
        if session is not self._session or half not in session.harness.halves:
            half = chosen[0] if len(chosen) == 1 else next(iter(session.harness.halves), None)
        self._session = session
        held = session.harness.halves.get(half or "")
        state = (half, held)
        if state != self._state:
            self._state = state
            self.take(half)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.picture.theme = theme
        self.picture.update()

    def take(self, half_id: str | None) -> None:
        """Begin with the face that a half has, or with a plain one of its cavities."""
        self.half = half_id
        there = self._session is not None and half_id is not None
        for widget in (self.names, self.text, self.behind, self.apply, *self.choices.values()):
            widget.setEnabled(there)
        self.picture.setVisible(there)
        if self._session is None or half_id is None:
            self.heading.setText("Select a connector, or put one on the bench.")
            return
        harness = self._session.harness
        self.heading.setText(harness.title_of(half_id))
        names = cavities_of(harness, half_id)
        face = harness.halves[half_id].face or laid_out(
            Face(view="wire entry"), names, "2 rows", NUMBERINGS[0]
        )
        self._show_face(face)
        self.names.setText(" ".join(names))
        self.choices["layout"].setCurrentText(_AS_IT_IS)
        self._preview()

    def _show_face(self, face: Face) -> None:
        self._filling = True
        self.choices["view"].setCurrentText(face.view)
        self.choices["lock"].setCurrentText(face.lock or _LOCKS[0])
        self.choices["outline"].setCurrentText(face.outline)
        self.choices["typed as"].setCurrentText(_MODES[bool(face.at_mm)])
        self.text.setPlainText(as_text(face))
        self._filling = False

    def draft(self) -> Face:
        """Return the face as it is drawn up now; Refused if it cannot be read."""
        lock = self.choices["lock"].currentText()
        face = Face(
            view=self.choices["view"].currentText(),  # type: ignore[arg-type]
            outline=self.choices["outline"].currentText(),  # type: ignore[arg-type]
            lock=None if lock == _LOCKS[0] else lock,  # type: ignore[arg-type]
        )
        return from_text(
            face, self.text.toPlainText(), free=self.choices["typed as"].currentText() == _MODES[1]
        )

    def _preview(self) -> None:
        if self._filling or self._session is None or self.half is None:
            return
        try:
            face = self.draft()
        except Refused as refused:
            self.refusal.setText(str(refused))
            return
        self.refusal.clear()
        harness = self._session.harness
        half = harness.halves[self.half]
        renamed = names_changed(half.face, face)
        filled = {
            renamed.get(name, name): Filling(looks.codes(wires[0]))
            for name, wires in wires_at(harness, self.half).items()
        }
        self.picture.show_face(face_shape(replace(half, face=face, cavities={})), filled)

    def _lay_out_names(self) -> None:
        layout = self.choices["layout"].currentText()
        if layout == _AS_IT_IS:
            if not self.names.isModified():
                return
            layout = "2 rows"
            self.choices["layout"].setCurrentText(layout)
        try:
            names = names_of(self.names.text())
            old = Face(view=self.choices["view"].currentText())  # type: ignore[arg-type]
            lock = self.choices["lock"].currentText()
            face = laid_out(old, names, layout, self.choices["numbering"].currentText())
        except Refused as refused:
            self.refusal.setText(str(refused))
            return
        self._show_face(replace(face, lock=None if lock == _LOCKS[0] else lock))  # type: ignore[arg-type]
        self._preview()

    def _other_mode(self) -> None:
        """Type the same face the other way: rows become places one pitch apart, places become rows by their heights."""
        free = self.choices["typed as"].currentText() == _MODES[1]
        try:
            face = from_text(Face(), self.text.toPlainText(), free=not free)
        except Refused:
            return
        shape = face_shape(replace(self._bare(), face=face))
        if free:
            places = {c.name: (round(c.at.x_mm, 1) + 0.0, round(-c.at.y_mm, 1) + 0.0) for c in shape.cells}
            text = as_text(Face(at_mm=places))
        else:
            heights = sorted({round(c.at.y_mm) for c in shape.cells})
            cells = sorted(shape.cells, key=lambda c: c.at.x_mm)
            rows = tuple(tuple(c.name for c in cells if round(c.at.y_mm) == h) for h in heights)
            text = as_text(Face(rows=rows))
        self.text.setPlainText(text)

    def _bare(self) -> Half:
        """Return the half with no more cavities than its face shows."""
        assert self._session is not None
        assert self.half is not None
        return replace(self._session.harness.halves[self.half], cavities={})

    def _pull(self, name: str, dx_mm: float, dy_mm: float) -> None:
        """Take a cavity to another place with the pointer; rows become free places by that."""
        if self._pulled is None and not self._take_hold():
            return
        assert self._pulled is not None
        face, shape, scale = self._pulled
        x, y = face.at_mm[name]
        places = moved_to(face.at_mm, name, x + dx_mm / scale, y - dy_mm / scale)
        by = (places[name][0] - x) * scale, (y - places[name][1]) * scale
        cells = tuple(replace(c, at=c.at.moved(*by)) if c.name == name else c for c in shape.cells)
        self._filling = True
        self.text.setPlainText(as_text(replace(face, at_mm=places)))
        self._filling = False
        self.picture.show_face(replace(shape, cells=cells), self.picture.filled, ring=name)

    def _take_hold(self) -> bool:
        """Keep the face and its picture as they are before a cavity is pulled; False for a face that cannot be read."""
        if self.choices["typed as"].currentText() != _MODES[1]:
            self.choices["typed as"].setCurrentText(_MODES[1])
            self._other_mode()
        try:
            face = self.draft()
        except Refused as refused:
            self.refusal.setText(str(refused))
            return False
        shape = face_shape(replace(self._bare(), face=face))
        self._pulled = face, shape, scale_of(face, shape)
        return True

    def _let_go(self) -> None:
        self._pulled = None
        self._preview()

    def _turn(self) -> None:
        """Show what is drawn up from the other side; the connector stays the same."""
        try:
            face = seen_from_behind(self.draft())
        except Refused as refused:
            self.refusal.setText(str(refused))
            return
        self._show_face(face)
        self._preview()

    # Writing ---------------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Write with Ctrl+Enter, start again with Escape."""
        if (
            event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            and event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            self.write()
        elif event.key() == Qt.Key.Key_Escape:
            self.take(self.half)
        else:
            super().keyPressEvent(event)

    def write(self) -> None:
        """Give the half this face, as one step."""
        if self._session is None or self.half is None:
            return
        try:
            self._session.apply(face_edit(self._session.harness, self.half, self.draft()))
        except (Refused, EditError) as error:
            self.refusal.setText(str(error))


def scale_of(face: Face, shape: FaceShape) -> float:
    """Return how many mm of a shape are one mm of free places: it is drawn with its nearest cavities a pitch apart."""
    first, *others = face.at_mm
    start = shape.cell(first)
    for other in others:
        apart = dist(face.at_mm[first], face.at_mm[other])
        end = shape.cell(other)
        if start is not None and end is not None and apart > 0:
            return dist((start.at.x_mm, start.at.y_mm), (end.at.x_mm, end.at.y_mm)) / apart
    return 1.0


def _combo(parent: QWidget, name: str, words: tuple[str, ...]) -> QComboBox:
    combo = Combo(parent)
    combo.addItems(list(words))
    combo.setAccessibleName(name)
    combo.setFont(fonts.font(fonts.TEXT_PX))
    return combo
