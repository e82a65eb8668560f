"""A session as it is at one moment, for what is worked out on another thread."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.solution import Solution
    from harness_studio.model.harness import Harness
    from harness_studio.network.network import Network
    from harness_studio.session.session import Session


@dataclass(frozen=True, slots=True)
class StillResults:
    """The results that are shown, see `session.Computed`."""

    network: Network | None
    solution: Solution | None
    clean_solution: Solution | None
    readings: Mapping[str, Reading]
    clean_readings: Mapping[str, Reading]
    problem: str | None


@dataclass(frozen=True, slots=True)
class Still:
    """What a plot reads of a session: a snapshot of the harness, its results, what is chosen and in which mode."""

    harness: Harness
    computed: StillResults
    chosen: str | None
    mode: str | None

    @property
    def solution(self) -> Solution | None:
        """The solution."""
        return self.computed.solution


def still_of(session: Session) -> Session:
    """Return a session's present state; only what `Still` has may be read of it."""
    c = session.computed
    results = StillResults(c.network, c.solution, c.clean_solution, c.readings, c.clean_readings, c.problem)
    return cast("Session", Still(session.harness.snapshot(), results, session.chosen, session.mode))
