"""How the window keeps moving while something long is worked out beside it."""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QThreadPool, QTimer
from PySide6.QtGui import QCursor, QGuiApplication

from .same import same

if TYPE_CHECKING:
    from .window import Window

LOOK_MS = 500
QUIET_LOOKS = 6
"""After so many looks at which nothing was found to go on the collector may look through everything."""
LEAST_PASSES = 10
"""Passes over what is young before one over everything is worth while."""
NEVER = 1_000_000_000


def hold_full_passes() -> tuple[int, int, int]:
    """Let the collector begin no full pass by itself; return its thresholds as they were."""
    before = gc.get_threshold()
    gc.set_threshold(*before[:2], NEVER)
    return before


class LongLived(QObject):
    """Keeps full passes of the collector of garbage away from the hand, and what an open harness is made of from them.

    A full pass holds the interpreter for as long as there are objects: 50 to 170 ms on a large harness, on whichever
    thread happens to need memory. None begins by itself here: they wait until nothing goes on, neither in the window
    nor beside it. What is there once a harness is drawn and solved stays while it is shown, and so does what an edit
    made of it; it need not be looked through, so it is put away, which only moves lists and takes no time. It is given
    back, and looked through, when another harness is shown.
    """

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._session: object = None
        self._put_away: object = None
        self._state: tuple[object, ...] = ()
        self._quiet = 0
        self._before = hold_full_passes()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.settle)
        self._timer.start(LOOK_MS)

    def end(self) -> None:
        """Let the collector do as before."""
        self._timer.stop()
        gc.set_threshold(*self._before)

    def settle(self) -> None:
        """Put away what there is, once it is drawn and solved; look through the rest when nothing goes on."""
        session, diagram = self._window.session, self._window.diagram
        if self._session is not None and session is not self._session:
            self._session = self._put_away = None
            gc.unfreeze()
            gc.collect()
        if session.solution is None or diagram.busy or session.computed.stale:
            self._quiet = 0
            return
        self._session = session
        if diagram.scene.layout is not self._put_away:
            self._put_away = diagram.scene.layout
            gc.freeze()
        self._look_through((session, self._put_away, session.solution, QCursor.pos().toTuple()))

    def _look_through(self, state: tuple[object, ...]) -> None:
        """Make a full pass if nothing has gone on for a while and there is enough to look through."""
        pressed = QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton
        busy = pressed or QThreadPool.globalInstance().activeThreadCount() > 0 or not same(state, self._state)
        self._state = state
        self._quiet = 0 if busy else self._quiet + 1
        if self._quiet >= QUIET_LOOKS and gc.get_count()[2] >= LEAST_PASSES:
            gc.collect()
            gc.freeze()
