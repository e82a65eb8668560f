"""Which other grounds the loads at a joint have: found by what the metal joins, whatever the currents."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

from .matrix import components
from .shares import Shares
from .solution import Solution

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Bools = NDArray[np.bool_]
    Ints = NDArray[np.int64]

CROSSINGS = ("stud", "mount")
"""Kinds of joint by which a loom reaches the metal of a body."""


def also_by(
    harness: Harness, network: Network, solution: Solution, found: Shares
) -> Mapping[str, tuple[str, ...]]:
    """Return for the return point of each load at a joint the other grounds by which it gets back, in file order.

    They are looked for where the joint stands: among the studs of the loom that the load belongs to, or, for a joint
    near the grounded post, among those of the post's own loom. A stud in series with the joint is none: with the joint
    open it leads nowhere, or it carries the same current once more. A point whose only way the joint is has none, and
    neither has one that is fed through it. Connected components, O(V + E) in all.
    """
    joint = branches_of(network, found.joint)
    if not joint or network.grounded is None:
        return {}
    looms = _Looms(network, solution, joint)
    home = network.index[network.grounded]
    by_point: dict[str, tuple[str, ...]] = {}
    for row in found.rows:
        if row.side == "return" and row.way not in ("only", "none") and row.point not in by_point:
            by_point[row.point] = looms.others(network.index[row.point], home, harness.grounds)
    return by_point


class _Looms:
    """The metal in looms, parted at the studs; with the joint and without it."""

    def __init__(self, network: Network, solution: Solution, joint: list[int]) -> None:
        import numpy as np

        branches = network.branches
        self._network = network
        self._joint = frozenset(joint)
        self._a, self._b = branches.a, branches.b
        closed: Bools = np.isfinite(solution.ohm)
        crossing: Bools = np.array([kind in CROSSINGS for kind in branches.kind], dtype=bool)
        stays = closed.copy()
        stays[joint] = False
        self._loom = self._labels(closed & ~crossing)
        self._left = self._labels(stays & ~crossing)
        self._whole = self._labels(stays)
        self._studs = np.flatnonzero(crossing & closed)
        self._known: dict[tuple[int, int, int], tuple[str, ...]] = {}

    def _labels(self, some: Bools) -> Ints:
        return components(self._network.size, self._a[some], self._b[some])[1]

    def others(self, start: int, home: int, grounds: Collection[str]) -> tuple[str, ...]:
        """Return the other grounds of a point."""
        for first, last in ((start, home), (home, start)):
            loom = self._loom[first]
            ends = [int(p) for n in self._joint for p in (self._a[n], self._b[n])]
            if any(self._loom[p] == loom for p in ends):
                key = (int(loom), int(self._left[first]), int(self._whole[last]))
                if key not in self._known:
                    self._known[key] = self._of(first, last, grounds)
                return self._known[key]
        return ()

    def _of(self, first: int, last: int, grounds: Collection[str]) -> tuple[str, ...]:
        loom, left, home = self._loom[first], self._left[first], self._whole[last]
        address, found = self._network.branches.address, []
        for stud in self._studs.tolist():
            ends = int(self._a[stud]), int(self._b[stud])
            if (
                stud in self._joint
                or address[stud] not in grounds
                or not any(self._left[p] == left for p in ends)
            ):
                continue
            if any(self._loom[p] != loom and self._whole[p] == home for p in ends):
                found.append(address[stud])
        return tuple(found)


def branches_of(network: Network, joint: str) -> list[int]:
    """Return the branches of a joint, of a splice or bus bar those of its legs; empty for what is none."""
    number = network.joints.get(joint)
    if number is not None:
        return [number]
    return sorted({n for name, n in network.joints.items() if name.startswith(f"{joint}/")})
