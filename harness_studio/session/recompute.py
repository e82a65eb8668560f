"""From an edit to new results: wait until the editing pauses, take a snapshot, expand, solve, share out."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import AddressError, HarnessError
from harness_studio.model.harness import Harness

from .engine import Engine
from .results import Key, Result
from .scheduler import Cancel, Scheduler

if TYPE_CHECKING:
    from collections.abc import Mapping

    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.shares import Shares

    Readings = Mapping[str, Reading]

DELAY_MS = 40
"""How long the editing must pause."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be computed: a snapshot, its key, and the joint that is looked at."""

    harness: Harness
    key: Key
    joint: str | None = None


def compute(engine: Engine, job: Job) -> Result:
    """Solve a job. Nothing escapes: what went wrong stands in the result, and a defect of the program in the log."""
    result = Result(job.key)
    try:
        engine.load()
        start = time.perf_counter()
        result.network, result.solution = engine.solve(job.harness, job.key)
        result.solve_ms = (time.perf_counter() - start) * 1e3
        result.readings, result.clean = engine.read(job.harness, job.key, result.solution)
        result.clean_solution = engine.clean(job.harness, job.key, result.solution)
    except HarnessError as error:
        result.problem = " ".join(str(error).split())
    except Exception as error:
        _log.exception("the harness could not be solved")
        result.problem = f"a defect of the program, see the log: {type(error).__name__}: {error}"
    if job.joint is not None:
        share_out(engine, result, job.joint)
    return result


def share_out(engine: Engine, result: Result, joint: str) -> Shares | None:
    """Return who shares a joint in a result, computed once; None if it has no such joint or no solution."""
    if result.network is None or result.solution is None:
        return None
    if joint not in result.shares:
        found = None
        try:
            found = engine.shares(result.network, result.solution, joint)
        except AddressError:
            pass  # chosen in another state of the harness
        except Exception:
            _log.exception("the shares of %s could not be computed", joint)
        result.shares[joint] = found
    return result.shares[joint]


class Recompute:
    """Computes the latest request once requests pause. One computation runs at a time; what is overtaken is dropped."""

    def __init__(
        self,
        scheduler: Scheduler,
        engine: Engine,
        deliver: Callable[[Result], None],
        delay_ms: int = DELAY_MS,
    ) -> None:
        self._scheduler = scheduler
        self._engine = engine
        self._deliver = deliver
        self._delay_ms = delay_ms
        self._generation = 0
        self._take_back: Cancel | None = None
        self._running = False
        self._due: Callable[[], Job] | None = None

    def ask(self, job: Callable[[], Job], *, at_once: bool = False) -> None:
        """Compute soon; `job` is called when it starts, so that many edits cost one snapshot.

        Parameters
        ----------
        at_once
            Do not wait for a pause: the caller itself asks only when the last result has arrived.
        """
        self.drop()
        if at_once:
            self._start(job)
        else:
            self._take_back = self._scheduler.later(self._delay_ms, lambda: self._start(job))

    def drop(self) -> None:
        """Forget what was asked for, and what is being computed."""
        self._generation += 1
        self._due = None
        if self._take_back is not None:
            self._take_back()
            self._take_back = None

    def _start(self, job: Callable[[], Job]) -> None:
        if self._running:
            self._due = job
            return
        self._running = True
        generation, made = self._generation, job()
        self._scheduler.run(
            lambda: compute(self._engine, made), lambda result: self._arrived(generation, result)
        )

    def _arrived(self, generation: int, result: Result) -> None:
        self._running = False
        if generation == self._generation:
            self._deliver(result)
        elif self._due is not None:
            due, self._due = self._due, None
            self._start(due)
