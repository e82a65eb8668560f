"""How the window keeps moving while something long is worked out beside it."""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

if TYPE_CHECKING:
    from .window import Window

LOOK_MS = 500


class LongLived(QObject):
    """Keeps what an open harness is made of out of the way of the collector of garbage.

    Its full passes hold the interpreter for as long as there are objects: 50 ms on a large harness, several times
    during a long sweep. What is there once a harness is drawn and solved stays while it is shown, so it need not be
    looked through; when another one is shown it is given back. Both only move lists and take no time.
    """

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._session: object = None
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.settle)
        self._timer.start(LOOK_MS)

    def settle(self) -> None:
        """Put away what there is, once for each harness: when it is drawn and solved."""
        session, diagram = self._window.session, self._window.diagram
        if session is self._session or session.solution is None or diagram.busy:
            return
        if self._session is not None:
            gc.unfreeze()
        self._session = session
        gc.freeze()
