"""The network of one position on the rows of the network with every contact closed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from harness_studio.network.network import Network

from .chains import Chains, Walk
from .reduced import Reduced, reduce_network

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Placed:
    """Where the branches of one position lie.

    Parameters
    ----------
    number
        Each branch's among those of every position.
    contact
        Which branches are contacts.
    carries, zero
        Which branches carry current where every contact is closed, and which are of zero ohms there.
    reduced
        Its chains taken together.
    """

    number: Ints
    contact: Bools
    carries: Bools
    zero: Bools
    reduced: Reduced

    def fits(self, ohm: Floats) -> bool:
        """Tell whether nothing but contacts is open, and nothing more or less of zero ohms."""
        import numpy as np

        open_here = np.isinf(ohm)
        zero = ohm == 0.0
        same = (zero == self.zero) & ((zero | open_here) == ~self.carries)
        return bool((same | (self.contact & open_here)).all())


class Every:
    """The network of every position: all contacts closed, each an edge of its own, whatever was found at it."""

    def __init__(self, network: Network) -> None:
        import numpy as np

        self.network = network
        kinds = np.array(network.branches.kind)
        self.switches = np.flatnonzero(kinds == "switch")
        self.others = np.flatnonzero(kinds != "switch")
        self.contact: Bools = (kinds == "switch") | (kinds == "relay")
        self.ohm: Floats = network.branches.resistance_ohm.copy()
        self.ohm[self.contact] = 1.0
        self.carries: Bools = np.isfinite(self.ohm) & (self.ohm > 0.0)
        self.zero: Bools = self.ohm == 0.0
        ends = [e[self.contact] for e in (network.branches.a, network.branches.b)]
        self.reduced = reduce_network(network, self.ohm, np.union1d(network.worked, np.concatenate(ends)))
        edges = self.reduced.edge_of[self.contact]
        self.contact_edges = edges[edges >= 0]


def placed(network: Network, every: Every) -> Placed | None:
    """Return where the branches of a position lie among those of every position; None if one of them is not there."""
    point = _points(network, every.network)
    number = _numbers(network, every)
    if point is None or number is None:
        return None
    ends = [point[e] for e in (network.branches.a, network.branches.b)]
    theirs = [e[number] for e in (every.network.branches.a, every.network.branches.b)]
    turned = (ends[0] == theirs[1]) & (ends[1] == theirs[0])
    if not (turned | ((ends[0] == theirs[0]) & (ends[1] == theirs[1]))).all():
        return None
    reduced = _reduced(every.reduced, point, number, turned)
    return Placed(number, every.contact[number], every.carries[number], every.zero[number], reduced)


def _points(network: Network, every: Network) -> Ints | None:
    """Return the index among those of every position of each point."""
    import numpy as np

    if network.points == every.points:
        return np.arange(network.size)
    found = [every.index.get(p, -1) for p in network.points]
    return None if -1 in found else np.array(found, dtype=np.int64)


def _numbers(network: Network, every: Every) -> Ints | None:
    """Return the number among those of every position of each branch: all but the switches' stand in the same order."""
    import numpy as np

    number = np.full(len(network.branches), -1, dtype=np.int64)
    addresses = every.network.branches.address
    for theirs in every.switches.tolist():
        own = network.joints.get(addresses[theirs])
        if own is not None:
            number[own] = theirs
    rest = number < 0
    if rest.sum() != len(every.others):
        return None
    number[rest] = every.others
    return number


def _reduced(whole: Reduced, point: Ints, number: Ints, turned: Bools) -> Reduced:
    """Return the chains of every position as a position's own points and branches know them."""
    import numpy as np

    at = np.full(len(whole.edge_of), -1, dtype=np.int64)
    at[whole.live] = np.arange(len(whole.live))
    here = at[number]
    live = np.flatnonzero(here >= 0)
    here = here[live]
    edge_of = whole.edge_of[number]
    absent = np.bincount(edge_of[edge_of >= 0], minlength=len(whole.a)) == 0
    new = np.full(len(whole.live), -1, dtype=np.int64)
    new[here] = np.arange(len(here))
    chains, loose = whole.chains, whole.loose
    a, b = whole.branch_a[here], whole.branch_b[here]
    other_way = turned[live]
    own = Chains(
        tuple(Walk(walk.nodes, new[walk.branches]) for walk in chains.walks),
        chains.dangling,
        np.where(other_way, -1.0, 1.0) * chains.sign[here],
    )
    return replace(
        whole,
        node=whole.node[point],
        edge_of=edge_of,
        branch_a=np.where(other_way, b, a),
        branch_b=np.where(other_way, a, b),
        live=live,
        starts=new[whole.starts],
        absent=absent,
        walked=own,
        loose_label=loose,
        rows_of_points=None,
    )
