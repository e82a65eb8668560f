"""What was computed, by the state it was computed for; a few of the latest are kept."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.shares import Shares
    from harness_studio.electrics.solution import Solution
    from harness_studio.network.network import Network, Overrides

KEPT = 8


@dataclass(frozen=True, slots=True)
class Key:
    """What a result depends on: the harness, the mode, and what is set beside the file (None for nothing)."""

    revision: int
    mode: str | None = None
    overrides: Overrides | None = None


@dataclass(slots=True)
class Result:
    """One solved state. `problem` says in one line why there is no solution.

    `shares` fills as joints are chosen; None stands for a joint that this network does not have. `readings` are what
    gauges, lamps, motors and sensors show now, `clean` what they would with every joint clean, which `clean_solution`
    is.
    """

    key: Key
    network: Network | None = None
    solution: Solution | None = None
    solve_ms: float | None = None
    problem: str | None = None
    shares: dict[str, Shares | None] = field(default_factory=dict)
    readings: Mapping[str, Reading] = field(default_factory=dict)
    clean: Mapping[str, Reading] = field(default_factory=dict)
    clean_solution: Solution | None = None


class Results:
    """The latest results; one that is asked for counts as used."""

    def __init__(self, kept: int = KEPT) -> None:
        self._kept = kept
        self._by_key: OrderedDict[Key, Result] = OrderedDict()

    def __len__(self) -> int:
        return len(self._by_key)

    def get(self, key: Key) -> Result | None:
        """Return the result for a state, or None."""
        found = self._by_key.get(key)
        if found is not None:
            self._by_key.move_to_end(key)
        return found

    def put(self, result: Result) -> None:
        """Keep a result; the one that was not used for longest goes."""
        self._by_key[result.key] = result
        self._by_key.move_to_end(result.key)
        while len(self._by_key) > self._kept:
            self._by_key.popitem(last=False)
