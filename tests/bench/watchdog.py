"""Measures the longest time in which the thread of the window takes nothing up."""

import time
from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QElapsedTimer, QEventLoop, QTimer

BEAT_MS = 2


class Watchdog:
    """A heart-beat of the event loop; `longest_ms` is the longest time between two beats, beyond the beat itself."""

    def __init__(self) -> None:
        self.longest_ms = 0.0
        self._clock = QElapsedTimer()
        self._timer = QTimer()
        self._timer.setInterval(BEAT_MS)
        self._timer.timeout.connect(self._tick)

    def watch(self, going: Callable[[], bool], most_s: float) -> None:
        """Run the event loop while something goes on."""
        self._clock.start()
        self._timer.start()
        end = time.perf_counter() + most_s
        while going() and time.perf_counter() < end:
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        self._timer.stop()

    def _tick(self) -> None:
        self.longest_ms = max(self.longest_ms, self._clock.nsecsElapsed() / 1e6 - BEAT_MS)
        self._clock.start()
