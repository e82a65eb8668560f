"""The solution of a network: nodal analysis with every element at its rated point."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import SolveError
from harness_studio.network.network import Assumption, Network

from . import states as discrete
from .matrix import components, factor, laplacian, merge_points
from .rated import stamps_of
from .solution import ElementCurrents, Solution, Unsolved
from .stamps import Stamp, StampGroup, group

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

MOST_PASSES = 60
"""Flips of discrete states before a network is given up as having no steady state."""


@dataclass(frozen=True, slots=True)
class _Pass:
    volts: Floats
    node: Ints
    ohm: Floats
    groups: tuple[StampGroup, ...]
    stamps: tuple[Stamp, ...]
    alive: NDArray[np.bool_]


def solve(network: Network) -> Solution:
    """Solve a network.

    Kirchhoff's current law at every node, Ohm's law in every branch (nodal analysis). Points that zero ohms join are
    one node; a part of the network without a way to the grounded post is an island: its volts are NaN and it is
    named in `unsolved`. Relays and the like start released and flip one at a time, the most violated first.

    Raises
    ------
    SolveError
        If the matrix is singular, or a state keeps flipping (the relay 'chatters' is a state, not an error).
    """
    states = discrete.initial(network)
    seen: set[tuple[str, ...]] = set()
    chatters: set[str] = set()
    notes: list[Assumption] = []
    for iteration in range(MOST_PASSES):
        notes = []
        done = _one_pass(network, states, notes, iteration)
        flip = discrete.wanted(network, states, done.volts)
        if flip is None:
            break
        states = states | {flip.element: flip.to}
        key = tuple(states.values())
        if key in seen:
            chatters.add(flip.element)
            break
        seen.add(key)
    else:
        raise SolveError("no steady state was found", iteration=MOST_PASSES)
    shown = {k: ("chatters" if k in chatters else v) for k, v in states.items()}
    return _finish(network, done, shown, notes)


def _one_pass(network: Network, states: Mapping[str, str], notes: list[Assumption], iteration: int) -> _Pass:
    import numpy as np

    ohm = discrete.branch_ohm(network, states)
    branches = network.branches
    count, node = merge_points(network.size, branches.a, branches.b, ohm)
    stamps = tuple(s for e in network.elements for s in stamps_of(discrete.applied(e, states), notes))
    groups = group(stamps)
    live = np.isfinite(ohm) & (ohm > 0.0)
    a, b = node[branches.a[live]], node[branches.b[live]]
    alive = _connected(network, node, count, a, b, groups)
    rows, columns, values = laplacian(count, a, b, 1.0 / ohm[live])
    volts = np.full(count, np.nan)
    if network.grounded is not None:
        reference = node[network.index[network.grounded]]
        volts[reference] = 0.0
        keep = alive.copy()
        keep[reference] = False
        if keep.any():
            volts[keep] = _linear(count, node, rows, columns, values, keep, groups, iteration)
    return _Pass(volts[node], node, ohm, groups, stamps, alive)


def _connected(
    network: Network, node: Ints, count: int, a: Ints, b: Ints, groups: tuple[StampGroup, ...]
) -> NDArray[np.bool_]:
    """Return which nodes have a way to the grounded post over branches and elements."""
    import numpy as np

    if network.grounded is None:
        return np.zeros(count, dtype=bool)
    firsts, seconds = [a], [b]
    for some in groups:
        terms = node[some.terms]
        for column in range(1, terms.shape[1]):
            firsts.append(terms[:, 0])
            seconds.append(terms[:, column])
    _, label = components(count, np.concatenate(firsts), np.concatenate(seconds))
    alive: NDArray[np.bool_] = label == label[node[network.index[network.grounded]]]
    return alive


def _linear(
    count: int,
    node: Ints,
    rows: Ints,
    columns: Ints,
    values: Floats,
    keep: NDArray[np.bool_],
    groups: tuple[StampGroup, ...],
    iteration: int,
) -> Floats:
    import numpy as np

    right = np.zeros(count)
    all_rows, all_columns, all_values = [rows], [columns], [values]
    for some in groups:
        terms = node[some.terms]
        m = terms.shape[1]
        all_rows.append(np.repeat(terms, m, axis=1).ravel())
        all_columns.append(np.tile(terms, (1, m)).ravel())
        all_values.append(some.siemens.ravel())
        np.add.at(right, terms.ravel(), -some.amperes.ravel())
    try:
        factored = factor(
            count,
            np.concatenate(all_rows),
            np.concatenate(all_columns),
            np.concatenate(all_values),
            keep,
            symmetric=all(g.symmetric for g in groups),
        )
    except RuntimeError as error:
        raise SolveError(f"the network's matrix is singular ({error})", iteration=iteration) from error
    return factored.solve(right[keep])


def _finish(network: Network, done: _Pass, states: Mapping[str, str], notes: list[Assumption]) -> Solution:
    import numpy as np

    branches = network.branches
    volts = done.volts
    across = volts[branches.a] - volts[branches.b]
    with np.errstate(divide="ignore", invalid="ignore"):
        amperes = np.where(np.isfinite(done.ohm) & (done.ohm > 0.0), across / done.ohm, 0.0)
    amperes = np.nan_to_num(amperes)
    _zero_ohm_currents(network, done, amperes)
    elements = tuple(_by_element(network, done))
    unsolved = tuple(_islands(network, done))
    return Solution(
        network, volts, amperes, done.ohm, elements, states, network.assumed + tuple(notes), unsolved
    )


def _currents(stamp: Stamp, volts: Floats) -> tuple[float, ...]:
    """Return the current into each terminal of a stamp; 0 in an island."""
    at = [float(volts[t]) for t in stamp.terms]
    if any(v != v for v in at):
        return tuple(0.0 for _ in at)
    return tuple(
        sum(g * v for g, v in zip(row, at, strict=True)) + c
        for row, c in zip(stamp.siemens, stamp.amperes, strict=True)
    )


def _by_element(network: Network, done: _Pass) -> Iterator[ElementCurrents]:
    """Yield the currents of each element that has any, its stamps summed."""
    sums: dict[str, dict[int, float]] = {}
    for stamp in done.stamps:
        into = sums.setdefault(stamp.address, {})
        for index, amperes in zip(stamp.terms, _currents(stamp, done.volts), strict=True):
            into[index] = into.get(index, 0.0) + amperes
    for element in network.elements:
        if element.address in sums:
            into = sums[element.address]
            yield ElementCurrents(
                element.address, element.part, element.kind, tuple(into), tuple(into.values())
            )


def _zero_ohm_currents(network: Network, done: _Pass, amperes: Floats) -> None:
    """Fill in the current of branches of zero ohms from Kirchhoff's law within each merged node.

    Within a merged node the zero-ohm branches form a graph; on its spanning tree the currents follow from what enters
    at each point. A loop of zero ohms has no determined split: the branches outside the tree carry none.
    """
    import numpy as np

    branches = network.branches
    zero = np.flatnonzero(done.ohm == 0.0)
    if not len(zero):
        return
    into = np.zeros(network.size)
    np.add.at(into, branches.a, -amperes)
    np.add.at(into, branches.b, amperes)
    for stamp in done.stamps:
        for index, i in zip(stamp.terms, _currents(stamp, done.volts), strict=True):
            into[index] -= i
    near: dict[int, list[tuple[int, int]]] = {}
    for number in zero.tolist():
        a, b = int(branches.a[number]), int(branches.b[number])
        near.setdefault(a, []).append((b, number))
        near.setdefault(b, []).append((a, number))
    visited: set[int] = set()
    for start in near:
        if start in visited:
            continue
        order: list[tuple[int, int, int]] = []
        stack = [(start, -1, -1)]
        while stack:
            here, parent, via = stack.pop()
            if here in visited:
                continue
            visited.add(here)
            order.append((here, parent, via))
            stack.extend((other, here, number) for other, number in near[here] if other not in visited)
        for here, parent, via in reversed(order[1:]):
            amperes[via] = into[here] if int(branches.a[via]) == here else -into[here]
            into[parent] += into[here]


def _islands(network: Network, done: _Pass) -> list[Unsolved]:
    """Name every part of the network that has no way to the grounded post and in which a wire ends."""
    import numpy as np

    if network.grounded is None:
        return [Unsolved("no battery: nothing drives a current and there is no post to read against")]
    branches = network.branches
    live = np.isfinite(done.ohm)
    _, label = components(network.size, branches.a[live], branches.b[live])
    lost: dict[int, list[int]] = {}
    for index in np.flatnonzero(~done.alive[done.node]).tolist():
        lost.setdefault(int(label[index]), []).append(index)
    found = []
    for members in lost.values():
        names = [network.points[i] for i in members]
        if any(n.startswith("~") for n in names):
            shown = tuple(n for n in names if not n.startswith("~"))
            wires = sorted({n[1:].rsplit(".", 1)[0] for n in names if n.startswith("~")})
            found.append(Unsolved(f"floating, no way to the grounded post: {', '.join(wires[:6])}", shown))
    return found
