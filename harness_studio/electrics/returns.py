"""The network that carries currents between loads and sources, with loads and sources taken out.

N(mode) = every wire, joint, closed contact, fuse, bond and body. It falls into components: the return side holds
the grounded posts, each feed its positive. A share is the part of one unit of current that passes a joint when the unit
is put in where a load is joined and taken out at the sink.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.network.network import Network

from .chained import Chained, grounded
from .matrix import Factored, components, factor, laplacian, merge_points
from .reduced import Reduced

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


@dataclass(slots=True)
class Metal:
    """The metal of a network in one state, ready for adjoint solves.

    `node` maps points to nodes, `label` nodes to components; `a`, `b` and `siemens` are the branches between different
    nodes, `number` their indices in the network. Factors are kept: of all components at once, and per sink.
    """

    count: int
    node: Ints
    label: Ints
    a: Ints
    b: Ints
    siemens: Floats
    number: Ints
    factors: dict[int, Factored]
    whole: Factored | None = None
    chained: Chained | None = None

    def differences(self, right: Floats) -> Floats:
        """Return volts of all nodes for currents that sum to zero in each component: (nodes, columns).

        Only their differences within a component mean anything: each is against a node of its own choosing.
        """
        import numpy as np

        if self.whole is None:
            self.whole = grounded(self.label, self.a, self.b, self.siemens)
        volts = np.zeros(right.shape)
        if len(self.whole.kept):
            volts[self.whole.kept] = self.whole.solve(right[self.whole.kept])
        return volts

    def factor_for(self, sink: int) -> Factored:
        """Return the factored conductance matrix of the sink's component, with the sink's row taken out."""
        import numpy as np

        if sink not in self.factors:
            keep: Bools = self.label == self.label[sink]
            keep[sink] = False
            inside = self.label[self.a] == self.label[sink]
            rows, columns, values = laplacian(
                self.count, self.a[inside], self.b[inside], self.siemens[inside]
            )
            self.factors[sink] = factor(
                self.count, rows.astype(np.int64), columns.astype(np.int64), values, keep, symmetric=True
            )
        return self.factors[sink]

    def place(self, branch: int) -> int | None:
        """Return where a branch of the network stands in `number`, None if it is open or of zero ohms."""
        import numpy as np

        at = int(np.searchsorted(self.number, branch))
        return at if at < len(self.number) and self.number[at] == branch else None

    def flows(self, sink: int, injected: Floats) -> Floats:
        """Return the current in each branch when `injected` (nodes, columns) flows to the sink: (branches, columns).

        What is injected in other components than the sink's is left out.
        """
        import numpy as np

        here = np.where((self.label == self.label[sink])[:, None], injected, 0.0)
        here[sink] -= here.sum(axis=0)
        return self.balanced_flows(here)

    def balanced_flows(self, injected: Floats) -> Floats:
        """Return the current in each branch for currents that sum to zero in each component: (branches, columns)."""
        if self.chained is not None and self.chained.takes(injected):
            return self.chained.flows(injected)
        volts = self.differences(injected)
        found: Floats = self.siemens[:, None] * (volts[self.a] - volts[self.b])
        return found

    def unit_drop(self, sink: int, branches: list[int]) -> Floats:
        """Return y = g·G⁻¹(e_a − e_b) for each branch: shape (branches, nodes), zero outside the component.

        y[j, n] is the signed part of a unit current from node n to the sink that passes branch j from a to b
        (adjoint network: reciprocity of resistive networks).
        """
        import numpy as np

        places = [self.place(branch) for branch in branches]
        places = [p if p is not None and self.label[self.a[p]] == self.label[sink] else None for p in places]
        volts = self.chained.passing(places) if self.chained is not None else None
        if volts is None:
            right = np.zeros((self.count, len(branches)))
            for column, at in enumerate(places):
                if at is not None:
                    right[self.a[at], column] += self.siemens[at]
                    right[self.b[at], column] -= self.siemens[at]
            volts = self.differences(right)
        volts -= volts[sink]
        volts[self.label != self.label[sink]] = 0.0
        found: Floats = volts.T
        return found

    def shorted_drop(self, sink: int, a: int, b: int) -> Floats:
        """Return what passes a joint of zero ohms from a to b, of a unit current from each node to the sink: (nodes,).

        This metal holds the joint open. Closing it with no resistance draws u/(u_a − u_b), u = G⁻¹(e_a − e_b), from
        each node (Thévenin, reciprocity); where it is the only way, all of the side that is cut off. In a loop of zero
        ohms the split is not determined: nothing, then.
        """
        import numpy as np

        found = np.zeros(self.count)
        if self.label[a] != self.label[b]:
            if self.label[a] != self.label[sink]:
                found[self.label == self.label[a]] = 1.0
            else:
                found[self.label == self.label[b]] = -1.0
        elif a != b and self.label[a] == self.label[sink]:
            factored = self.factor_for(sink)
            right = np.zeros((self.count, 1))
            right[a], right[b] = 1.0, -1.0
            found[factored.kept] = factored.solve(right[factored.kept])[:, 0]
            found /= found[a] - found[b]
        return found

    def reached_without(self, sink: int, branches: set[int], nodes: set[int]) -> Bools:
        """Return which nodes still reach the sink when branches and nodes are taken out. Decided by the graph."""
        import numpy as np

        if self.chained is not None and not nodes and len(branches) == 1:
            at = self.place(next(iter(branches)))
            found = self.chained.reached_without(sink, at) if at is not None else None
            if found is not None:
                return found
        stays = ~np.isin(self.number, list(branches))
        if nodes:
            gone = np.zeros(self.count, dtype=bool)
            gone[list(nodes)] = True
            stays &= ~(gone[self.a] | gone[self.b])
        _, label = components(self.count, self.a[stays], self.b[stays])
        reached: Bools = label == label[sink]
        return reached


def metal_of(network: Network, ohm: Floats) -> Metal:
    """Return the metal of a network whose branches have the resistances `ohm` (infinite: open)."""
    import numpy as np

    branches = network.branches
    count, node = merge_points(network.size, branches.a, branches.b, ohm)
    live = np.isfinite(ohm) & (ohm > 0.0)
    a, b = node[branches.a[live]], node[branches.b[live]]
    _, label = components(count, a, b)
    return Metal(count, node, label, a, b, 1.0 / ohm[live], np.flatnonzero(live), {})


def metal_on(reduced: Reduced, ohm: Floats, order: Ints) -> Metal:
    """Return the metal of a network whose chains are taken together already, of which only contacts may be open.

    `order` (rows,) is an order of elimination with little fill.
    """
    chained = Chained(reduced, ohm, order)
    number = reduced.live[chained.closed]
    a, b = reduced.branch_a[chained.closed], reduced.branch_b[chained.closed]
    label = chained.label
    return Metal(reduced.count, reduced.node, label, a, b, 1.0 / ohm[number], number, {}, chained=chained)
