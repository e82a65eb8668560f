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
from .matrix import components, few_components
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
    latest: tuple[Floats, list[Floats]] | None = None
    """The volts that `residual` was asked last, and the slopes of the two-poles there."""

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
        slopes = []
        for poles, (plus, minus) in zip(self.poles, self.pole_rows, strict=True):
            over = high[plus] - high[minus]
            if low is not None:
                over += low[plus] - low[minus]
            amperes, slope = poles.curve(over, poles.parameters)
            leaving += [amperes, -amperes]
            slopes.append(slope)
        if low is None:
            self.latest = (high, slopes)
        total: Floats = np.bincount(self.flow_rows, np.concatenate(leaving), len(high)).astype(np.float64)
        return total

    def jacobian(self, volts: Floats, slopes: Sequence[Floats] | None = None) -> Any:
        """Return the Jacobian on the unknowns as a CSC matrix; `slopes` override the two-poles' own."""
        import numpy as np

        values = [self.edge_siemens, self.edge_siemens, -self.edge_siemens, -self.edge_siemens]
        values += [some.siemens.ravel() for some in self.stamps]
        if slopes is None and self.latest is not None and self.latest[0] is volts:
            slopes = self.latest[1]
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

    def within(self, stays: Bools) -> Pattern:
        """Return the pattern of the unknowns that stay, in the same order."""
        import numpy as np

        columns = np.repeat(np.arange(self.size), np.diff(self.indptr))
        entries = stays[self.indices] & stays[columns]
        used = entries[self.place]
        new, size = np.cumsum(stays) - 1, int(stays.sum())
        counts = np.bincount(new[columns[entries]], minlength=size)
        return Pattern(
            size,
            self.used[used],
            (np.cumsum(entries) - 1)[self.place[used]],
            new[self.indices[entries]].astype(np.int32),
            np.concatenate(([0], np.cumsum(counts))).astype(np.int32),
        )


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

    shared = common(network, reduced, pieces)
    alive = shared.alive(siemens)
    unknown = np.full(len(alive), -1, dtype=np.int64)
    free = np.flatnonzero(shared.unknowns(alive))
    unknown[free] = np.arange(len(free))
    if order is None:
        place = _elimination_order(_pattern(shared.rows, shared.columns, unknown, len(free)))
        unknown[free] = place
        kept = np.empty_like(free)
        kept[place] = free
    else:
        kept = order[unknown[order] >= 0]
        unknown[kept] = np.arange(len(kept))
    pattern = _pattern(shared.rows, shared.columns, unknown, len(kept))
    return shared.with_pattern(siemens, alive, unknown, kept, pattern)


