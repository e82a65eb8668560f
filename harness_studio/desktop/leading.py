"""The solution under the casebook's leading suspect, computed beside the window when there is one."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.base.units import show_mohm

from .same import same

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution
    from harness_studio.session.scheduler import Scheduler
    from harness_studio.session.session import Session

_log = logging.getLogger(__name__)
IN_SERIES = ("series", "open", "clip")


class Leading:
    """Keeps one solution: that of the present state with the leading suspect as bad as it is believed to be.

    Parameters
    ----------
    scheduler
        Threads.
    tell
        Called when another solution is there.
    """

    def __init__(self, scheduler: Scheduler, tell: Callable[[], None]) -> None:
        self._scheduler, self._tell = scheduler, tell
        self._state: tuple[object, ...] = ()
        self._solution: Solution | None = None
        self.words = ""

    def solution(self, session: Session) -> Solution | None:
        """Return the solution if it is there; else have it computed, if there is a suspect at all."""
        answer, network, present = session.casework.answer, session.computed.network, session.solution
        first = answer.suspects[0] if answer is not None and answer.suspects else None
        series = first is not None and dict(first.members).get(first.joint, "series") in IN_SERIES
        if first is None or network is None or present is None or not series:
            self._state, self._solution, self.words = (), None, ""
            return None
        state = (present, first.joint, first.added_ohm)
        if same(self._state, state):
            return self._solution
        self._state, self._solution = state, None
        self.words = f"{first.joint} with {show_mohm(first.added_ohm)} more, {first.word}"
        joint, added = first.joint, first.added_ohm

        def work() -> Solution | None:
            from harness_studio.electrics.meter_ohms import if_worse

            try:
                return if_worse(network, present, joint, added)
            except HarnessError:
                return None
            except Exception:
                _log.exception("the leading suspect could not be solved")
                return None

        def arrived(found: Solution | None) -> None:
            if same(self._state, state):
                self._solution = found
                self._tell()

        self._scheduler.run(work, arrived)
        return None
