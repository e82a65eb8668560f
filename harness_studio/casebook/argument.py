"""The two-column argument: what the affected loads share on the feed side and on the return side, from sightings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from harness_studio.electrics.common import common_joints
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .observed import observed

CHANGED = frozenset({"up", "down", "dead", "flickers", "to an end"})


@dataclass(frozen=True, slots=True)
class Argument:
    """Loads that changed and that stayed; joints all changed ones pass, side by side.

    `cleared` holds joints of those columns that a load which stayed passes as well, with that load: weaker suspects.
    """

    changed: tuple[str, ...]
    stayed: tuple[str, ...]
    feed: tuple[str, ...]
    returns: tuple[str, ...]
    cleared: Mapping[str, str]

    @property
    def words(self) -> str:
        """The argument as one sentence."""
        if not self.changed:
            return "no load was seen to change, so nothing can be told apart before a reading"
        loads = ", ".join(self.changed)
        sides = (("feed", self.feed), ("return", self.returns))
        shared = [f"on the {side} side they share {', '.join(joints)}" for side, joints in sides if joints]
        bare = [f"nothing is common to them on the {side} side" for side, joints in sides if not joints]
        return f"{loads} changed: " + "; ".join(shared + bare)


def argument(harness: Harness, case: Case) -> Argument:
    """Return what the loads seen to change have in common.

    Raises
    ------
    SolveError
        If the harness has no solution in the mode of the first sighting.
    """
    seen = observed(harness, case).sightings
    changed = tuple(dict.fromkeys(s.on for s in seen if s.seen in CHANGED))
    stayed = tuple(dict.fromkeys(s.on for s in seen if s.seen == "stays"))
    if not changed:
        return Argument(changed, stayed, (), (), {})
    network = expand(harness, next((s.to_mode for s in seen if s.to_mode), None))
    solution = solve(network)
    common = common_joints(network, solution, changed)
    feed = tuple(j.joint for j in common.side("feed"))
    returns = tuple(j.joint for j in common.side("return"))
    cleared: dict[str, str] = {}
    for load in stayed:
        for joint in common_joints(network, solution, [load]).joints:
            if joint.joint in feed or joint.joint in returns:
                cleared.setdefault(joint.joint, load)
    return Argument(changed, stayed, feed, returns, cleared)
