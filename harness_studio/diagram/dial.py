"""The dial beside the chosen joint: how bad is it? An open arc from clean to open, its value and the volts lost."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme, light
from harness_studio.network.network import Overrides

from .dial_scale import STEP, ohm_at, ohm_words, part_of, typed_ohm
from .words import amperes, volts

if TYPE_CHECKING:
    from harness_studio.session.session import Session

WIDTH, HEIGHT = 148, 96
RADIUS, STROKE = 33.0, 7.0
START, SPAN = 212.0, 244.0
"""Degrees, counted anticlockwise from the right: where clean lies, and how far clockwise open is."""
_STEPS = {
    Qt.Key.Key_Up: 1, Qt.Key.Key_Right: 1, Qt.Key.Key_Down: -1, Qt.Key.Key_Left: -1,
    Qt.Key.Key_PageUp: 5, Qt.Key.Key_PageDown: -5,
}  # fmt: skip


class Dial(QWidget):
    """Turns one joint of a session, and puts it back.

    The network is solved for each place the hand comes to; while one is solved only the latest place waits.
    """

    def __init__(self, session: Session, parent: QWidget, away: Callable[[], object]) -> None:
        super().__init__(parent)
        self._session, self._away = session, away
        self.theme: Theme = light()
        self.joint: str | None = None
        self._wanted: float | None = None
        self._typed = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFixedSize(WIDTH, HEIGHT)
        self.setToolTip(
            "How bad is this joint? Drag along the arc, turn the wheel, use arrow keys, or type milliohms and Enter "
            "(o: open). Escape puts it back."
        )
        self.hide()

    def sizeHint(self) -> QSize:
        """Return its one size."""
        return QSize(WIDTH, HEIGHT)

    # The session -----------------------------------------------------------------------------------------------------

    def show_session(self, session: Session) -> None:
        """Stand on the chosen joint of a session, if that can be turned; what another one was turned to is put back."""
        self._session = session
        if session.chosen != self.joint:
            self.put_back()
            self.joint, self._typed = session.chosen, ""
        self.setVisible(self.clean_ohm is not None)
        self._send()
        if self.clean_ohm is not None:
            self.setAccessibleName(f"How bad is {self.joint}? {' '.join(self.words)}")
        self.update()

    @property
    def clean_ohm(self) -> float | None:
        """Resistance of the joint when it is clean; None where there is no such joint."""
        clean = self._session.computed.clean_solution
        if self.joint is None or clean is None or self.joint not in clean.network.joints:
            return None
        ohm = clean.joint(self.joint).ohm
        return None if math.isinf(ohm) else ohm

    @property
    def ohm(self) -> float | None:
        """Where the hand has the joint, else its resistance in what is shown."""
        if self._wanted is not None:
            return self._wanted
        solution = self._session.solution
        if self.joint is None or solution is None or self.joint not in solution.network.joints:
            return None
        return solution.joint(self.joint).ohm

    @property
    def words(self) -> tuple[str, str]:
        """(resistance, what is lost): ('180 mΩ', 'loses 1.80 V at 10.0 A')."""
        ohm, solution = self.ohm, self._session.solution
        if ohm is None or solution is None or self.joint is None or self.joint not in solution.network.joints:
            return "", ""
        found = solution.joint(self.joint)
        if math.isinf(found.ohm):
            return " ".join(ohm_words(ohm)).strip(), f"{volts(abs(found.drop_v))} across it"
        lost = f"loses {volts(abs(found.drop_v))} at {amperes(abs(found.amperes))}"
        return " ".join(ohm_words(ohm)).strip(), lost

    @property
    def dialled(self) -> bool:
        """Whether the joint stands elsewhere than in the file."""
        overrides = self._session.overrides
        return self._wanted is not None or bool(overrides and overrides.joint_ohm)

    def turn(self, ohm: float) -> None:
        """Turn the joint to a resistance, inf for open."""
        if self.joint is not None and self.clean_ohm is not None:
            self._wanted = ohm
            self._send()
            self.update()

    def put_back(self) -> None:
        """Put the joint back to what the file says."""
        self._wanted, self._typed = None, ""
        overrides = self._session.overrides
        if overrides is not None and overrides.joint_ohm:
            back = overrides.joints_as_found
            self._session.set_overrides(back if back != Overrides() else None, at_once=True)
        self.update()

    def _send(self) -> None:
        """Have the latest place solved, once the one before has been."""
        if self._wanted is None or self.joint is None or self._session.computed.stale:
            return
        new = (self._session.overrides or Overrides()).with_joint(self.joint, self._wanted)
        if new == self._session.overrides:
            self._wanted = None
        else:
            self._session.set_overrides(new, at_once=True)

    # The hand --------------------------------------------------------------------------------------------------------

    def _part(self) -> float:
        clean, ohm = self.clean_ohm, self.ohm
        return 0.0 if clean is None or ohm is None else part_of(ohm, clean)

    def _step(self, steps: float) -> None:
        clean = self.clean_ohm
        if clean is not None:
            self.turn(ohm_at(min(1.0, max(0.0, self._part() + steps * STEP)), clean))

    def _to(self, at: QPointF) -> None:
        clean = self.clean_ohm
        if clean is None:
            return
        centre = _centre()
        angle = math.degrees(math.atan2(centre.y() - at.y(), at.x() - centre.x()))
        gone = (START - angle) % 360
        if gone > SPAN:  # in the opening: the nearer end
            gone = SPAN if gone - SPAN < (360 - SPAN) / 2 else 0.0
        self.turn(ohm_at(gone / SPAN, clean))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Turn to where the pointer is."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._typed = ""
            self._to(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the pointer."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._to(event.position())

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Turn by steps."""
        self._step(event.angleDelta().y() / 120)
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn by arrow keys, take a typed value, or put all back."""
        key = Qt.Key(event.key())
        if key in _STEPS:
            self._typed = ""
            self._step(_STEPS[key])
        elif key == Qt.Key.Key_Home:
            self._step(-1e6)
        elif key == Qt.Key.Key_End:
            self._step(1e6)
        elif key == Qt.Key.Key_Escape:
            if self._typed:
                self._typed = ""
            else:
                self.put_back()
                self._away()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            found = typed_ohm(self._typed)
            self._typed = ""
            if found is not None:
                self.turn(found)
        elif key == Qt.Key.Key_Backspace:
            self._typed = self._typed[:-1]
        elif event.text() and event.text() in "0123456789.,o":
            self._typed = (self._typed + event.text())[:7]
        else:
            super().keyPressEvent(event)
            return
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show that keys go here."""
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that keys go elsewhere."""
        self._typed = ""
        self.update()

    # What is seen ----------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw arc, value and what is lost."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
            self._draw(painter)
        finally:
            painter.end()

    def _draw(self, painter: QPainter) -> None:
        theme = self.theme
        paper = theme.colour("paper")
        paper.setAlphaF(0.9)
        painter.setBrush(paper)
        painter.setPen(
            theme.pen("accent" if self.hasFocus() else "hairline", 1.4 if self.hasFocus() else 1.0)
        )
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 8, 8)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        centre, part = _centre(), self._part()
        box = QRectF(centre.x() - RADIUS, centre.y() - RADIUS, 2 * RADIUS, 2 * RADIUS)
        painter.setPen(theme.pen("hairline", STROKE))
        painter.drawArc(box, round(START * 16), round(-SPAN * 16))
        if part > 0.003:
            painter.setPen(theme.pen("accent", STROKE))
            painter.drawArc(box, round(START * 16), round(-SPAN * part * 16))
        angle = math.radians(START - SPAN * part)
        knob = QPointF(centre.x() + RADIUS * math.cos(angle), centre.y() - RADIUS * math.sin(angle))
        painter.setPen(theme.pen("accent", 2.0))
        painter.setBrush(theme.brush("card"))
        painter.drawEllipse(knob, 5.0, 5.0)
        number, unit = (self._typed + "▏", "mΩ") if self._typed else ohm_words(self.ohm or 0.0)
        _write(painter, theme, number, centre.x(), centre.y() - 3, fonts.HEAD_PX, "accent", 700)
        _write(painter, theme, unit, centre.x(), centre.y() + 12, fonts.SMALL_PX, "accent", 600)
        _write(
            painter, theme, "clean", centre.x() - RADIUS - 17, centre.y() + 22, fonts.SMALL_PX, "muted", 400
        )
        _write(
            painter, theme, "open", centre.x() + RADIUS + 17, centre.y() + 22, fonts.SMALL_PX, "muted", 400
        )
        _write(painter, theme, self.words[1], centre.x(), HEIGHT - 12, fonts.SMALL_PX + 1, "ink", 600)


def _centre() -> QPointF:
    return QPointF(WIDTH / 2, 44.0)


def _write(
    painter: QPainter, theme: Theme, text: str, x: float, y: float, px: int, colour: str, weight: int
) -> None:
    painter.setFont(fonts.font(px, weight))
    painter.setPen(theme.colour(colour))
    painter.drawText(QRectF(x - WIDTH / 2, y - 10, WIDTH, 20), int(Qt.AlignmentFlag.AlignCenter), text)
