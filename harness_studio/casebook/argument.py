"""The two-column argument: what the affected loads share on the feed side and on the return side, from sightings.

No number enters. A joint can be the one cause only if every load that changed passes it; and where a thing changed as
the mode changed, only if a load that was switched by it passes it too: without that the joint's current stays.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from harness_studio.electrics.common import common_joints
from harness_studio.electrics.rated import SOURCE_KINDS
from harness_studio.electrics.returns import Metal, metal_of
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .observed import observed

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution
    from harness_studio.network.network import Network

CHANGED = frozenset({"up", "down", "dead", "flickers", "to an end", "glows when off"})
SWITCHED_A, MOST_SWITCHED = 0.5, 8
"""Amperes by which a load must change to count as switched, and how many are told."""
Side = Literal["feed", "return"]
Passed = dict[Side, dict[str, float]]


@dataclass(frozen=True, slots=True)
class Argument:
    """Loads that changed and that stayed; joints all changed ones pass, side by side.

    Parameters
    ----------
    feed, returns
        Joints in question, the one they pass most wholly first.
    cleared
        Joints of the columns that a load which stayed passes as well, with that load: weaker suspects.
    disturbers
        Loads that were switched as something changed, with the amperes they took more (or less), the greatest first.
    ruled_out
        Joints that all changed loads pass, but none that was switched.
    """

    changed: tuple[str, ...]
    stayed: tuple[str, ...]
    feed: tuple[str, ...]
    returns: tuple[str, ...]
    cleared: Mapping[str, str]
    disturbers: tuple[tuple[str, float], ...] = ()
    ruled_out: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The argument as one sentence."""
        if not self.changed:
            return "no load was seen to change, so nothing can be told apart before a reading"
        loads = ", ".join(self.changed)
        sides = (("feed", self.feed), ("return", self.returns))
        shared = [f"on the {side} side they share {', '.join(joints)}" for side, joints in sides if joints]
        bare = [f"nothing is common to them on the {side} side" for side, joints in sides if not joints]
        said = f"{loads} changed: " + "; ".join(shared + bare)
        if self.disturbers:
            said += "; disturbed by " + ", ".join(address for address, _ in self.disturbers)
        return said


def argument(harness: Harness, case: Case) -> Argument:
    """Return what the loads seen to change have in common.

    Raises
    ------
    SolveError
        If the harness has no solution in a mode of the sightings.
    """
    seen = observed(harness, case).sightings
    changed = tuple(dict.fromkeys(s.on for s in seen if s.seen in CHANGED))
    stayed = tuple(dict.fromkeys(s.on for s in seen if s.seen == "stays" and s.on not in changed))
    if not changed:
        return Argument(changed, stayed, (), (), {})
    solved: dict[str | None, Solution] = {}
    mode = next(
        (s.to_mode for s in seen if s.to_mode), next((s.from_mode for s in seen if s.from_mode), None)
    )
    paths = _Paths(_solution(harness, mode, solved))
    passed = {load: paths.of(load) for load in (*changed, *stayed)}
    columns: dict[Side, list[str]] = {side: _common(passed, changed, side) for side in ("feed", "return")}
    disturbers = _disturbers(harness, seen, changed, solved)
    ruled_out: list[str] = []
    if disturbers:
        switched = [paths.of(address) for address, _ in disturbers]
        for side, joints in columns.items():
            out = [j for j in joints if not any(j in one[side] for one in switched)]
            ruled_out += out
            columns[side] = [j for j in joints if j not in out]
    cleared: dict[str, str] = {}
    for load in stayed:
        for side, joints in columns.items():
            for joint in joints:
                if joint in passed[load][side]:
                    cleared.setdefault(joint, load)
    return Argument(
        changed, stayed, tuple(columns["feed"]), tuple(columns["return"]), cleared,
        tuple(disturbers[:MOST_SWITCHED]), tuple(ruled_out),
    )  # fmt: skip


def _solution(harness: Harness, mode: str | None, solved: dict[str | None, Solution]) -> Solution:
    if mode not in solved:
        solved[mode] = solve(expand(harness, mode))
    return solved[mode]


def _common(passed: Mapping[str, Passed], loads: Sequence[str], side: Side) -> list[str]:
    """Return the joints that all loads pass on a side, the one they pass most wholly first."""
    first, *others = [passed[load][side] for load in loads]
    found = {
        joint: min(share, *(o[joint] for o in others)) if others else share
        for joint, share in first.items()
        if all(joint in o for o in others)
    }
    return sorted(found, key=lambda j: (-round(found[j], 6), j))


class _Paths:
    """Which joints each load passes in a solved mode; of a gauge its sender's return counts as well."""

    def __init__(self, solution: Solution) -> None:
        self._solution = solution
        self._network: Network = solution.network
        self._metal: Metal = metal_of(self._network, solution.ohm)
        self._found: dict[str, Passed] = {}

    def of(self, load: str) -> Passed:
        """Return the joints of a load by side, with the greatest share; nothing for what this mode does not have."""
        if load in self._found:
            return self._found[load]
        passed: Passed = {"feed": {}, "return": {}}
        element = next((e for e in self._network.elements if load in (e.address, e.part)), None)
        if element is not None:
            common = common_joints(self._network, self._solution, [element.address], self._metal)
            for joint in common.joints:
                passed[joint.side][joint.joint] = joint.least
        self._found[load] = passed
        return passed


def _disturbers(
    harness: Harness, seen: Sequence[Sighting], changed: Sequence[str], solved: dict[str | None, Solution]
) -> list[tuple[str, float]]:
    """Return the loads whose current changes most in the steps from mode to mode at which something changed."""
    found: dict[str, float] = {}
    steps = {(s.from_mode, s.to_mode) for s in seen if s.seen in CHANGED and s.from_mode and s.to_mode}
    for before, after in sorted(steps, key=str):
        was = _amperes(_solution(harness, before, solved))
        now = _amperes(_solution(harness, after, solved))
        for address in now.keys() | was.keys():
            more = now.get(address, 0.0) - was.get(address, 0.0)
            if abs(more) >= SWITCHED_A and abs(more) > abs(found.get(address, 0.0)):
                found[address] = more
    affected = {load.partition("/")[0] for load in changed}
    ranked = sorted(found.items(), key=lambda item: (-abs(item[1]), item[0]))
    return [(address, more) for address, more in ranked if address.partition("/")[0] not in affected]


def _amperes(solution: Solution) -> dict[str, float]:
    """Return the amperes of each load: the greatest at any of its terminals."""
    return {
        e.address: max((abs(a) for a in e.amperes), default=0.0)
        for e in solution.elements
        if e.kind not in SOURCE_KINDS and e.kind not in ("relay", "flasher")
    }
