"""The results that are shown: the present state's, or the latest there are until those arrive."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from .engine import Engine
from .recompute import Job, Recompute, share_out
from .results import Key, Result, Results
from .scheduler import Scheduler

if TYPE_CHECKING:
    from collections.abc import Mapping

    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.shares import Shares
    from harness_studio.electrics.solution import Solution
    from harness_studio.network.network import Network


class Computed:
    """Results by state, and the one that is shown.

    Parameters
    ----------
    scheduler, engine
        Timers and threads, and what computes.
    tell
        Called when other results are shown.
    """

    def __init__(self, scheduler: Scheduler, engine: Engine, tell: Callable[[], None]) -> None:
        self._engine = engine
        self._tell = tell
        self._results = Results()
        self._recompute = Recompute(scheduler, engine, self._arrived)
        self._wanted: Key | None = None
        self._shown: Result | None = None

    def want(self, key: Key, job: Callable[[], Job], *, at_once: bool = False) -> None:
        """Show the results of a state: at once if they are known, else when they are computed."""
        self._wanted = key
        known = self._results.get(key)
        if known is None:
            self._recompute.ask(job, at_once=at_once)
            return
        self._recompute.drop()
        if known is not self._shown:
            self._show(known)

    @property
    def stale(self) -> bool:
        """Whether what is shown belongs to another state than the wanted one."""
        return self._shown is None or self._shown.key != self._wanted

    @property
    def key(self) -> Key | None:
        """The state that what is shown belongs to."""
        return self._shown.key if self._shown else None

    @property
    def network(self) -> Network | None:
        """What the solution belongs to."""
        return self._shown.network if self._shown else None

    @property
    def solution(self) -> Solution | None:
        """The solution; None if there is none, or none yet."""
        return self._shown.solution if self._shown else None

    @property
    def solve_ms(self) -> float | None:
        """How long expanding and solving took."""
        return self._shown.solve_ms if self._shown else None

    @property
    def readings(self) -> Mapping[str, Reading]:
        """What gauges, lamps, motors and sensors show, by reading; empty without a solution."""
        return self._shown.readings if self._shown else {}

    @property
    def clean_readings(self) -> Mapping[str, Reading]:
        """What they would show with every joint clean."""
        return self._shown.clean if self._shown else {}

    @property
    def clean_solution(self) -> Solution | None:
        """The solution with every joint clean; the same one where no joint is dialled or measured."""
        return self._shown.clean_solution if self._shown else None

    @property
    def problem(self) -> str | None:
        """Why there is no solution, in one line."""
        return self._shown.problem if self._shown else None

    def shares(self, joint: str) -> Shares | None:
        """Return who shares a joint; None if there is no solution or no such joint."""
        return share_out(self._engine, self._shown, joint) if self._shown else None

    def _arrived(self, result: Result) -> None:
        self._results.put(result)
        self._show(result)

    def _show(self, result: Result) -> None:
        self._shown = result
        self._tell()
