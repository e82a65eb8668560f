"""Currents in metal whose chains are taken together: a fifth of the nodes, the same currents."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from .matrix import Factored, components, factor, laplacian
from .reduced import Reduced, inner_parts

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


def grounded(label: Ints, a: Ints, b: Ints, siemens: Floats, order: Ints | None = None) -> Factored:
    """Return the factored conductances of all components, each against its node of most conductance.

    Little is lost in differences then. `order` (nodes,) is an order of elimination where one is known.
    """
    import numpy as np

    count = len(label)
    weight = np.bincount(a, siemens, count) + np.bincount(b, siemens, count)
    heaviest = np.lexsort((-weight, label))
    keep = np.ones(count, dtype=bool)
    keep[heaviest[np.unique(label[heaviest], return_index=True)[1]]] = False
    rows, columns, values = laplacian(count, a, b, siemens)
    return factor(count, rows, columns, values, keep, symmetric=True, order=order)


class Chained:
    """The chains of metal, and its equations on what is left.

    Parameters
    ----------
    reduced
        The network with its chains taken together.
    ohm
        Resistance of each of its branches.
    order
        An order of elimination of its rows with little fill.

    Attributes
    ----------
    closed
        Which of `reduced.live` carry current here; the places of other methods count these.
    label
        Component of each node.
    """

    def __init__(self, reduced: Reduced, ohm: Floats, order: Ints) -> None:
        import numpy as np

        self._reduced, self._ohm, self._order = reduced, ohm, order
        self.closed: Bools = np.isfinite(ohm[reduced.live])
        self._siemens: Floats = 1.0 / reduced.edge_ohm(ohm)
        self._edge = reduced.edge_of[reduced.live[self.closed]]
        self._sign = np.where(self._edge >= 0, reduced.chains.sign[self.closed], 0.0)
        self._row_label = self._components(self._siemens > 0.0)
        loose = reduced.loose
        self.label: Ints = np.where(
            loose < 0, self._of_ends(self._row_label)[0], len(self._row_label) + loose
        )
        self.label[reduced.outer] = self._row_label
        self._factored: Factored | None = None
        self._parts: Floats | None = None

    def _components(self, joined: Bools) -> Ints:
        reduced = self._reduced
        return components(len(reduced.outer), reduced.a[joined], reduced.b[joined])[1]

    def _of_ends(self, rows: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
        """Return what rows have at both ends of each node's chain, twice the same where that dangles."""
        import numpy as np

        ends = self._reduced.chain_ends
        first = np.maximum(ends[:, 0], 0)
        return rows[first], rows[np.where(ends[:, 1] < 0, first, ends[:, 1])]

    def reached_without(self, sink: int, place: int) -> Bools | None:
        """Return which nodes still reach the sink when a closed branch is taken out.

        None where the branch lies in a chain that leads nowhere, or the sink within one.
        """
        row, edge = int(self._reduced.row[sink]), int(self._edge[place])
        if row < 0 or edge < 0:
            return None
        joined = self._siemens > 0.0
        joined[edge] = False
        label = self._components(joined)
        rows = label == label[row]
        first, second = self._of_ends(rows)
        reached: Bools = (first | second) & (self._reduced.loose < 0)
        reached[self._reduced.outer] = rows
        for before, behind in self._chain_of(place):
            reached[before], reached[behind] = first[before], second[behind]
        return reached

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
            self._factored = grounded(self._row_label, a, b, self._siemens[joined], self._order)
        rows = np.zeros(right.shape)
        if len(self._factored.kept):
            rows[self._factored.kept] = self._factored.solve(right[self._factored.kept])
        return rows

    def _all(self, rows: Floats) -> Floats:
        """Return the volts of all nodes from those of the rows, with nothing put in within a chain."""
        part, (first, second) = self._part(), self._of_ends(rows)
        volts: Floats = part[:, None] * first + (1.0 - part)[:, None] * second
        volts[self._reduced.outer] = rows
        return volts

    def _part(self) -> Floats:
        if self._parts is None:
            self._parts = inner_parts(self._reduced, self._ohm)
        return self._parts

    def _add_within(self, passing: Floats, place: int) -> None:
        """Add what a unit current put in within a branch's own chain sends through it, both ends held."""
        part, sign = self._part(), self._sign[place]
        for before, behind in self._chain_of(place):
            passing[before] += sign * (1.0 - part[before])
            passing[behind] -= sign * part[behind]

    def _chain_of(self, place: int) -> Iterator[tuple[Ints, Ints]]:
        """Yield the nodes before and behind a branch in its chain, if it lies in one."""
        import numpy as np

        branch = int(np.flatnonzero(self.closed)[place])
        for walk in self._reduced.chains.walks:
            for chain, k in np.argwhere(walk.branches == branch).tolist():
                yield walk.nodes[chain, :k], walk.nodes[chain, k:]
