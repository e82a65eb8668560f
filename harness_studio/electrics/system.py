"""A network in one discrete state as a system of equations: residual and Jacobian on the reduced nodes.

F(v) = Σ currents leaving each node = 0 (Kirchhoff). Currents of edges are taken from differences of volts, never from
the assembled matrix: a difference of two close numbers is exact, so milliamperes through a tenth of a milliohm keep
their digits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from harness_studio.network.network import Network

from .laws.pieces import Pieces
from .laws.poles import PoleGroup, group_poles
from .matrix import components
from .reduced import Reduced, reduce_network
from .stamps import StampGroup, group

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


@dataclass(slots=True)
class System:
    """One discrete state, ready for Newton steps.

    `stamp_rows` and `pole_rows` are the rows of the elements' terminals; `alive` marks rows with a way to the grounded
    post; `unknown` maps rows to unknowns (-1: the reference or dead), `kept` unknowns to rows. Unknowns stand in an
    order of elimination with little fill, found once like the Jacobian's pattern: factoring takes a third of the time.
    """

    reduced: Reduced
    edge_siemens: Floats
    stamps: tuple[StampGroup, ...]
    stamp_rows: tuple[Ints, ...]
    poles: tuple[PoleGroup, ...]
    pole_rows: tuple[tuple[Ints, Ints], ...]
    alive: Bools
    unknown: Ints
    kept: Ints
    pattern: Pattern
    flow_rows: Ints
    """Rows that currents leave: of edges, stamps and two-poles in turn, as `residual` puts them together."""

    def residual(self, high: Floats, low: Floats | None = None) -> Floats:
        """Return Σ currents leaving each row, in A; volts are `high` + `low` (both shape (rows,))."""
        import numpy as np

        a, b = self.reduced.a, self.reduced.b
        across = high[a] - high[b]
        if low is not None:
            across += low[a] - low[b]
        flow = self.edge_siemens * across
        leaving = [flow, -flow]
        for some, rows in zip(self.stamps, self.stamp_rows, strict=True):
            leaving.append(stamp_amperes(some, rows, high, low).ravel())
        for poles, (plus, minus) in zip(self.poles, self.pole_rows, strict=True):
            over = high[plus] - high[minus]
            if low is not None:
                over += low[plus] - low[minus]
            amperes, _ = poles.curve(over, poles.parameters)
            leaving += [amperes, -amperes]
        total: Floats = np.bincount(self.flow_rows, np.concatenate(leaving), len(high)).astype(np.float64)
        return total

    def jacobian(self, volts: Floats, slopes: Sequence[Floats] | None = None) -> Any:
        """Return the Jacobian on the unknowns as a CSC matrix; `slopes` override the two-poles' own."""
        import numpy as np

        values = [self.edge_siemens, self.edge_siemens, -self.edge_siemens, -self.edge_siemens]
        values += [some.siemens.ravel() for some in self.stamps]
        for number, (poles, (plus, minus)) in enumerate(zip(self.poles, self.pole_rows, strict=True)):
            slope = (
                slopes[number]
                if slopes is not None
                else poles.curve(volts[plus] - volts[minus], poles.parameters)[1]
            )
            values += [slope, slope, -slope, -slope]
        return self.pattern.matrix(np.concatenate(values))


@dataclass(frozen=True, slots=True)
class Pattern:
    """Where the values of a Jacobian go: computed once per discrete state."""

    size: int
    used: Ints
    place: Ints
    indices: Ints
    indptr: Ints

    def matrix(self, values: Floats) -> Any:
        """Return the CSC matrix of coordinate values."""
        import numpy as np
        from scipy.sparse import csc_matrix

        data = np.bincount(self.place, weights=values[self.used], minlength=len(self.indices))
        return csc_matrix((data, self.indices, self.indptr), shape=(self.size, self.size))


def _pattern(rows: Ints, columns: Ints, unknown: Ints, size: int) -> Pattern:
    import numpy as np

    r, c = unknown[rows], unknown[columns]
    used = np.flatnonzero((r >= 0) & (c >= 0))
    key, place = np.unique(c[used] * size + r[used], return_inverse=True)
    indptr = np.searchsorted(key, np.arange(size + 1) * size)
    return Pattern(size, used, place.ravel(), (key % size).astype(np.int32), indptr.astype(np.int32))


