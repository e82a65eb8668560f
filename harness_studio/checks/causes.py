"""What explains a drop: joints, wires and studs on the way that are beyond their own limits and are told themselves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from .limits import Limit
from .scope import Scope, State
from .ways import Via, both_ways

CONTACTS = frozenset({"switch", "relay"})
JOINTS = frozenset({"crimp", "ring", "stud", "mated", "terminal", "splice_leg", "clip", "mount", "bus"})
"""Joints that should lose next to nothing; a fuse, a contact and a body have figures of their own."""


def joint_limit(scope: Scope, kind: str) -> Limit | None:
    """Return what one joint or contact may lose; None for what is neither."""
    if kind in CONTACTS:
        return scope.limits["contact_drop_v"]
    return scope.limits["joint_drop_v"] if kind in JOINTS else None


def wire_limit(scope: Scope, state: State) -> Limit:
    """Return what one wire may lose."""
    return scope.limits["starter_wire_drop_v" if state.cranking else "wire_drop_v"]


def rise_limit(scope: Scope, state: State) -> Limit:
    """Return what a ground stud may rise."""
    return scope.limits["rise_ground_cranking_v" if state.cranking else "rise_ground_v"]


@dataclass(frozen=True, slots=True)
class Cause:
    """Something on a way that is beyond its own limit: the key of its finding, and the volts that are lost there."""

    key: str
    volts: float


class Causes:
    """The causes on the ways of a solved state.

    A way is the one of least resistance with the joints that are told taken as sound: volts add up along any way, and
    this is the one that current would take if they were mended.
    """

    def __init__(self, scope: Scope, state: State) -> None:
        self._scope = scope
        self._state = state

    @cached_property
    def rising(self) -> dict[int, str]:
        """By point the ground that is told for its rise there."""
        limit = rise_limit(self._scope, self._state).value
        if limit is None:
            return {}
        grounds = self._scope.harness.grounds
        return {
            s.point: s.joint for s in self._state.studs.studs if s.joint in grounds and abs(s.rise_v) > limit
        }

    @cached_property
    def _vias(self) -> tuple[Via, Via]:
        told = (
            n for n, kind in enumerate(self._state.network.branches.kind) if kind != "wire" and self.at(n)
        )
        return both_ways(self._state, told)

    def on_feed(self, point: int | None) -> Iterator[Cause]:
        """Yield what loses too much between the battery's post and a load's feed."""
        yield from self._along(self._vias[0], point)

    def on_return(self, point: int | None, *, but: str = "") -> Iterator[Cause]:
        """Yield what loses too much between a point and the grounded post.

        From a ground stud that is told for its rise on, that is the whole of it; `but` names a ground not to be taken.
        """
        yield from self._along(self._vias[1], point, grounds=True, but=but)

    def _along(self, via: Via, point: int | None, *, grounds: bool = False, but: str = "") -> Iterator[Cause]:
        while point is not None:
            stud = self.rising.get(point) if grounds else None
            if stud is not None and stud != but:
                yield Cause(f"ground_rise/{stud}", abs(float(self._state.solution.volts[point])))
                return
            if point not in via:
                return
            point, branch = via[point]
            found = self.at(branch)
            if found is not None and not found.key.endswith(f"/{but}"):
                yield found

    def at(self, branch: int) -> Cause | None:
        """Return a branch that loses more than it should, None if it does not."""
        branches = self._state.network.branches
        kind, address = branches.kind[branch], branches.address[branch]
        drop_v = abs(self._state.drops_v[branch])
        if kind == "wire":
            limit, rule = wire_limit(self._scope, self._state), "wire_drop"
        else:
            own = joint_limit(self._scope, kind)
            if own is None:
                return None
            limit, rule = own, "contact_drop" if kind in CONTACTS else "joint_drop"
        beyond = limit.value is not None and drop_v > limit.value
        return Cause(f"{rule}/{address}", drop_v) if beyond else None


def explained(drop_v: float, limit_v: float, causes: Iterator[Cause]) -> tuple[str, ...]:
    """Return the keys of the causes without which a drop would be within its limit; none if it would not."""
    keys: list[str] = []
    for cause in causes:
        keys.append(cause.key)
        drop_v -= cause.volts
        if drop_v <= limit_v:
            return tuple(keys)
    return ()


def told_loaded(scope: Scope, joint: str) -> list[str]:
    """Return the key of what tells a joint by the volts it loses in some mode; nothing if none does."""
    for state in scope.states:
        number = state.network.joints.get(joint)
        cause = state.causes.at(number) if number is not None and state.posts else None
        if cause is not None:
            address = cause.key.partition("/")[2]
            return [f"ground_rise/{address}" if address in scope.rising else cause.key]
    return []
