"""What is not known of a harness, gathered: pieces of metal between branchings and tips, and elements.

Branches that lie in one chain in every mode, and on the same side of every tip, act as one: their spreads add in
squares. Under a hypothesis currents take other ways, and what is not known of those ways counts then: the spread of
readings is that of the hypothesis, not that of the clean harness.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .changes import GRID_OHM, Sites, conductances, own_ohm
from .known import Known
from .probes import Probe, reach
from .spread import Uncertain
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

MOST_MORE, LEAST_V = 1.5, 0.5
"""Times its clean volts up to which a load's spread grows with them; less across it in the clean harness says nothing
of its spread."""


@dataclass(slots=True)
class Segments:
    """Pieces of one mode in an order that all modes of a case share.

    `readings` are those of the mode, of `count` in all.

    `edge` (pieces,) is -1 where a piece carries nothing in the mode; `spread_ohm` (pieces,) one standard deviation;
    `own` (its readings, pieces) what a tip within the piece's chain sees of it beyond the chain as a whole, per ampere;
    `put_in` (elements, unknowns + 1), sparse, what elements put in, in the shared order; `reached` (its readings,
    unknowns + 1) what an ampere at each unknown does to readings; `ends` (elements, 2) points across loads, else -1.
    """

    state: State
    readings: Ints
    count: int
    edge: Ints
    spread_ohm: Floats
    own: Floats
    put_in: Any
    reached: Floats
    probes: tuple[Probe, ...]
    ends: Ints

    @property
    def size(self) -> int:
        """Number of uncertain things."""
        return len(self.edge) + int(self.put_in.shape[0])

    def elements(self, reached: Floats) -> Floats:
        """Return what one standard deviation of each element does: (n, unknowns + 1) → (n, elements)."""
        found: Floats = (self.put_in @ reached.T).T
        return found


def segments_of(
    known: Known, modes: Sequence[str | None], probes: Sequence[tuple[str | None, Probe]]
) -> dict[str | None, Segments]:
    """Return the pieces of every mode, cut at the tips of all readings in volts and amperes."""
    import numpy as np

    numbers = {m: known.branch_numbers(m) for m in modes}
    elements = {m: known.element_numbers(m) for m in modes}
    size = 1 + max((int(n.max(initial=-1)) for n in (*numbers.values(), *elements.values())), default=-1)
    keys = []
    for mode in modes:
        state = known.state(mode)
        edge = np.full(size, -1, dtype=np.int64)
        edge[numbers[mode]] = state.edge_of
        keys.append(edge)
        before = np.full(size, np.nan)
        before[numbers[mode]] = state.before
        for point in sorted(
            {p for m, probe in probes if m == mode for p in (probe.plus, probe.minus) if p >= 0}
        ):
            if state.edge_at[point] >= 0:
                mine = edge == state.edge_at[point]
                keys.append(np.where(mine, 1 + (before > state.part[point]), 0))
    _, first, piece = np.unique(np.stack(keys, axis=1), axis=0, return_index=True, return_inverse=True)
    piece = piece.ravel()
    squares = {m: _squares(known, m, piece[numbers[m]], len(first)) for m in modes}
    used = np.flatnonzero(np.sum([*squares.values()], axis=0))
    first = first[used]
    found = {}
    for mode in modes:
        state, what = known.state(mode), known.spread(mode)
        edge = np.full(size, -1, dtype=np.int64)
        edge[numbers[mode]] = state.edge_of
        before = np.full(size, np.nan)
        before[numbers[mode]] = state.before
        mine = [n for n, (m, probe) in enumerate(probes) if m == mode and probe.kind != "ohms"]
        own = [_own(state, probes[n][1], edge[first], before[first]) for n in mine]
        reached = [reach(state, probes[n][1]) for n in mine]
        put_in, ends = _elements(what, elements[mode], size)
        found[mode] = Segments(
            state,
            np.array(mine, dtype=np.int64),
            len(probes),
            edge[first],
            np.sqrt(squares[mode][used]),
            np.array(own).reshape(len(mine), len(first)),
            put_in,
            np.array(reached).reshape(len(mine), len(state.inverse)),
            tuple(probes[n][1] for n in mine),
            ends,
        )
    puts = np.flatnonzero(np.sum([s.put_in.getnnz(axis=1) for s in found.values()], axis=0))
    for segments in found.values():
        segments.put_in, segments.ends = segments.put_in[puts], segments.ends[puts]
    return found


def _elements(what: Uncertain, numbers: Ints, size: int) -> tuple[Any, Ints]:
    """Return what elements put in, and the points across loads, in the order that all modes share."""
    import numpy as np
    from scipy.sparse import csr_matrix

    some = what.put_in[: len(numbers)].tocoo()
    put_in = csr_matrix((some.data, (numbers[some.row], some.col)), shape=(size, some.shape[1]))
    ends = np.full((size, 2), -1, dtype=np.int64)
    ends[numbers] = what.ends[: len(numbers)]
    return put_in, ends


def _squares(known: Known, mode: str | None, piece: Ints, count: int) -> Floats:
    """Return the variances of pieces in a mode, in Ω², (pieces,); 0 of what carries nothing in it."""
    import numpy as np

    state, what = known.state(mode), known.spread(mode)
    spread_ohm = np.where(state.edge_of >= 0, what.ohm * what.deviation, 0.0)
    found: Floats = np.bincount(piece, spread_ohm**2, count).astype(np.float64)
    return found


def _own(state: State, probe: Probe, edge: Ints, before: Floats) -> Floats:
    import numpy as np

    found = np.zeros(len(edge))
    if probe.kind == "amperes":
        at = int(state.edge_of[probe.branch])
        return np.where((edge == at) & (at >= 0), -1.0 / state.ohm[at], 0.0) if at >= 0 else found
    for point, way in ((probe.plus, 1.0), (probe.minus, -1.0)):
        at = int(state.edge_at[point])
        if at >= 0:
            mine = edge == at
            part = float(state.part[point])
            found[mine] -= way * ((before[mine] > part) - (1.0 - part))
    return found


def rows_under(
    segments: Segments, sites: Sites, site: Ints, step: Ints, rows: Floats, before: Floats
) -> Floats:
    """Return what one standard deviation of everything does to readings under hypotheses.

    Parameters
    ----------
    site, step
        Which changes, (changes,).
    rows
        Volts of all rows under them, (rows, changes).
    before
        Where along its edge each change of a series resistance lies, as `State.before`, (changes,).

    Returns
    -------
    ndarray
        Shape (changes, readings of the mode, pieces + elements).
    """
    import numpy as np

    state = segments.state
    distinct, place = np.unique(site, return_inverse=True)
    change = conductances(state, sites)[site, step]
    gain = change / (1.0 + change * own_ohm(state, sites)[site])
    at = state.unknown[sites.rows[distinct]]
    w_rows = np.einsum("skp,sk->sp", state.inverse[at], sites.weights[distinct])
    seen = np.einsum("qsk,sk->qs", segments.reached[:, at], sites.weights[distinct])
    push = (seen[:, place] * gain).T
    moved = list(own_tips(segments, sites.edge[site], np.array(GRID_OHM)[step], before))
    for n, reading, shift in moved:
        push[n, reading] -= shift * (1.0 - gain[n] * own_ohm(state, sites)[site[n]])
    pieces, live = len(segments.edge), segments.spread_ohm
    on = np.maximum(segments.edge, 0)
    a, b = state.unknown[state.a[on]], state.unknown[state.b[on]]
    ohm = state.ohm[on]
    found: Floats = np.empty((len(site), len(segments.readings), segments.size))
    metal = found[:, :, :pieces]
    np.multiply(push[:, :, None], ((w_rows[:, b] - w_rows[:, a]) / ohm)[place][:, None], out=metal)
    metal += (segments.reached[:, a] - segments.reached[:, b]) / ohm
    siemens = np.where(segments.edge >= 0, live, 0.0) / ohm
    amperes = (rows[state.a[on]] - rows[state.b[on]]).T * siemens
    own = np.flatnonzero(sites.edge[site] >= 0)
    change_at, piece_at = np.nonzero(segments.edge[None] == sites.edge[site[own]][:, None])
    change_at = own[change_at]
    part = ohm[piece_at] / (ohm[piece_at] + np.array(GRID_OHM)[step[change_at]])
    metal[change_at, :, piece_at] *= part[:, None]
    amperes[change_at, piece_at] *= part
    metal += segments.own
    for n, reading, shift in moved:
        metal[n, reading, segments.edge == sites.edge[site[n]]] -= shift
    metal *= amperes[:, None]
    found[:, :, pieces:] = segments.elements(segments.reached)
    found[:, :, pieces:] -= push[:, :, None] * segments.elements(w_rows)[place][:, None]
    found[:, :, pieces:] *= alive(segments, rows)[:, None]
    return found


def alive(segments: Segments, rows: Floats) -> Floats:
    """Return how much of each element's spread is left under changes, (changes, elements).

    A load is known to a part of its current: one without volts draws none, and nobody can be wrong about that.
    """
    import numpy as np

    state, ends = segments.state, segments.ends
    found = np.ones((rows.shape[1], len(ends)))
    loads = np.flatnonzero(ends[:, 0] >= 0)
    plus, minus = ends[loads, 0], ends[loads, 1]
    clean = np.abs(state.point_volts(plus) - state.point_volts(minus))
    now = np.abs(state.at_points(rows, plus) - state.at_points(rows, minus)).T
    works = clean > LEAST_V
    found[:, loads[works]] = np.minimum(now[:, works] / clean[works], MOST_MORE)
    return found


def own_tips(
    segments: Segments, edges: Ints, added: Floats, before: Floats
) -> Iterator[tuple[int, int, float]]:
    """Yield changes in whose chain a tip lies: change, reading, and what the tip goes nearer to the first end.

    More resistance on one side of the tip takes it nearer to the end on the other: behind an open joint it is that end.
    """
    import numpy as np

    state = segments.state
    for reading, probe in enumerate(segments.probes):
        if probe.kind == "amperes":
            continue
        for point, way in ((probe.plus, 1.0), (probe.minus, -1.0)):
            edge = int(state.edge_at[point])
            mine = np.flatnonzero((edges == edge) & np.isfinite(before)) if edge >= 0 else ()
            part, whole = float(state.part[point]), float(state.ohm[edge])
            for n in mine:
                passed = whole * (1.0 - part) + (before[n] > part) * added[n]
                now = 1.0 - passed / (whole + added[n])
                yield int(n), reading, way * float(now - part)


def clean_rows(segments: Segments) -> Floats:
    """Return the same for the clean harness, (all readings, pieces + elements), 0 for those of other modes."""
    import numpy as np

    state = segments.state
    a, b = state.unknown[state.a], state.unknown[state.b]
    along = (segments.reached[:, a] - segments.reached[:, b]) / state.ohm
    on = np.maximum(segments.edge, 0)
    live = (segments.edge >= 0) * segments.spread_ohm
    metal = (along[:, on] + segments.own) * (state.amperes[on] * live)
    found = np.zeros((segments.count, segments.size))
    found[segments.readings] = np.concatenate([metal, segments.elements(segments.reached)], axis=1)
    return found
