"""One mode of the clean harness, solved and inverted: what a change anywhere does to every point, to first order.

J⁻¹ is kept whole: a few thousand unknowns at most are left once chains are taken together, and every reading, every
hypothesis and every uncertainty is then two of its columns. Points within a chain follow from its ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from harness_studio.electrics.again import STAND_IN_OHM, Again, again
from harness_studio.electrics.again_near import nearby
from harness_studio.electrics.laws.discrete import STARTER_IN_V, Judged, thresholds
from harness_studio.electrics.reduced import inner_parts
from harness_studio.electrics.states import closed_ohm
from harness_studio.electrics.sweep import Base
from harness_studio.network.network import Network

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

SOURCE = "source"
"""Kind of the branch put in series with a battery: a weak one is that branch made worse."""
INVERSE_PART = 128


@dataclass(slots=True)
class State:
    """A solved mode.

    Parameters
    ----------
    inverse
        J⁻¹ of the unknowns, with a last row and column of zeros for the grounded post, (unknowns + 1,) twice.
    by_column
        Its transpose, laid out so that a column of J⁻¹ lies together.
    volts
        Clean volts of the rows, 0 where dead, (rows,).
    first, second, part
        Rows at the ends of each point's chain and the part of the first: V = part·V_first + (1 − part)·V_second;
        -1 where the point hangs on nothing; (points,).
    edge_at
        Edge within whose chain a point lies, -1 for the others, (points,).
    before
        Part of each branch's middle along its edge, counted like `part`, (branches,).
    ohm
        Resistance of each edge, (edges,).
    judged
        Between which volts the states of elements hold in a vehicle that is brought to this mode with a fault in it: a
        relay must have pulled in, and a generator is let be near its edges.
    closed_ohm
        Resistance of each branch with every contact closed, (branches,).
    again
        What solutions of this mode share.
    waits
        Edges through which an alternator at idle is woken, by alternator that waits for its charge lamp.
    """

    mode: str | None
    network: Network
    base: Base
    inverse: Floats
    by_column: Floats
    volts: Floats
    first: Ints
    second: Ints
    part: Floats
    edge_at: Ints
    before: Floats
    ohm: Floats
    judged: Judged
    closed_ohm: Floats
    again: Again | None
    waits: dict[str, Ints] = field(default_factory=dict)

    @property
    def a(self) -> Ints:
        """First row of each edge."""
        return self.base.system.reduced.a

    @property
    def b(self) -> Ints:
        """Second row of each edge."""
        return self.base.system.reduced.b

    @property
    def edge_of(self) -> Ints:
        """Edge of each branch, -1 where it carries nothing."""
        return self.base.system.reduced.edge_of

    @property
    def unknown(self) -> Ints:
        """Unknown of each row, -1 for the grounded post and for rows without a way to it."""
        return self.base.system.unknown

    @property
    def amperes(self) -> Floats:
        """Clean current of each edge from `a` to `b`, (edges,)."""
        found: Floats = (self.volts[self.a] - self.volts[self.b]) / self.ohm
        return found

    def point_volts(self, points: Ints) -> Floats:
        """Return clean volts of points, (points,)."""
        return self.at_points(self.volts, points)

    def at_points(self, rows: Floats, points: Ints) -> Floats:
        """Return what rows make of points: (rows, ...) → (points, ...)."""
        import numpy as np

        part = self.part[points].reshape(-1, *([1] * (rows.ndim - 1)))
        found: Floats = np.where(
            (self.first[points] >= 0).reshape(part.shape),
            part * rows[self.first[points]] + (1.0 - part) * rows[self.second[points]],
            0.0,
        )
        return found

    def reach_of(self, points: Ints) -> Floats:
        """Return the rows of J⁻¹ for points: volts there for one ampere at each unknown, (points, unknowns + 1)."""
        import numpy as np

        first = self.unknown[self.first[points]]
        second = self.unknown[self.second[points]]
        found: Floats = self.inverse[first]
        inside = np.flatnonzero(self.part[points] < 1.0)
        part = self.part[points[inside]][:, None]
        found[inside] = part * found[inside] + (1.0 - part) * self.inverse[second[inside]]
        found[self.first[points] < 0] = 0.0
        return found


def state_of(network: Network, base: Base, mode: str | None) -> State:
    """Invert the Jacobian of a solved mode and find where every point lies."""
    import numpy as np

    system, reduced = base.system, base.system.reduced
    size = len(system.kept)
    inverse = np.zeros((size + 1, size + 1))
    for start in range(0, size, INVERSE_PART):
        stop = min(start + INVERSE_PART, size)
        right = np.zeros((size, stop - start))
        right[np.arange(start, stop), np.arange(stop - start)] = 1.0
        inverse[:size, start:stop] = base.lu.solve(right)
    by_column = np.ascontiguousarray(inverse.T)
    high = base.done.settled.high + base.done.settled.low
    volts = np.where(system.alive, high, 0.0)
    node_part = inner_parts(reduced, base.done.ohm)
    node = reduced.node
    row = reduced.row[node]
    ends = reduced.chain_ends[node]
    inner = row < 0
    first = np.where(inner, ends[:, 0], row)
    second = np.where(inner & (ends[:, 1] >= 0), ends[:, 1], first)
    part = np.where(inner & (ends[:, 1] >= 0), node_part[node], 1.0)
    before, edge_at = _chains(base, node_part, inner)
    ohm = 1.0 / system.edge_siemens
    held = _entered(network, base.judged, np.nan_to_num(base.done.point_volts))
    closed = closed_ohm(network, base.done.ohm)
    shared = again(network, system, closed) if network.grounded is not None else None
    if shared is not None:
        shared.near = nearby(base, inverse, by_column, shared, closed)
    return State(
        mode, network, base, inverse, by_column, volts, first, second, part, edge_at, before, ohm, held,
        closed, shared,
    )  # fmt: skip


NEAR_EDGE_V = 0.1
"""How far a generator may be past the edges of its state before it is solved anew."""


STARTER_PART = 0.95
"""Part of its clean coil's volts below which a starter is solved from its released state: its pull-in winding takes
several times what holds it, so that volts that hold it do not tell whether it ever pulls in."""


def _entered(network: Network, judged: Judged, volts: Floats) -> Judged:
    """Return bounds of states that are come to from the start, not left from where they are; `volts` by point."""
    import numpy as np

    elements = {e.address: e for e in network.elements}
    low, high = judged.low.copy(), judged.high.copy()
    for n, address in enumerate(judged.elements):
        element = elements[address]
        if judged.below[n] == "released":
            ratings = element.ratings
            usual = STARTER_IN_V if element.kind == "starter" else None
            low[n] = (
                usual
                if usual and not ratings.pull_in_v
                else thresholds(ratings.pull_in_v, ratings.drop_out_v)[0]
            )
            if element.kind == "starter":
                clean = abs(float(volts[judged.first[n]] - volts[judged.second[n]]))
                low[n] = max(low[n], STARTER_PART * clean)
        elif element.kind in ("alternator", "dynamo"):
            low[n], high[n] = low[n] - NEAR_EDGE_V, high[n] + NEAR_EDGE_V
    return replace(judged, low=np.asarray(low), high=np.asarray(high))


def _chains(base: Base, node_part: Floats, inner: NDArray[np.bool_]) -> tuple[Floats, Ints]:
    import numpy as np

    reduced = base.system.reduced
    edge = reduced.edge_of[reduced.live]
    on = np.flatnonzero(edge >= 0)
    before = np.full(len(reduced.edge_of), np.nan)
    along = []
    edge_at_node = np.full(reduced.count, -1, dtype=np.int64)
    for nodes in (reduced.branch_a[on], reduced.branch_b[on]):
        outside = reduced.row[nodes] >= 0
        at_first = (reduced.row[nodes] == reduced.a[edge[on]]).astype(np.float64)
        along.append(np.where(outside, at_first, node_part[nodes]))
        edge_at_node[nodes[~outside]] = edge[on][~outside]
    before[reduced.live[on]] = 0.5 * (along[0] + along[1])
    return before, np.where(inner, edge_at_node[reduced.node], -1)


def with_sources(network: Network) -> Network:
    """Return the network with a branch in series with each battery, so that a weak one is a branch made worse.

    Ends of relay contacts count as worked: no chain goes through what may open.
    """
    import numpy as np

    branches, elements = network.branches, list(network.elements)
    points, index, joints = list(network.points), dict(network.index), dict(network.joints)
    address, kind = list(branches.address), list(branches.kind)
    a, b, worked = branches.a.tolist(), branches.b.tolist(), network.worked.tolist()
    for number, element in enumerate(elements):
        names = list(element.terminals)
        live = next((n for n in names if network.points[element.terminals[n]] != network.grounded), None)
        if element.kind != "battery" or live is None:
            continue
        outside, inside = element.terminals[live], len(points)
        points.append(f"~{element.address}:inside")
        index[points[-1]] = inside
        joints[source_address(element.address)] = len(address)
        address.append(source_address(element.address))
        kind.append(SOURCE)
        a.append(inside)
        b.append(outside)
        worked.append(inside)
        elements[number] = replace(element, terminals={**element.terminals, live: inside})
    for contact in network.contacts:
        worked += [int(branches.a[contact.branch]), int(branches.b[contact.branch])]
    more = len(address) - len(branches)
    ohm = np.append(branches.resistance_ohm, [STAND_IN_OHM] * more)
    return replace(
        network,
        points=tuple(points),
        index=index,
        joints=joints,
        elements=tuple(elements),
        worked=np.array(sorted(set(worked)), dtype=np.int64),
        branches=replace(
            branches,
            address=tuple(address),
            kind=tuple(kind),
            a=np.array(a, dtype=np.int64),
            b=np.array(b, dtype=np.int64),
            resistance_ohm=ohm,
        ),
    )


def source_address(element: str) -> str:
    """Return the address of the branch that stands for a weak source."""
    return f"{element}:inside"


def without_sources(network: Network) -> Network:
    """Return the network with all sources taken out, as for a reading in ohms."""
    kept = tuple(e for e in network.elements if e.kind not in ("battery", "alternator", "dynamo"))
    return replace(network, elements=kept)


def indices(network: Network, points: Sequence[str]) -> Ints:
    """Return indices of points by name."""
    import numpy as np

    return np.array([network.index[p] for p in points], dtype=np.int64)
