"""The small record in the ground map: the told reading at every resistance of the joint, and where the dial stands."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from harness_studio.base.units import show_mohm
from harness_studio.desktop import look
from harness_studio.desktop.if_it_were import chosen_reading
from harness_studio.desktop.load_readings import titled
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme, light

from .beside import Beside

if TYPE_CHECKING:
    from harness_studio.electrics.against import Against
    from harness_studio.session.scheduler import Scheduler
    from harness_studio.session.session import Session

HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 74, 52, 34, 8, 18
LEAST_OHM, OPEN_PART = 1e-3, 0.86
"""Where the scale begins, and where 'open' stands behind its end at 10 Ω."""


def part_of_scale(ohm: float) -> float:
    """Return where a resistance stands on the record's scale, 0 to 1."""
    if math.isinf(ohm):
        return 1.0
    return OPEN_PART * min(1.0, max(0.0, math.log10(max(ohm, LEAST_OHM) / LEAST_OHM) / 4.0))


_NOTHING = 1e-9


class Record(QWidget):
    """The card. `wanted` asks for the plot of all readings."""

    wanted = Signal()

    def __init__(self, scheduler: Scheduler, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._beside = Beside(scheduler, self._found, lambda _done, _all: None)
        self._session: Session | None = None
        self._key: object = None
        self.found: Against | None = None
        self.reading: str | None = None
        self.curve = Curve(self)
        self.title = QLabel(self)
        self.title.setFont(look.small())
        self.title.setObjectName("quiet")
        self.all = QPushButton("All readings against resistance", self)
        self.all.setObjectName("word")
        self.all.setFont(look.small())
        self.all.clicked.connect(lambda _=False: self.wanted.emit())
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.title)
        layout.addWidget(self.curve)
        layout.addWidget(self.all, 0, Qt.AlignmentFlag.AlignLeft)
        self.hide()

    def show_session(self, session: Session) -> None:
        """Show the reading that is told of the chosen joint; while only that joint is dialled the curve stays."""
        self._session = session
        outlooks = session.forecast.shown
        reading = chosen_reading(session, outlooks) if outlooks and session.chosen else None
        network, joint = session.computed.network, session.chosen
        if reading is None or joint is None or network is None or joint not in network.joints:
            self._beside.stop()
            self._key, self.found = None, None
            self.hide()
            return
        state = session.computed.key
        overrides = state.overrides.with_joint(joint, None) if state is not None and state.overrides else None
        bare = (
            replace(state, overrides=overrides if overrides and overrides.joint_ohm else None)
            if state
            else None
        )
        key = (joint, reading, bare, session.harness.settings.title)
        if key != self._key:
            self._key, self.found, self.reading = key, None, reading
            self._beside.want(session, joint, (reading,))
        self._draw()

    def _found(self, found: Against | str) -> None:
        self.found = None if isinstance(found, str) else found
        self._draw()

    def _draw(self) -> None:
        session, found, key = self._session, self.found, self.reading
        if (
            session is None
            or found is None
            or key is None
            or key not in found.values
            or session.solution is None
        ):
            self.setVisible(False)
            return
        now = session.computed.readings.get(key)
        joints = session.solution.network.joints
        here = session.solution.joint(found.joint).ohm if found.joint in joints else found.present_ohm
        what = key.rpartition(" ")[2]
        self.title.setText(f"{titled(session.harness, key)}, {what}, against the joint's resistance")
        self.curve.show_values(found, key, here, None if now is None else now.value)
        self.setVisible(True)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.curve.theme = theme
        self.curve.update()


class Curve(QWidget):
    """The curve: a dot at every resistance that was solved, a ring where the joint stands now."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = light()
        self._points: list[tuple[float, float, float]] = []
        self._unit, self._here = "", 0.0
        self._now: float | None = None
        self.setFixedHeight(HEIGHT)
        self.setMouseTracking(True)

    def show_values(self, found: Against, key: str, here_ohm: float, now: float | None) -> None:
        """Show the values of one reading, and where the joint stands with what is read now."""
        self._unit = found.units[key].replace("of scale", "")
        pairs = [(o, v) for o, v in zip(found.ohm, found.values[key], strict=True) if v is not None]
        # What is left of nothing after solving is nothing.
        least = _NOTHING * max((abs(v) for _, v in pairs), default=0.0)
        self._points = [(part_of_scale(o), v if abs(v) > least else 0.0, o) for o, v in pairs]
        self._here, self._now = here_ohm, now
        first, last = (self._points[0], self._points[-1]) if self._points else ((0, 0, 0), (0, 0, 0))
        said = f"{first[1]:.3g} {self._unit} at {show_mohm(first[2])}, {last[1]:.3g} {self._unit} {show_mohm(last[2])}"
        self.setAccessibleName(f"record of {key}: {said}")
        self.setToolTip(said)
        self.update()

    @property
    def dots(self) -> list[tuple[float, float]]:
        """(ohms, value) of every dot."""
        return [(ohm, value) for _, value, ohm in self._points]

    def _place(self, part: float, value: float) -> QPointF:
        values = [v for _, v, _ in self._points] + ([self._now] if self._now is not None else [])
        low, high = min(values), max(values)
        wide, high_px = self.width() - LEFT - RIGHT, HEIGHT - TOP - BOTTOM
        share = (value - low) / (high - low) if high > low else 0.5
        return QPointF(LEFT + part * wide, TOP + (1.0 - share) * high_px)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Tell the numbers of the nearest dot."""
        if self._points:
            x = event.position().x()
            _, value, ohm = min(self._points, key=lambda p: abs(self._place(p[0], p[1]).x() - x))
            self.setToolTip(f"{value:.4g} {self._unit} at {show_mohm(ohm)}")

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        if not self._points:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        theme, bottom = self.theme, HEIGHT - BOTTOM + 3
        painter.setPen(theme.pen("hairline", 1.0))
        painter.drawLine(QPointF(LEFT, bottom), QPointF(self.width() - RIGHT, bottom))
        places = [self._place(part, value) for part, value, _ in self._points]
        painter.setPen(theme.pen("accent", 1.6))
        painter.drawPolyline(QPolygonF(places))
        painter.setBrush(theme.brush("accent"))
        for place in places:
            painter.drawEllipse(place, 1.9, 1.9)
        if self._now is not None:
            painter.setPen(theme.pen("ink", 1.6))
            painter.setBrush(theme.brush("card"))
            painter.drawEllipse(self._place(part_of_scale(self._here), self._now), 4.0, 4.0)
        painter.setFont(fonts.font(fonts.SMALL_PX))
        painter.setPen(theme.colour("muted"))
        wide = self.width() - LEFT - RIGHT
        for ohm, words in ((1e-3, "1 mΩ"), (0.1, "100"), (10.0, "10 Ω"), (math.inf, "open")):
            at = LEFT + part_of_scale(ohm) * wide
            painter.drawText(QRectF(at - 30, bottom + 1, 60, 14), int(Qt.AlignmentFlag.AlignHCenter), words)
        values = [value for _, value, _ in self._points]
        beside = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        for value in {max(values), min(values)}:
            y = self._place(0.0, value).y()
            painter.drawText(QRectF(0, y - 8, LEFT - 6, 16), beside, f"{value:.3g} {self._unit}")
        painter.end()
