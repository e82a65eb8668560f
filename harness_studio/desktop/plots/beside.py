"""Computes the readings against a joint's resistance beside the window, with progress; what is overtaken stops."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from harness_studio.session.attempt import attempt

if TYPE_CHECKING:
    from harness_studio.electrics.against import Against
    from harness_studio.session.scheduler import Cancel, Scheduler
    from harness_studio.session.session import Session

LOOK_MS = 120
"""How often progress is looked at."""


class Beside:
    """One computation at a time.

    Parameters
    ----------
    scheduler
        Timers and threads.
    done
        Gets what was found, or words for why there is nothing.
    progress
        Gets resistances done and in all, now and then.
    """

    def __init__(
        self,
        scheduler: Scheduler,
        done: Callable[[Against | str], None],
        progress: Callable[[int, int], None],
    ) -> None:
        self._scheduler, self._done, self._progress = scheduler, done, progress
        self._generation = 0
        self._at = (0, 1)
        self._look: Cancel | None = None
        self.busy = False

    def stop(self) -> None:
        """Let what is being computed end, and forget it."""
        self._generation += 1
        self.busy = False
        if self._look is not None:
            self._look()
            self._look = None

    def want(self, session: Session, joint: str, also: Sequence[str] = ()) -> None:
        """Compute the readings against a joint's resistance, those of `also` in any case."""
        self.stop()
        network = session.computed.network
        if network is None:
            self._done(session.computed.problem or "Solving.")
            return
        self.busy, self._at = True, (0, 1)
        generation, harness = self._generation, session.harness.snapshot()

        def step(done: int, whole: int) -> bool:
            if generation == self._generation:
                self._at = (done, whole)
            return generation == self._generation

        def work() -> Against | str:
            from harness_studio.electrics.against import against

            found = against(harness, network, joint, also=also, progress=step)
            return found or f"{joint} is no joint that can be made worse."

        def arrived(found: Against | str | None, problem: str | None) -> None:
            if generation == self._generation:
                self.stop()
                self._done(found if found is not None else f"Not solved: {problem}")

        self._watch(generation)
        self._scheduler.run(
            lambda: attempt(f"the readings against {joint}", work), lambda result: arrived(*result)
        )

    def _watch(self, generation: int) -> None:
        def look() -> None:
            if self.busy and generation == self._generation:
                self._progress(*self._at)
                self._watch(generation)

        if self.busy:
            self._look = self._scheduler.later(LOOK_MS, look)
