"""With what the next wire is laid: shown at the foot, and set in a row that a press on it or a key opens."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon, QKeyEvent, QPainter, QPixmap
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from harness_studio.desktop import look
from harness_studio.desktop.details.editors import Line
from harness_studio.drawing import looks
from harness_studio.drawing.pixels import NATURAL_PX_PER_MM, Pixels
from harness_studio.drawing.theme import Theme
from harness_studio.drawing.wires import WireArt, WireBatch
from harness_studio.editing.change import read_field
from harness_studio.editing.fields import class_fields, value_at, with_value
from harness_studio.editing.quantities import Refused
from harness_studio.editing.typed import show
from harness_studio.model.drawing.laying import Pen, pen_of
from harness_studio.model.entities import Wire
from harness_studio.model.values import End
from harness_studio.standards.insulation import names

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window
    from harness_studio.session.session import Session

NAMES = ("size", "colour", "insulation")
_HINTS = {"size": "1,5 mm² or 14 AWG", "colour": "BN/WH or brown with white", "insulation": "PVC, TXL …"}
_PICTURE = QSize(38, 12)
_GAP_PX = 6.0


class NextWire(QFrame):
    """The row of fields, and the button at the foot that opens it.

    Enter or leaving a field takes what was typed; Escape goes back to the drawing.
    """

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.setObjectName("foot")
        self._window = window
        self._fields = {name: class_fields(Wire)[name,] for name in NAMES}
        self.lines = {"size": Line(self), "colour": Line(self, ["BK"]), "insulation": Line(self, names())}
        self.button = QPushButton(self)
        self.button.setObjectName("word")
        self.button.setFont(look.small())
        self.button.setIconSize(_PICTURE)
        self.button.setToolTip("Size, colour and insulation of the wire that is laid next (Shift+W)")
        self.button.clicked.connect(self.toggle)
        self.refusal = QLabel(self)
        self.refusal.setObjectName("refusal")
        row = QHBoxLayout(self)
        row.setContentsMargins(18, 4, 12, 4)
        row.addWidget(_quiet("Next wire", self))
        for name, line in self.lines.items():
            line.setAccessibleName(f"{name} of the next wire")
            line.setToolTip(self._fields[name].meaning)
            line.setPlaceholderText(_HINTS[name])
            line.setMaximumWidth(230)
            line.returnPressed.connect(self.leave)
            line.done.connect(partial(self.take, name))
            row.addWidget(_quiet(name, self))
            row.addWidget(line, 1)
        row.addWidget(self.refusal, 2)
        away = QPushButton("Put away", self)
        away.clicked.connect(self.leave)
        row.addWidget(away)
        self.hide()
        self._ends: list[Callable[[], None]] = []
        window.diagram.laid_out.connect(self.refresh)

    def follow(self, session: Session) -> None:
        """Show what is laid in another session."""
        self.close_session()
        self._ends = [session.subscribe("selection", self.refresh)]

    def close_session(self, _left: bool = False) -> None:
        """Hear no more of the session."""
        for end in self._ends:
            end()
        self._ends = []

    @property
    def pen(self) -> Pen:
        """With what the next wire is laid."""
        return self._window.diagram.pens.now(self._window.session.harness)

    def refresh(self, *_: object) -> None:
        """Show what the next wire is laid with."""
        wire = _wire(self.pen)
        words = ", ".join(_said(wire)) or "of no size and colour yet"
        self.button.setText(f"next wire: {words}")
        self.button.setAccessibleName(f"Next wire: {words}")
        ratio = self.devicePixelRatioF()
        self.button.setIcon(QIcon(picture(wire, self._window.theme, ratio)))
        held = sorted({w.colour for w in self._window.session.harness.wires.values() if w.colour})
        self.lines["colour"].offer(held)
        for name, line in self.lines.items():
            if not line.typing:
                self._show(name, value_at(wire, (name,)))

    def toggle(self) -> None:
        """Open the row with the keys in its first field, or put it away."""
        if self.isVisible():
            self.leave()
            return
        self.refresh()
        self.refusal.clear()
        self.show()
        first = self.lines["size"]
        first.setFocus(Qt.FocusReason.TabFocusReason)

    def leave(self) -> None:
        """Give the keys back to the drawing; the row goes unless something in it cannot be read."""
        for line in self.lines.values():
            line.finish()
        if not self.refusal.text():
            self.hide()
            self._window.diagram.setFocus()

    def take(self, name: str, text: str) -> None:
        """Lay the next wire with what was typed in a field."""
        try:
            value = read_field(self._fields[name], text)
        except Refused as error:
            self.refusal.setText(str(error))
            self.lines[name].setFocus()
            return
        self.refusal.clear()
        self._window.diagram.pens.take(pen_of(with_value(_wire(self.pen), (name,), value)))
        self._show(name, value)
        self.refresh()

    def _show(self, name: str, value: object) -> None:
        self.lines[name].show_text(show(self._fields[name].form, value))
        self.lines[name].setPlaceholderText(_HINTS[name])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go back to the drawing on Escape; what cannot be read is let go."""
        if event.key() == Qt.Key.Key_Escape:
            self.refusal.clear()
            self.hide()
            self.refresh()
            self._window.diagram.setFocus()
        else:
            super().keyPressEvent(event)


def _quiet(text: str, parent: QWidget) -> QLabel:
    label = QLabel(text, parent)
    label.setFont(look.small())
    return label


def _wire(pen: Pen) -> Wire:
    return pen.wire("", (End("unknown"), End("unknown")))


def _said(wire: Wire) -> list[str]:
    size = looks.size_words(wire) if looks.area_mm2(wire) is not None else None
    return [word for word in (size, wire.colour, wire.insulation) if word]


def picture(wire: Wire, theme: Theme, ratio: float) -> QPixmap:
    """Return a short piece of a wire as the drawing shows it."""
    width, height = round(_PICTURE.width() * ratio), round(_PICTURE.height() * ratio)
    made = QPixmap(width, height)
    made.fill(Qt.GlobalColor.transparent)
    scale = NATURAL_PX_PER_MM * ratio
    middle = height / 2 / scale
    way = ((0.5, middle), ((width - _GAP_PX * ratio) / scale, middle))
    painter = QPainter(made)
    batch = WireBatch([WireArt("", way, looks.codes(wire), looks.width_mm(wire))])
    batch.paint(painter, Pixels(scale, 0.0, 0.0, width, height, ratio), theme)
    painter.end()
    made.setDevicePixelRatio(ratio)
    return made
