"""Series chains taken together before solving.

Most points of a harness lie inside a chain: crimp, wire, crimp, contact. A point with two branches and no element is an
inner point; a chain of them is one edge whose resistance is the sum. What is left (loads, splices, studs, buses) is a
fifth of the points. Inner volts follow exactly from the ends: V = λ·V_first + (1 − λ)·V_second.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .chains import Chains, walked
from .matrix import components, merge_points

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from harness_studio.network.network import Network

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


@dataclass(slots=True)
class Reduced:
    """A network with its chains taken together.

    Parameters
    ----------
    count
        Number of nodes after merging zero-ohm branches.
    node
        Node of each point; shape (points,).
    row
        Row of each node among the outer nodes, -1 for an inner one; shape (count,).
    outer
        Nodes that are rows; shape (rows,).
    a, b
        Rows at the ends of each edge; shape (edges,).
    edge_of
        Edge of each branch, -1 where it carries no current (open, zero ohms, dangling, a loop); shape (branches,).
    inner
        Whether a node lies within a chain; shape (count,).
    branch_a, branch_b, live
        Nodes of the branches that may carry current, and their indices.
    chain_ends
        Rows at both ends of each node's chain, -1 where it dangles or has none; shape (count, 2).
    starts
        The first branch of each chain, as a place in `live`.
    absent
        Edges that have no branch here: contacts of other positions; shape (edges,).
    walked, loose_label, rows_of_points
        What `chains`, `loose` and `point_row` return, once they were asked for.
    """

    count: int
    node: Ints
    row: Ints
    outer: Ints
    a: Ints
    b: Ints
    edge_of: Ints
    inner: Bools
    branch_a: Ints
    branch_b: Ints
    live: Ints
    chain_ends: Ints
    starts: Ints
    absent: Bools | None = None
    walked: Chains | None = None
    loose_label: Ints | None = None
    rows_of_points: Ints | None = None

    @property
    def point_row(self) -> Ints:
        """Row of each point, -1 for one within a chain; shape (points,)."""
        if self.rows_of_points is None:
            self.rows_of_points = self.row[self.node]
        return self.rows_of_points

    @property
    def chains(self) -> Chains:
        """The chains, walked once; their branches are places in `live`."""
        if self.walked is None:
            self.walked = walked(self.inner, self.branch_a, self.branch_b, self.starts)
        return self.walked

    @property
    def loose(self) -> Ints:
        """A label for each node of a chain that leads to no row, the same along each, and -1 for all others."""
        import numpy as np

        if self.loose_label is None:
            alone = self.inner & (self.chain_ends[:, 0] < 0)
            within = alone[self.branch_a]
            _, label = components(self.count, self.branch_a[within], self.branch_b[within])
            self.loose_label = np.where(alone, label, -1)
        return self.loose_label

    def edge_ohm(self, ohm: Floats) -> Floats:
        """Return the resistance of each edge from those of the branches."""
        import numpy as np

        on = self.edge_of >= 0
        total: Floats = np.bincount(self.edge_of[on], weights=ohm[on], minlength=len(self.a)).astype(
            np.float64
        )
        if self.absent is not None:
            total[self.absent] = np.inf
        return total


def reduce_network(network: Network, ohm: Floats, keep: Ints) -> Reduced:
    """Take the chains of a network together.

    Parameters
    ----------
    network
        The network.
    ohm
        Resistance of each branch, inf for open.
    keep
        Points that must stay: element terminals and the grounded post.
    """
    import numpy as np

    branches = network.branches
    count, node = merge_points(network.size, branches.a, branches.b, ohm)
    live = np.flatnonzero(np.isfinite(ohm) & (ohm > 0.0))
    a, b = node[branches.a[live]], node[branches.b[live]]
    straight = a != b
    live, a, b = live[straight], a[straight], b[straight]
    degree = np.bincount(a, minlength=count) + np.bincount(b, minlength=count)
    inner = degree <= 2
    inner[node[keep]] = False
    outer = np.flatnonzero(~inner)
    row = np.full(count, -1, dtype=np.int64)
    row[outer] = np.arange(len(outer))
    in_a, in_b = inner[a], inner[b]
    both = in_a & in_b
    _, label = components(count, a[both], b[both])
    chain = np.where(in_a, label[a], np.where(in_b, label[b], -1))
    one = in_a ^ in_b
    chain_ends, starts = _chain_ends(count, chain[one], row[np.where(in_a, b, a)[one]])
    real = (chain_ends[:, 1] >= 0) & (chain_ends[:, 0] != chain_ends[:, 1])
    direct = ~in_a & ~in_b
    number = int(direct.sum())
    edge_of_chain = np.full(count, -1, dtype=np.int64)
    edge_of_chain[real] = number + np.arange(int(real.sum()))
    edge_of = np.full(len(branches), -1, dtype=np.int64)
    edge_of[live[direct]] = np.arange(number)
    edge_of[live[~direct]] = edge_of_chain[chain[~direct]]
    return Reduced(
        count=count,
        node=node,
        row=row,
        outer=outer,
        a=np.concatenate((row[a[direct]], chain_ends[real, 0])),
        b=np.concatenate((row[b[direct]], chain_ends[real, 1])),
        edge_of=edge_of,
        inner=inner,
        branch_a=a,
        branch_b=b,
        live=live,
        chain_ends=chain_ends[label],
        starts=np.flatnonzero(one)[starts],
    )


def _chain_ends(count: int, chain: Ints, row: Ints) -> tuple[Ints, Ints]:
    """Return the rows at both ends of each chain, -1 for an end that dangles: (count, 2); and who leads to the first.

    `chain` and `row` hold, branch by branch, the chain that leaves it and the outer row where it ends.
    """
    import numpy as np

    order = np.argsort(chain, kind="stable")
    chain, row = chain[order], row[order]
    names, start, counts = np.unique(chain, return_index=True, return_counts=True)
    ends = np.full((count, 2), -1, dtype=np.int64)
    ends[names, 0] = row[start]
    two = counts == 2
    ends[names[two], 1] = row[start[two] + 1]
    return ends, order[start]


@dataclass(frozen=True, slots=True)
class Recovered:
    """Volts of every node and current of every branch, from those of rows and edges."""

    volts: Floats
    amperes: Floats


def inner_parts(reduced: Reduced, ohm: Floats) -> Floats:
    """Return λ of every node: 1 at the first end of its chain, 0 at the second; shape (count,).

    Sums along each chain: nothing is lost where a hundred ohms lie beside a tenth of a milliohm.
    """
    import numpy as np

    part = np.zeros(reduced.count)
    chains, live_ohm = reduced.chains, ohm[reduced.live]
    part[chains.dangling] = 1.0
    for walk in chains.walks:
        part[walk.nodes] = walk.parts(live_ohm)
    return part


def recover(reduced: Reduced, ohm: Floats, row_volts: Floats, edge_amperes: Floats) -> Recovered:
    """Return the volts of all nodes and the amperes of all branches (from a to b).

    A branch of a chain carries the chain's current, with the sign of its direction along the chain.
    """
    import numpy as np

    part = inner_parts(reduced, ohm)
    volts = np.full(reduced.count, np.nan)
    volts[reduced.outer] = row_volts
    ends = reduced.chain_ends
    two = reduced.inner & (ends[:, 1] >= 0)
    one = reduced.inner & (ends[:, 0] >= 0) & (ends[:, 1] < 0)
    volts[two] = part[two] * row_volts[ends[two, 0]] + (1.0 - part[two]) * row_volts[ends[two, 1]]
    volts[one] = row_volts[ends[one, 0]]
    amperes = np.zeros(len(ohm))
    number = reduced.edge_of[reduced.live]
    on = number >= 0
    amperes[reduced.live[on]] = edge_amperes[number[on]] * reduced.chains.sign[on]
    return Recovered(volts, amperes)
