"""Which wires lie on the way to a load and on its way back, in one mode: the way of least resistance on each side."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from .loads import Load
from .scope import State

_SOUND_OHM = 1e-4
Via = dict[int, tuple[int, int]]
"""By point (point before, branch between)."""


@dataclass(frozen=True, slots=True)
class Way:
    """A load and the wires to it and back, each in order from the battery's post."""

    load: Load
    feed: tuple[str, ...]
    back: tuple[str, ...]

    @property
    def wires(self) -> tuple[str, ...]:
        """The wires of both sides."""
        return self.feed + self.back


def ways(state: State) -> tuple[Way, ...]:
    """Return the ways of all loads that work; a load whose side leads through another load has none there."""
    if state.posts is None:
        return ()
    from_hot, from_ground = both_ways(state)
    return tuple(
        Way(load, _wires(state, from_hot, load.feed), _wires(state, from_ground, load.back))
        for load in state.loads
    )


def both_ways(state: State, clean: Iterable[int] = ()) -> tuple[Via, Via]:
    """Return the steps to each point on the way of least resistance from the hot and from the grounded post.

    The branches of `clean` count as sound joints.
    """
    if state.posts is None:
        return {}, {}
    branches = state.network.branches
    ohm: list[float] = state.solution.ohm.tolist()
    for number in clean:
        ohm[number] = min(ohm[number], _SOUND_OHM)
    near: dict[int, list[tuple[int, int]]] = {}
    for number, (a, b) in enumerate(zip(branches.a.tolist(), branches.b.tolist(), strict=True)):
        if ohm[number] != float("inf"):
            near.setdefault(a, []).append((b, number))
            near.setdefault(b, []).append((a, number))
    from_hot = least_ways(near, ohm, [state.posts.hot])[1]
    from_ground = least_ways(near, ohm, [state.posts.grounded])[1]
    return from_hot, from_ground


def _wires(state: State, via: Via, point: int | None) -> tuple[str, ...]:
    branches, found = state.network.branches, []
    while point is not None and point in via:
        point, number = via[point]
        if branches.kind[number] == "wire":
            found.append(branches.address[number])
    return tuple(reversed(found))


def least_ways(
    near: Mapping[int, Iterable[tuple[int, int]]], ohm: Sequence[float], starts: Iterable[int]
) -> tuple[dict[int, float], Via]:
    """Return the least resistance from the starts to each point, and the step that leads there (Dijkstra)."""
    best: dict[int, float] = dict.fromkeys(starts, 0.0)
    via: Via = {}
    heap = [(0.0, start) for start in best]
    while heap:
        so_far, here = heapq.heappop(heap)
        if so_far > best[here]:
            continue
        for other, number in near.get(here, ()):
            total = so_far + ohm[number]
            if total < best.get(other, float("inf")):
                best[other] = total
                via[other] = (here, number)
                heapq.heappush(heap, (total, other))
    return best, via
