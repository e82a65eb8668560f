"""Currents in metal whose chains are taken together: a fifth of the nodes, the same currents."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .matrix import Factored, factor, laplacian
from .reduced import Reduced, inner_parts

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


def grounded(label: Ints, a: Ints, b: Ints, siemens: Floats) -> Factored:
    """Return the factored conductances of all components, each against its node of most conductance.

    Little is lost in differences then.
    """
    import numpy as np

    count = len(label)
    weight = np.bincount(a, siemens, count) + np.bincount(b, siemens, count)
    order = np.lexsort((-weight, label))
    keep = np.ones(count, dtype=bool)
    keep[order[np.unique(label[order], return_index=True)[1]]] = False
    rows, columns, values = laplacian(count, a, b, siemens)
    return factor(count, rows, columns, values, keep, symmetric=True)


class Chained:
    """The chains of metal, and its equations on what is left.

    Parameters
    ----------
    reduced
        The network with its chains taken together.
    ohm
        Resistance of each of its branches.
    label
        Component of each node.
    closed
        Which of `reduced.live` carry current here.
    """

    def __init__(self, reduced: Reduced, ohm: Floats, label: Ints, closed: Bools) -> None:
        import numpy as np

        self._reduced, self._ohm, self._label, self._closed = reduced, ohm, label, closed
        self._siemens: Floats = 1.0 / reduced.edge_ohm(ohm)
        self._edge = reduced.edge_of[reduced.live[closed]]
        self._sign = np.where(self._edge >= 0, reduced.chains.sign[closed], 0.0)
        self._factored: Factored | None = None
        self._parts: Floats | None = None

    def takes(self, injected: Floats) -> bool:
        """Tell whether no current (nodes, columns) is put in or taken out within a chain."""
        return not injected[self._reduced.inner].any()

    def flows(self, injected: Floats) -> Floats:
        """Return the current in each closed branch for currents that sum to zero in each component."""
        reduced = self._reduced
        volts = self._rows(injected[reduced.outer])
        edges = self._siemens[:, None] * (volts[reduced.a] - volts[reduced.b])
        found: Floats = edges[self._edge] * self._sign[:, None]
        return found

    def passing(self, places: Sequence[int | None]) -> Floats | None:
        """Return what passes some closed branches, of a unit current from each node: (nodes, branches).

        Within a component only differences mean anything. A place of None passes nothing. None where a branch lies in
        a chain that leads nowhere.
        """
        import numpy as np

        reduced = self._reduced
        if any(p is not None and self._edge[p] < 0 for p in places):
            return None
        columns = [column for column, place in enumerate(places) if place is not None]
        at = np.array([p for p in places if p is not None], dtype=np.int64)
        edge = self._edge[at]
        right = np.zeros((len(reduced.outer), len(places)))
        share = self._siemens[edge] * self._sign[at]
        right[reduced.a[edge], columns] = share
        right[reduced.b[edge], columns] -= share
        volts = self._all(self._rows(right))
        for column, place in zip(columns, at.tolist(), strict=True):
            self._add_within(volts[:, column], place)
        return volts

    def _rows(self, right: Floats) -> Floats:
        import numpy as np

        if self._factored is None:
            joined = self._siemens > 0.0
            a, b = self._reduced.a[joined], self._reduced.b[joined]
            self._factored = grounded(self._label[self._reduced.outer], a, b, self._siemens[joined])
        rows = np.zeros(right.shape)
        if len(self._factored.kept):
            rows[self._factored.kept] = self._factored.solve(right[self._factored.kept])
        return rows

    def _all(self, rows: Floats) -> Floats:
        """Return the volts of all nodes from those of the rows, with nothing put in within a chain."""
        import numpy as np

        part, ends = self._part(), self._reduced.chain_ends
        first = np.maximum(ends[:, 0], 0)
        second = np.where(ends[:, 1] < 0, first, ends[:, 1])
        volts = part[:, None] * rows[first] + (1.0 - part)[:, None] * rows[second]
        volts[self._reduced.outer] = rows
        return volts

    def _part(self) -> Floats:
        if self._parts is None:
            self._parts = inner_parts(self._reduced, self._ohm)
        return self._parts

    def _add_within(self, passing: Floats, place: int) -> None:
        """Add what a unit current put in within a branch's own chain sends through it, both ends held."""
        import numpy as np

        part, sign = self._part(), self._sign[place]
        branch = int(np.flatnonzero(self._closed)[place])
        for walk in self._reduced.chains.walks:
            for chain, k in np.argwhere(walk.branches == branch).tolist():
                before, behind = walk.nodes[chain, :k], walk.nodes[chain, k:]
                passing[before] += sign * (1.0 - part[before])
                passing[behind] -= sign * part[behind]
