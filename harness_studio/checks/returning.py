"""Which wires bring the current of fused loads back: a load that fails as a short draws on them what its fuse lets by.

A return is followed from the load to the first metal of a body; beyond that many share it and no fuse can be named.
Coils and instruments are left out: they limit what flows as long as they are whole, and fail open.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet

from harness_studio.electrics.rated import SOURCE_KINDS
from harness_studio.network.network import Element, Network

LIMITING = frozenset({"relay", "gauge", "stabiliser", "voltmeter", "sender", "ntc", "starter"})
"""Kinds whose returns are not judged against the fuse: coils and instruments, and the starter, which has none."""
_INTO_METAL = frozenset({"stud", "mount", "body"})
Steps = Mapping[int, Iterable[tuple[int, int, str, str]]]
"""By point (other point, branch, device, position), as `protection` walks them."""


def returns_of(
    network: Network,
    near: Steps,
    behind: Mapping[str, AbstractSet[int]],
    hot: AbstractSet[int],
    from_post_ohm: Sequence[float],
    from_ground_ohm: Sequence[float],
) -> dict[str, dict[str, float]]:
    """Return by wire {fuse: ohms of the loop by a shorted load}, the least where several loads return by it.

    Parameters
    ----------
    near
        The neighbours of every point, contacts in every position.
    behind
        By fuse the points it protects until the next fuse.
    hot
        Every point on the feed side, where a return cannot go.
    """
    fuses_at: dict[int, list[str]] = {}
    for fuse, points in behind.items():
        for point in points:
            fuses_at.setdefault(point, []).append(fuse)
    metal = _metal_points(network)
    inside = _inside_units(network)
    ways: dict[int, tuple[str, ...]] = {}
    found: dict[str, dict[str, float]] = {}
    for element in network.elements:
        for fuse, back, ohm in _loops(element, fuses_at, hot, from_post_ohm, from_ground_ohm):
            if back not in ways:
                ways[back] = _wires_back(network, near, metal, hot, back, inside)
            for wire in ways[back]:
                known = found.setdefault(wire, {})
                known[fuse] = min(ohm, known.get(fuse, float("inf")))
    return found


def _loops(
    element: Element,
    fuses_at: Mapping[int, Sequence[str]],
    hot: AbstractSet[int],
    from_post_ohm: Sequence[float],
    from_ground_ohm: Sequence[float],
) -> Iterable[tuple[str, int, float]]:
    """Yield (fuse, terminal that returns, ohms there and back) of a load."""
    if element.kind in SOURCE_KINDS or element.kind in LIMITING:
        return
    points = list(dict.fromkeys(element.terminals.values()))
    for feed in points:
        for fuse in fuses_at.get(feed, ()):
            for back in points:
                if back not in hot:
                    yield fuse, back, from_post_ohm[feed] + from_ground_ohm[back]


def _metal_points(network: Network) -> frozenset[int]:
    """Return the points at which a way back ends: on a body, and at the grounded post."""
    branches = network.branches
    found = {
        int(end)
        for number, kind in enumerate(branches.kind)
        if kind in _INTO_METAL
        for end in (branches.a[number], branches.b[number])
    }
    if network.grounded is not None:
        found.add(network.index[network.grounded])
    return frozenset(found)


def _inside_units(network: Network) -> frozenset[int]:
    """Return the branches that join the grounds of a control unit inside it: they are no way back for other loads."""
    units = {element.part for element in network.elements if element.kind == "control_unit"}
    branches = network.branches
    return frozenset(
        number
        for number, (kind, address) in enumerate(zip(branches.kind, branches.address, strict=True))
        if kind == "through" and address.partition(".")[0] in units
    )


def _wires_back(
    network: Network,
    near: Steps,
    metal: AbstractSet[int],
    hot: AbstractSet[int],
    start: int,
    inside: AbstractSet[int],
) -> tuple[str, ...]:
    """Return the wires on some way from a terminal to the first metal; what hangs off the way is cut back."""
    steps: dict[int, set[tuple[int, int]]] = {}
    waiting = [] if start in metal else [start]
    seen = {start}
    while waiting:
        here = waiting.pop()
        for other, branch, _, _ in near[here]:
            if other in hot or branch in inside:
                continue
            steps.setdefault(here, set()).add((other, branch))
            steps.setdefault(other, set()).add((here, branch))
            if other not in seen:
                seen.add(other)
                if other not in metal:
                    waiting.append(other)
    ends = [p for p, around in steps.items() if len(around) == 1 and p != start and p not in metal]
    while ends:
        end = ends.pop()
        for other, branch in steps.pop(end):
            steps[other].discard((end, branch))
            if len(steps[other]) == 1 and other != start and other not in metal:
                ends.append(other)
    kinds, address = network.branches.kind, network.branches.address
    used = {branch for around in steps.values() for _, branch in around if branch >= 0}
    return tuple(address[branch] for branch in sorted(used) if kinds[branch] == "wire")
