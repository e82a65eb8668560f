"""What is not known of a harness, gathered: pieces of metal between branchings and tips, and elements.

Branches that lie in one chain in every mode, and on the same side of every tip, act as one: their spreads add in
squares. Under a hypothesis currents take other ways, and what is not known of those ways counts then: the spread of
readings is that of the hypothesis, not that of the clean harness.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .changes import GRID_OHM, Sites, conductances, own_ohm
from .known import Known
from .probes import Probe, reach
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

PART = 48
"""Hypotheses worked out at a time."""


@dataclass(slots=True)
class Segments:
    """Pieces of one mode in an order that all modes of a case share.

    `readings` are those of the mode, of `count` in all.

    `edge` (pieces,) is -1 where a piece carries nothing in the mode; `spread_ohm` (pieces,) one standard deviation;
    `own` (its readings, pieces) what a tip within the piece's chain sees of it beyond the chain as a whole, per ampere;
    `put_in` (elements, unknowns + 1) what elements put in, in the shared order.
    """

    state: State
    readings: Ints
    count: int
    edge: Ints
    spread_ohm: Floats
    own: Floats
    put_in: Floats
    reached: Floats

    @property
    def size(self) -> int:
        """Number of uncertain things."""
        return len(self.edge) + len(self.put_in)


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
    found = {}
    for mode in modes:
        state, what = known.state(mode), known.spread(mode)
        squares = np.bincount(
            piece[numbers[mode]],
            np.where(state.edge_of >= 0, what.ohm * what.deviation, 0.0) ** 2,
            len(first),
        )
        edge = np.full(size, -1, dtype=np.int64)
        edge[numbers[mode]] = state.edge_of
        put_in = np.zeros((size, len(state.inverse)))
        put_in[elements[mode]] = what.put_in.toarray()[: len(elements[mode])]
        before = np.full(size, np.nan)
        before[numbers[mode]] = state.before
        mine = [n for n, (m, probe) in enumerate(probes) if m == mode and probe.kind != "ohms"]
        own = [_own(state, probes[n][1], edge[first], before[first]) for n in mine]
        reached = [reach(state, probes[n][1]) for n in mine]
        found[mode] = Segments(
            state,
            np.array(mine, dtype=np.int64),
            len(probes),
            edge[first],
            np.sqrt(squares),
            np.array(own).reshape(-1, len(first)),
            put_in,
            np.array(reached).reshape(-1, len(state.inverse)),
        )
    used = np.flatnonzero(np.sum([np.abs(s.put_in).sum(axis=1) for s in found.values()], axis=0))
    for segments in found.values():
        segments.put_in = segments.put_in[used]
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


def rows_under(segments: Segments, sites: Sites, site: Ints, step: Ints, rows: Floats) -> Floats:
    """Return what one standard deviation of everything does to readings under hypotheses.

    Parameters
    ----------
    site, step
        Which changes, (changes,).
    rows
        Volts of all rows under them, (rows, changes).

    Returns
    -------
    ndarray
        Shape (changes, readings of the mode, pieces + elements).
    """
    import numpy as np

    state = segments.state
    change = conductances(state, sites)[site, step]
    gain = change / (1.0 + change * own_ohm(state, sites)[site])
    w_rows = np.einsum("skp,sk->sp", state.inverse[state.unknown[sites.rows[site]]], sites.weights[site])
    seen = np.einsum("qsk,sk->qs", segments.reached[:, state.unknown[sites.rows[site]]], sites.weights[site])
    a, b = state.unknown[state.a], state.unknown[state.b]
    plain = segments.reached[:, a] - segments.reached[:, b]
    along = plain[None] - (seen * gain).T[:, :, None] * (w_rows[:, a] - w_rows[:, b])[:, None]
    ohm = np.repeat(state.ohm[None], len(site), axis=0)
    series = np.flatnonzero(sites.edge[site] >= 0)
    ohm[series, sites.edge[site[series]]] += np.array(GRID_OHM)[step[series]]
    amperes = (rows[state.a] - rows[state.b]).T / ohm
    on = np.maximum(segments.edge, 0)
    live = (segments.edge >= 0) * segments.spread_ohm
    metal = (along / ohm[:, None])[:, :, on] + segments.own[None]
    metal *= (amperes[:, on] * live)[:, None]
    reached = segments.reached[None] - (seen * gain).T[:, :, None] * w_rows[:, None]
    elements = reached @ segments.put_in.T
    found: Floats = np.concatenate([metal, elements], axis=2)
    return found


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
    found[segments.readings] = np.concatenate([metal, segments.reached @ segments.put_in.T], axis=1)
    return found
