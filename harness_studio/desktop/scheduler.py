"""Timers and threads for a session, by Qt."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, QTimer, Signal


class _Relay(QObject):
    """Carries what a worker returned to the thread of the window."""

    arrived = Signal(object)


class _Job(QRunnable):
    """One piece of work beside the window."""

    def __init__(self, work: Callable[[], Any], relay: _Relay) -> None:
        super().__init__()
        self._work = work
        self._relay = relay
        self.setAutoDelete(False)

    def run(self) -> None:
        """Work on another thread; the signal is delivered on the window's, if that is still there."""
        result = self._work()
        with contextlib.suppress(RuntimeError):
            self._relay.arrived.emit(result)


class QtScheduler(QObject):
    """Calls back on the window's thread. After `close` nothing is called any more."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._timers: set[QTimer] = set()
        self._running: dict[_Relay, tuple[_Job, Callable[[Any], None]]] = {}
        self._closed = False

    def later(self, ms: int, do: Callable[[], None]) -> Callable[[], None]:
        """Call `do` in `ms` milliseconds; return what takes it back."""
        timer = QTimer(self)
        timer.setSingleShot(True)
        self._timers.add(timer)

        def end() -> None:
            if timer in self._timers:
                self._timers.discard(timer)
                timer.stop()
                timer.deleteLater()

        def due() -> None:
            end()
            if not self._closed:
                do()

        timer.timeout.connect(due)
        timer.start(ms)
        return end

    def run(self, work: Callable[[], Any], done: Callable[[Any], None]) -> None:
        """Call `work` on another thread, then `done` with what it returned on this one."""
        relay = _Relay()
        job = _Job(work, relay)
        self._running[relay] = (job, done)
        relay.arrived.connect(self._arrived)
        QThreadPool.globalInstance().start(job)

    def _arrived(self, result: object) -> None:
        relay = self.sender()
        entry = self._running.pop(relay, None) if isinstance(relay, _Relay) else None
        if entry is not None and not self._closed:
            entry[1](result)

    def close(self) -> None:
        """Call nothing any more; what is being computed ends by itself."""
        self._closed = True
        for timer in list(self._timers):
            timer.stop()
        self._timers.clear()
