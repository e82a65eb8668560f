"""A whole sweep beside the window: every joint of what is shown made bad, with progress, and it can be stopped."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Event
from typing import TYPE_CHECKING

from .attempt import attempt
from .progress import LOOK_MS, Progress
from .scheduler import Cancel, Scheduler

if TYPE_CHECKING:
    from harness_studio.electrics.sweep_rows import SweepRow
    from harness_studio.network.network import Network

    from .session import Session

WORDS = "making every joint bad, one at a time"


@dataclass(frozen=True, slots=True)
class Sweep:
    """What a sweep found: a row for each chain of joints that changes something, the most noticeable first.

    `network` is what was swept; `problem` says in one line why there are no rows.
    """

    network: Network
    mode: str | None
    added_ohm: tuple[float, ...]
    rows: tuple[SweepRow, ...] = ()
    problem: str | None = None


class Sweeping:
    """Does one sweep at a time.

    Parameters
    ----------
    scheduler
        Timers and threads.
    tell
        Called when it begins, goes on, is stopped, and when something was found.
    """

    def __init__(self, scheduler: Scheduler, tell: Callable[[], object]) -> None:
        self._scheduler, self._tell = scheduler, tell
        self._cancel: Event | None = None
        self._look: Cancel | None = None
        self._part = 0.0
        self.found: Sweep | None = None

    @property
    def progress(self) -> Progress | None:
        """How far it is; None while nothing is swept."""
        return Progress(WORDS, self._part) if self._cancel is not None else None

    def start(self, session: Session, added_ohm: Sequence[float]) -> None:
        """Sweep what a session shows; what was being swept is dropped. Nothing where nothing is solved."""
        self.stop()
        network = session.computed.network
        if network is None:
            return
        harness, added = session.harness.snapshot(), tuple(added_ohm)
        cancel = self._cancel = Event()
        self._part, self.found = 0.0, None

        def step(part: float) -> None:
            if self._cancel is cancel:
                self._part = part

        def sweep() -> tuple[SweepRow, ...]:
            from harness_studio.electrics.sweep import prepare
            from harness_studio.electrics.sweep_rows import chains, sweep_rows

            rows = sweep_rows(harness, prepare(network), added, cancelled=cancel.is_set, progress=step)
            return () if cancel.is_set() else tuple(chains(rows))

        def work() -> Sweep:
            rows, problem = attempt("the sweep", sweep)
            return Sweep(network, network.mode.id, added, rows or (), problem)

        def done(found: Sweep) -> None:
            if self._cancel is cancel:
                self._end()
                self.found = found
                self._tell()

        self._scheduler.run(work, done)
        self._watch(cancel)
        self._tell()

    def stop(self) -> None:
        """Drop what is being swept; it ends before its next chunk."""
        if self._cancel is not None:
            self._cancel.set()
            self._end()
            self._tell()

    def forget(self) -> None:
        """Drop what is being swept and what was found: another harness is shown."""
        self.found = None
        self.stop()

    def _end(self) -> None:
        self._cancel = None
        if self._look is not None:
            self._look()
            self._look = None

    def _watch(self, cancel: Event) -> None:
        def look() -> None:
            if self._cancel is cancel:
                self._tell()
                self._watch(cancel)

        if self._cancel is cancel:
            self._look = self._scheduler.later(LOOK_MS, look)