@dataclass(slots=True)
class Common:
    """What the systems of one set of pieces share, whatever edges are open.

    Parameters
    ----------
    rows, columns
        Where each value of a Jacobian goes.
    links
        Rows that elements join.
    reference
        Row of the grounded post, -1 without one.
    order, pattern
        Order of elimination of all rows but the reference, and the Jacobian's pattern in it: see `put_in_order`.
    parts
        Edges that switch, and a label for rows that hang together whatever those are: see `switch`.
    """

    reduced: Reduced
    stamps: tuple[StampGroup, ...]
    stamp_rows: tuple[Ints, ...]
    poles: tuple[PoleGroup, ...]
    pole_rows: tuple[tuple[Ints, Ints], ...]
    rows: Ints
    columns: Ints
    links: tuple[Ints, Ints]
    flow_rows: Ints
    reference: int
    order: Ints | None = None
    pattern: Pattern | None = None
    parts: tuple[Ints, Ints] | None = None

    def alive(self, siemens: Floats) -> Bools:
        """Return which rows have a way to the grounded post over edges of more than 0 S and elements."""
        import numpy as np

        if self.reference < 0 or not len(self.reduced.outer):
            return np.zeros(len(self.reduced.outer), dtype=bool)
        if self.parts is not None:
            switching, part = self.parts
            on = switching[siemens[switching] > 0.0]
            ends = part[self.reduced.a[on]], part[self.reduced.b[on]]
            group = few_components(int(part.max()) + 1, *ends)
            reached: Bools = (group == group[part[self.reference]])[part]
            return reached
        label = self._label(siemens > 0.0)
        found: Bools = label == label[self.reference]
        return found

    def _label(self, joined: Bools) -> Ints:
        import numpy as np

        a, b = self.reduced.a[joined], self.reduced.b[joined]
        ends = np.concatenate((a, self.links[0])), np.concatenate((b, self.links[1]))
        return components(len(self.reduced.outer), *ends)[1]

    def switch(self, edges: Ints) -> None:
        """Find what hangs together whatever some edges are; no other may be open from now on."""
        import numpy as np

        stays = np.ones(len(self.reduced.a), dtype=bool)
        stays[edges] = False
        self.parts = edges, self._label(stays)

    def unknowns(self, alive: Bools) -> Bools:
        """Return which rows are unknowns: what is alive, but for the reference."""
        free = alive.copy()
        if self.reference >= 0:
            free[self.reference] = False
        return free

    def put_in_order(self, order: Ints) -> None:
        """Find the pattern of a Jacobian in an order of elimination of all rows but the reference."""
        import numpy as np

        unknown = np.full(len(self.reduced.outer), -1, dtype=np.int64)
        unknown[order] = np.arange(len(order))
        self.order, self.pattern = order, _pattern(self.rows, self.columns, unknown, len(order))

    def system(self, siemens: Floats, alive: Bools) -> System:
        """Return the system on given edges, in the order that was put."""
        import numpy as np

        assert self.order is not None
        assert self.pattern is not None
        stays = self.unknowns(alive)[self.order]
        kept = self.order[stays]
        unknown = np.full(len(alive), -1, dtype=np.int64)
        unknown[kept] = np.arange(len(kept))
        return self.with_pattern(siemens, alive, unknown, kept, self.pattern.within(stays))

    def with_pattern(
        self, siemens: Floats, alive: Bools, unknown: Ints, kept: Ints, pattern: Pattern
    ) -> System:
        """Return the system with given unknowns."""
        stamps, poles = (self.stamps, self.stamp_rows), (self.poles, self.pole_rows)
        return System(self.reduced, siemens, *stamps, *poles, alive, unknown, kept, pattern, self.flow_rows)


def common(network: Network, reduced: Reduced, pieces: Pieces) -> Common:
    """Return what the systems of a network's pieces share on the rows of a reduced network."""
    import numpy as np

    stamps, poles = group(pieces.stamps), group_poles(pieces.poles)
    row_of = reduced.point_row
    stamp_rows = tuple(row_of[s.terms] for s in stamps)
    pole_rows = tuple((row_of[p.plus], row_of[p.minus]) for p in poles)
    rows = [reduced.a, reduced.b, reduced.a, reduced.b]
    columns = [reduced.a, reduced.b, reduced.b, reduced.a]
    nothing = np.zeros(0, dtype=np.int64)
    links, flow_rows = [(nothing, nothing)], [reduced.a, reduced.b]
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
    reference = -1
    if network.grounded is not None and len(reduced.outer):
        reference = int(row_of[network.index[network.grounded]])
    return Common(
        reduced,
        stamps,
        stamp_rows,
        poles,
        pole_rows,
        np.concatenate(rows),
        np.concatenate(columns),
        (np.concatenate([f for f, _ in links]), np.concatenate([s for _, s in links])),
        np.concatenate(flow_rows),
        reference,
    )


def elimination(shared: Common) -> Ints:
    """Return an order of elimination with little fill of all rows but the reference, every edge closed."""
    import numpy as np

    rows = np.flatnonzero(shared.unknowns(np.ones(len(shared.reduced.outer), dtype=bool)))
    unknown = np.full(len(shared.reduced.outer), -1, dtype=np.int64)
    unknown[rows] = np.arange(len(rows))
    at = [np.concatenate((places, rows)) for places in (shared.rows, shared.columns)]  # one may stand alone
    order = np.empty_like(rows)
    order[_elimination_order(_pattern(at[0], at[1], unknown, len(rows)))] = rows
    return order
