"""From a solved pass to a `Solution`: every point, branch and element."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from harness_studio.network.network import Network

from .doubts import doubtful_ratings, unconnected
from .laws.pieces import Pieces
from .matrix import components
from .newton import Settled
from .reduced import recover
from .solution import ElementCurrents, Solution, Unsolved
from .system import System, stamp_amperes

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


class SolvedPass(Protocol):
    """What is needed of a solved pass."""

    states: dict[str, str]
    ohm: Floats
    pieces: Pieces
    system: System
    settled: Settled


def finish(network: Network, done: SolvedPass, temperatures: Floats | None) -> Solution:
    """Return the solution of a network from its last pass."""
    import numpy as np

    system, settled = done.system, done.settled
    reduced = system.reduced
    high = np.where(system.alive, settled.high, np.nan)
    across = (high[reduced.a] - high[reduced.b]) + (settled.low[reduced.a] - settled.low[reduced.b])
    found = recover(reduced, done.ohm, high + settled.low, np.nan_to_num(system.edge_siemens * across))
    volts = found.volts[reduced.node]
    into = _element_currents(network, system, settled)
    amperes = found.amperes
    _zero_ohm_currents(network, done.ohm, into, amperes)
    elements = tuple(
        ElementCurrents(e.address, e.part, e.kind, tuple(own), tuple(own.values()))
        for e in network.elements
        if (own := into.get(e.address)) is not None
    )
    return Solution(
        network=network,
        volts=volts,
        amperes=amperes,
        ohm=done.ohm,
        elements=elements,
        states=dict(done.states),
        assumed=tuple(dict.fromkeys((*network.assumed, *done.pieces.notes, *doubtful_ratings(network)))),
        unsolved=(*_islands(network, done.ohm, np.isnan(volts)), *unconnected(network)),
        wire_c=temperatures,
    )


def _element_currents(network: Network, system: System, settled: Settled) -> dict[str, dict[int, float]]:
    """Return by element the current into it at each of its points; 0 in an island."""
    into: dict[str, dict[int, float]] = {}
    for some, rows in zip(system.stamps, system.stamp_rows, strict=True):
        amperes = stamp_amperes(some, rows, settled.high, settled.low)
        amperes[~system.alive[rows].all(axis=1)] = 0.0
        for address, points, values in zip(
            some.addresses, some.terms.tolist(), amperes.tolist(), strict=True
        ):
            _add(into, address, points, values)
    for poles, (plus, minus) in zip(system.poles, system.pole_rows, strict=True):
        over = (settled.high[plus] - settled.high[minus]) + (settled.low[plus] - settled.low[minus])
        one_way, _ = poles.curve(over, poles.parameters)
        one_way[~(system.alive[plus] & system.alive[minus])] = 0.0
        for address, first, second, value in zip(
            poles.addresses, poles.plus.tolist(), poles.minus.tolist(), one_way.tolist(), strict=True
        ):
            _add(into, address, (first, second), (value, -value))
    return into


def _add(
    into: dict[str, dict[int, float]], address: str, points: Sequence[int], amperes: Sequence[float]
) -> None:
    sums = into.get(address)
    if sums is None:
        sums = into[address] = {}
    for point, value in zip(points, amperes, strict=True):
        sums[point] = sums.get(point, 0.0) + value


def _zero_ohm_currents(
    network: Network, ohm: Floats, into: dict[str, dict[int, float]], amperes: Floats
) -> None:
    """Fill in the current of branches of zero ohms from Kirchhoff's law within each merged node.

    Within a merged node the zero-ohm branches form a graph; on its spanning tree the currents follow from what enters
    at each point. A loop of zero ohms has no determined split: the branches outside the tree carry none.
    """
    import numpy as np

    branches = network.branches
    zero = np.flatnonzero(ohm == 0.0)
    if not len(zero):
        return
    entering = np.bincount(branches.b, amperes, network.size) - np.bincount(branches.a, amperes, network.size)
    points = [point for terminals in into.values() for point in terminals]
    taken = [value for terminals in into.values() for value in terminals.values()]
    np.subtract.at(entering, points, taken)
    near: dict[int, list[tuple[int, int]]] = {}
    for number in zero.tolist():
        a, b = int(branches.a[number]), int(branches.b[number])
        near.setdefault(a, []).append((b, number))
        near.setdefault(b, []).append((a, number))
    visited: set[int] = set()
    for start in near:
        if start not in visited:
            for here, parent, via in reversed(_tree(near, start, visited)[1:]):
                amperes[via] = entering[here] if int(branches.a[via]) == here else -entering[here]
                entering[parent] += entering[here]


def _tree(
    near: dict[int, list[tuple[int, int]]], start: int, visited: set[int]
) -> list[tuple[int, int, int]]:
    """Return (point, parent, branch to the parent) of a spanning tree, parents before children."""
    order: list[tuple[int, int, int]] = []
    stack = [(start, -1, -1)]
    while stack:
        here, parent, via = stack.pop()
        if here in visited:
            continue
        visited.add(here)
        order.append((here, parent, via))
        stack.extend((other, here, number) for other, number in near[here] if other not in visited)
    return order


def _islands(network: Network, ohm: Floats, dead: Bools) -> Iterator[Unsolved]:
    """Name every part of the network that has no way to the grounded post and in which a wire ends."""
    import numpy as np

    if network.grounded is None:
        yield Unsolved("no battery: nothing drives a current and there is no post to read against")
        return
    if not dead.any():
        return
    branches = network.branches
    live = np.isfinite(ohm)
    _, label = components(network.size, branches.a[live], branches.b[live])
    lost: dict[int, list[str]] = {}
    for index in np.flatnonzero(dead).tolist():
        lost.setdefault(int(label[index]), []).append(network.points[index])
    for names in lost.values():
        wires = sorted({n[1:].rsplit(".", 1)[0] for n in names if n[0] == "~"} & set(branches.address))
        if wires:
            listed = ", ".join(wires[:6]) + (f" and {len(wires) - 6} more" if len(wires) > 6 else "")
            shown = tuple(n for n in names if n[0] != "~")
            yield Unsolved(f"floating, no way to the grounded post: {listed}", shown)
