"""How the rest fades when a joint is chosen: 120 ms, or at once where the system asks for less motion."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEasingCurve, QVariantAnimation
from PySide6.QtWidgets import QStyle, QWidget

EASE_MS = 120
FIRST_STEP = 0.3
"""Where it begins: as far as the curve leads within a frame, so that the first picture shows it already."""


class Ease:
    """Runs a number from one value to another.

    Parameters
    ----------
    owner
        The widget that shows it.
    follow
        Gets each value, the last one always.
    """

    def __init__(self, owner: QWidget, follow: Callable[[float], None]) -> None:
        self._owner = owner
        self._follow = follow
        self._motion = QVariantAnimation(owner)
        self._motion.setDuration(EASE_MS)
        self._motion.setEasingCurve(QEasingCurve.Type.OutCubic)
        self._motion.valueChanged.connect(follow)

    def run(self, start: float, end: float) -> None:
        """Run from one value to another."""
        self._motion.stop()
        hint = QStyle.StyleHint.SH_Widget_Animation_Duration
        if (
            start == end
            or not self._owner.isVisible()
            or self._owner.style().styleHint(hint, None, self._owner) <= 0
        ):
            self._follow(end)
            return
        self._motion.setStartValue(start)
        self._motion.setEndValue(end)
        self._motion.start()

    def stop(self) -> None:
        """Stop where it is."""
        self._motion.stop()