def _elimination_order(pattern: Pattern) -> Ints:
    """Return the place of each unknown in an elimination of minimum degree (that of SuperLU, on the pattern alone)."""
    import numpy as np
    from scipy.sparse import csc_matrix

    from .matrix import sparse_factors

    if not pattern.size:
        return np.zeros(0, dtype=np.int64)
    columns = np.repeat(np.arange(pattern.size), np.diff(pattern.indptr))
    # Dominant on the diagonal, so that any pattern can be factored.
    values = np.where(pattern.indices == columns, pattern.size + 1.0, -1.0)
    matrix = csc_matrix((values, pattern.indices, pattern.indptr), shape=(pattern.size, pattern.size))
    found: Ints = sparse_factors(matrix, ordered=False).perm_c.astype(np.int64)
    return found


def stamp_amperes(some: StampGroup, rows: Ints, high: Floats, low: Floats | None = None) -> Floats:
    """Return the current into each terminal of linear elements, shape (E, m).

    Volts are taken against the first terminal: rows of J sum to zero, so only differences matter.
    """
    import numpy as np

    at = high[rows] - high[rows[:, :1]]
    if low is not None:
        at = at + (low[rows] - low[rows[:, :1]])
    found: Floats = np.einsum("eij,ej->ei", some.siemens, at) + some.amperes
    return found


def build_system(network: Network, ohm: Floats, pieces: Pieces) -> System:
    """Return the system of a network whose branches have the resistances `ohm` and whose elements are `pieces`."""
    reduced = reduce_network(network, ohm, network.worked)
    return system_on(network, reduced, 1.0 / reduced.edge_ohm(ohm), pieces)


def system_on(
    network: Network, reduced: Reduced, siemens: Floats, pieces: Pieces, order: Ints | None = None
) -> System:
    """Return the system on given edges; one of 0 S joins nothing.

    `order` (rows,) is an order of elimination where one is known; it is else found.
    """
    import numpy as np

    stamps, poles = group(pieces.stamps), group_poles(pieces.poles)
    row_of = reduced.row[reduced.node]
    stamp_rows = tuple(row_of[s.terms] for s in stamps)
    pole_rows = tuple((row_of[p.plus], row_of[p.minus]) for p in poles)
    rows = [reduced.a, reduced.b, reduced.a, reduced.b]
    columns = [reduced.a, reduced.b, reduced.b, reduced.a]
    joined = np.flatnonzero(siemens > 0.0)
    links = [(reduced.a[joined], reduced.b[joined])]
    flow_rows = [reduced.a, reduced.b]
    for at in stamp_rows:
        m = at.shape[1]
        rows.append(np.repeat(at, m, axis=1).ravel())
        columns.append(np.tile(at, (1, m)).ravel())
        links += [(at[:, 0], at[:, k]) for k in range(1, m)]
        flow_rows.append(at.ravel())
    for plus, minus in pole_rows:
        rows += [plus, minus, plus, minus]
        columns += [plus, minus, minus, plus]
        links.append((plus, minus))
        flow_rows += [plus, minus]
    size = len(reduced.outer)
    alive = np.zeros(size, dtype=bool)
    unknown = np.full(size, -1, dtype=np.int64)
    if network.grounded is not None and size:
        reference = int(row_of[network.index[network.grounded]])
        _, label = components(
            size, np.concatenate([f for f, _ in links]), np.concatenate([s for _, s in links])
        )
        alive = label == label[reference]
        free = alive.copy()
        free[reference] = False
        unknown[free] = np.arange(int(free.sum()))
    kept = np.flatnonzero(unknown >= 0)
    all_rows, all_columns = np.concatenate(rows), np.concatenate(columns)
    if order is None:
        place = _elimination_order(_pattern(all_rows, all_columns, unknown, len(kept)))
        unknown[kept] = place
        kept[place] = kept.copy()
    else:
        kept = order[unknown[order] >= 0]
        unknown[kept] = np.arange(len(kept))
    pattern = _pattern(all_rows, all_columns, unknown, len(kept))
    flow_at = np.concatenate(flow_rows)
    return System(
        reduced, siemens, stamps, stamp_rows, poles, pole_rows, alive, unknown, kept, pattern, flow_at
    )
