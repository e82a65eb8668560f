"""Which fuse protects which wire: a walk from the battery's hot post through all that can be metal, fuse by fuse.

Every switch may stand in any of its positions and every relay either way, so what is found holds in every mode. Loads
are no metal: a wire behind a load is protected by the load.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from harness_studio.base.ids import split_point
from harness_studio.electrics.rated import SOURCE_KINDS
from harness_studio.electrics.sinks import POSTS
from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

from .returning import returns_of

Step = tuple[int, int, str, str]
"""(other point, branch or -1 for a contact of another position, device, position); both empty for plain metal."""
_CLOSED_OHM = 0.005
"""Taken for a contact that is open in the mode at hand, and for a joint found open (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Reach:
    """What is reached from a fuse (or from the post) without another fuse: its points, and the fuses at the edge."""

    points: frozenset[int]
    fuses: Mapping[str, int]


@dataclass(slots=True)
class Protection:
    """The outcome of the walk.

    Parameters
    ----------
    hot
        Points of the sources' ungrounded posts.
    grounded
        Points that are ground whatever the switches do.
    unfused
        What is reached from the posts without a fuse.
    behind
        By fuse what it protects, until the next fuse.
    fuses_of
        By wire the fuses right before it; several where it is fed more than one way. Unfused wires have none.
    returns
        By wire that brings current of loads back the fuses of those loads, and the ohms of the loop by a shorted load.
    parallel
        Pairs of fuses that feed one stretch: pulling one does not kill it.
    bypassed
        Fuses that metal leads around.
    from_post_ohm, from_ground_ohm
        Least resistance from a hot post, and from the grounded post, to each point; infinite where there is no way.
    via
        On the way of least resistance from a hot post: by point (point before, branch).
    """

    hot: tuple[int, ...] = ()
    grounded: frozenset[int] = frozenset()
    unfused: Reach = field(default_factory=lambda: Reach(frozenset(), {}))
    behind: dict[str, Reach] = field(default_factory=dict)
    fuses_of: dict[str, tuple[str, ...]] = field(default_factory=dict)
    returns: dict[str, dict[str, float]] = field(default_factory=dict)
    unfused_wires: tuple[str, ...] = ()
    parallel: tuple[tuple[str, str], ...] = ()
    bypassed: tuple[str, ...] = ()
    from_post_ohm: list[float] = field(default_factory=list)
    from_ground_ohm: list[float] = field(default_factory=list)
    via: dict[int, tuple[int, int]] = field(default_factory=dict)

    def wires_of(self, fuse: str) -> list[str]:
        """Return the wires that a fuse protects, in the order of the file."""
        return [wire for wire, fuses in self.fuses_of.items() if fuse in fuses]

    def before(self, wire: str) -> tuple[str, ...]:
        """Return the fuses that have to protect a wire: those before it, else those of the loads it returns."""
        return self.fuses_of.get(wire) or tuple(self.returns.get(wire, ()))

    def relying_on(self, fuse: str) -> list[str]:
        """Return the wires that rely on a fuse, feeds and then returns, each in the order of the file."""
        return self.wires_of(fuse) + [
            wire for wire, fuses in self.returns.items() if fuse in fuses and wire not in self.fuses_of
        ]

    def way(self, point: int) -> list[int]:
        """Return the branches on the way of least resistance from a hot post to a point; empty if there is none."""
        found = []
        while point in self.via:
            point, branch = self.via[point]
            if branch >= 0:
                found.append(branch)
        return found[::-1]

    def downstream(self, fuse: str) -> frozenset[int]:
        """Return every point behind a fuse, those behind later fuses too."""
        points: set[int] = set()
        seen: set[str] = set()
        waiting = [fuse]
        while waiting:
            here = waiting.pop()
            if here in seen or here not in self.behind:
                continue
            seen.add(here)
            points |= self.behind[here].points
            waiting.extend(self.behind[here].fuses)
        return frozenset(points)


def protection(harness: Harness, network: Network) -> Protection:
    """Walk from the hot posts of a harness; `network` is its expansion in any mode.

    Plain searches over points and branches, O(E log V) in all. Empty where there is no source.
    """
    near = _metal(harness, network)
    fuses = _fuses(network)
    grounded = _flood(near, _grounded_starts(network), plain=True)
    hot = _hot(network, grounded)
    if not hot:
        return Protection(grounded=frozenset(grounded))
    found = Protection(hot=hot, grounded=frozenset(grounded))
    found.unfused = _reach(near, fuses, hot, grounded)
    parallel, bypassed = _walk(found, near, fuses, grounded)
    found.parallel = tuple(sorted(parallel))
    found.bypassed = tuple(dict.fromkeys(bypassed))
    _name_wires(found, network)
    whole = {
        point: [*steps, *((other, branch, "", "") for other, branch, _ in fuses.get(point, ()))]
        for point, steps in near.items()
    }
    ohm = _ohms(network)
    found.from_post_ohm, found.via = _least(whole, ohm, hot, grounded, network.size)
    start = () if network.grounded is None else (network.index[network.grounded],)
    found.from_ground_ohm, _ = _least(near, ohm, start, set(), network.size)
    behind = {fuse: reach.points for fuse, reach in found.behind.items()}
    live = found.unfused.points.union(*behind.values())
    found.returns = returns_of(network, near, behind, live, found.from_post_ohm, found.from_ground_ohm)
    return found


def _metal(harness: Harness, network: Network) -> dict[int, list[Step]]:
    """Return the neighbours of every point without fuses, contacts in every position."""
    near: dict[int, list[Step]] = {point: [] for point in range(network.size)}

    def join(a: int, b: int, branch: int, device: str = "", position: str = "") -> None:
        near[a].append((b, branch, device, position))
        near[b].append((a, branch, device, position))

    branches = network.branches
    for number, (kind, address) in enumerate(zip(branches.kind, branches.address, strict=True)):
        if kind in ("fuse", "switch"):
            continue
        a, b = int(branches.a[number]), int(branches.b[number])
        if kind == "relay":
            join(a, b, number, split_point(address.partition(":")[0])[0], _throw(address))
        else:
            join(a, b, number)
    for part in harness.parts.values():
        for position, groups in getattr(part.ratings, "positions", {}).items():
            for group in groups:
                points = [network.index.get(f"{part.id}.{t}") for t in group]
                known = [p for p in points if p is not None]
                for a, b in itertools.pairwise(known):
                    join(a, b, _switch_branch(network, part.id, group), part.id, position)
    return near


def _throw(address: str) -> str:
    """Return which way a relay's contact is thrown: 'made' or 'at rest'."""
    return "at rest" if address.endswith("87a") else "made"


def _switch_branch(network: Network, part: str, group: Sequence[str]) -> int:
    return network.joints.get(f"{part}.{group[0]}:{group[1]}", -1) if len(group) == 2 else -1


def _fuses(network: Network) -> dict[int, list[tuple[int, int, str]]]:
    """Return by point (other point, branch, fuse) of the fuses at it."""
    found: dict[int, list[tuple[int, int, str]]] = {}
    branches = network.branches
    for number, kind in enumerate(branches.kind):
        if kind == "fuse":
            a, b, name = int(branches.a[number]), int(branches.b[number]), branches.address[number]
            found.setdefault(a, []).append((b, number, name))
            found.setdefault(b, []).append((a, number, name))
    return found


def _grounded_starts(network: Network) -> list[int]:
    starts = list(network.body_centres.values())
    if network.grounded is not None:
        starts.append(network.index[network.grounded])
    return starts


def _hot(network: Network, grounded: set[int]) -> tuple[int, ...]:
    """Return the ungrounded posts: of the batteries, else of the generators."""
    found: dict[bool, list[int]] = {True: [], False: []}
    for element in network.elements:
        if element.kind in SOURCE_KINDS:
            posts = (element.terminals[t] for t in POSTS[element.kind])
            found[element.kind == "battery"].extend(p for p in posts if p not in grounded)
    return tuple(found[True] or found[False])


def _flood(near: Mapping[int, list[Step]], starts: Iterable[int], *, plain: bool) -> set[int]:
    """Return what is joined to the starts; `plain` passes no contact of switch or relay."""
    seen = set(starts)
    waiting = list(seen)
    while waiting:
        for other, _, device, _ in near[waiting.pop()]:
            if other not in seen and not (plain and device):
                seen.add(other)
                waiting.append(other)
    return seen


def _reach(
    near: Mapping[int, list[Step]],
    fuses: Mapping[int, list[tuple[int, int, str]]],
    starts: Iterable[int],
    stop: set[int],
) -> Reach:
    """Return what is reached from points without a fuse.

    Two contacts of one device are not passed one after the other unless one position closes both: current does not go
    from one throw of a changeover to the other.
    """
    seen: set[tuple[int, str, str]] = {(start, "", "") for start in starts}
    waiting = [(*state, -1) for state in seen]
    points: set[int] = set()
    edge: dict[str, int] = {}
    while waiting:
        here, device, position, came_by = waiting.pop()
        points.add(here)
        for beyond, _, fuse in fuses.get(here, ()):
            edge.setdefault(fuse, beyond)
        for other, branch, by, at in near[here]:
            # Not straight back either: from there the other throw would stand open again.
            if (
                other in stop
                or (by and by == device and at != position)
                or (branch >= 0 and branch == came_by)
            ):
                continue
            state = (other, by, at)
            if state not in seen and (other, "", "") not in seen:
                seen.add(state)
                waiting.append((*state, branch))
    return Reach(frozenset(points), edge)


def _walk(
    found: Protection,
    near: Mapping[int, list[Step]],
    fuses: Mapping[int, list[tuple[int, int, str]]],
    grounded: set[int],
) -> tuple[set[tuple[str, str]], list[str]]:
    """Go from fuse to fuse, the nearest to the posts first; return (parallel pairs, bypassed fuses)."""
    upstream: set[int] = set(found.unfused.points)
    waiting = [(fuse, beyond) for fuse, beyond in found.unfused.fuses.items() if beyond not in grounded]
    parallel: set[tuple[str, str]] = set()
    bypassed = [fuse for fuse, beyond in waiting if beyond in upstream]
    while waiting:
        now = [(f, b) for f, b in dict(waiting).items() if b not in upstream and f not in found.behind]
        waiting = []
        for fuse, beyond in now:
            found.behind[fuse] = _reach(near, fuses, (beyond,), grounded)
        for fuse, _ in now:
            for other, beyond in found.behind[fuse].fuses.items():
                if other == fuse or beyond in grounded:
                    continue
                if other in found.behind and found.behind[other].points & found.behind[fuse].points:
                    parallel.add((min(fuse, other), max(fuse, other)))
                elif beyond in found.behind[fuse].points:
                    bypassed.append(other)
                else:
                    waiting.append((other, beyond))
        for fuse, _ in now:
            upstream |= found.behind[fuse].points
    return parallel, bypassed


def _name_wires(found: Protection, network: Network) -> None:
    branches = network.branches
    order = [address for kind, address in zip(branches.kind, branches.address, strict=True) if kind == "fuse"]
    found.behind = {fuse: found.behind[fuse] for fuse in order if fuse in found.behind}
    unfused = []
    for number, kind in enumerate(branches.kind):
        if kind != "wire":
            continue
        a, wire = int(branches.a[number]), branches.address[number]
        if a in found.unfused.points:
            unfused.append(wire)
            continue
        by = tuple(fuse for fuse, reach in found.behind.items() if a in reach.points)
        if by:
            found.fuses_of[wire] = by
    found.unfused_wires = tuple(unfused)


def _ohms(network: Network) -> list[float]:
    return [ohm if ohm != float("inf") else _CLOSED_OHM for ohm in network.branches.resistance_ohm.tolist()]


def _least(
    near: Mapping[int, list[Step]], ohm: Sequence[float], starts: Iterable[int], stop: set[int], size: int
) -> tuple[list[float], dict[int, tuple[int, int]]]:
    """Return the least resistance from the starts to every point, and the step that leads to it (Dijkstra)."""
    best = [float("inf")] * size
    via: dict[int, tuple[int, int]] = {}
    heap = [(0.0, start) for start in starts]
    for _, start in heap:
        best[start] = 0.0
    while heap:
        so_far, here = heapq.heappop(heap)
        if so_far > best[here]:
            continue
        for other, branch, _, _ in near[here]:
            total = so_far + (ohm[branch] if branch >= 0 else _CLOSED_OHM)
            if other not in stop and total < best[other]:
                best[other] = total
                via[other] = (here, branch)
                heapq.heappush(heap, (total, other))
    return best, via
