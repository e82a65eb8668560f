"""Prediction and spread of a few candidate readings in full, given the readings so far."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .candidates import Cells, Table, rest_of
from .covariance import MOST_SPREAD_V, Changed, held_back, things_of
from .likelihood import OWN_PART
from .observed import METER_PART, METER_V
from .probes import Probe
from .segments import clean_rows, segments_of
from .suspects import Suspects
from .variants import before_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

CELLS_AT_ONCE = 32


def sharpen(
    found: Suspects, cells: Cells, tables: Sequence[Table], picks: Sequence[tuple[Table, int]]
) -> None:
    """Work out prediction and spread of some candidates in full: under each cell, given the readings so far."""
    import numpy as np

    known, weighed = found.known, found.weighed
    probes = [(m.mode, weighed.probes[n]) for n, m in enumerate(found.observed.measured)]
    count = len(probes)
    for table, n in picks:
        plus, minus = (table.state.network.index[p] for p in table.pair_names(n))
        probes.append((table.mode, Probe("volts", plus, minus)))
    pieces = segments_of(known, [t.mode for t in tables], probes)
    real = np.flatnonzero(cells.place < len(cells.groups))
    place, step = cells.place[real], cells.step[real]
    groups = [found.groups[g] for g in cells.groups]
    before = {t.mode: before_of(t.state, groups) for t in tables}
    variance = np.zeros((len(real) + 1, len(picks)))
    shift = np.zeros_like(variance)
    rest = rest_of(found, cells, len(real) + 1)
    things = [things_of(pieces[t.mode]) for t in tables]
    for begin in range(0, len(real), CELLS_AT_ONCE):
        some = np.arange(begin, min(begin + CELLS_AT_ONCE, len(real)))
        site, at_step = place[some], step[some]
        changed = [
            Changed(t.at.sites, site, at_step, t.at.volts[:, site, at_step].T, before[t.mode][site])
            for t in tables
        ]
        covariance = held_back(things, changed)
        variance[some], shift[some] = _given_all(covariance, count, weighed.model.meter, rest[some])
    clean = sum(clean_rows(pieces[t.mode]) for t in tables)
    clean = np.clip(np.nan_to_num(clean), -MOST_SPREAD_V, MOST_SPREAD_V)
    variance[-1:], shift[-1:] = _given_all((clean @ clean.T)[None], count, weighed.model.meter, rest[-1:])
    for k, (table, n) in enumerate(picks):
        table.volts[n] = table.plain[n] + shift[:, k]
        change = table.plain[n] - table.clean[n]
        meter = METER_PART * np.abs(table.volts[n]) + METER_V
        table.sigma[n] = np.sqrt(meter**2 + variance[:, k] + (OWN_PART * change) ** 2)


def _given_all(covariance: Floats, count: int, meter: Floats, rest: Floats) -> tuple[Floats, Floats]:
    """Return variances and shifts of candidates, given `count` readings that are off by `rest`: (cells, candidates)."""
    import numpy as np

    variance = np.maximum(np.diagonal(covariance, axis1=1, axis2=2)[:, count:], 0.0)
    if not count:
        return variance, np.zeros_like(variance)
    bound = 2.0 * np.sqrt(variance)
    inner = covariance[:, :count, :count] + np.diag(meter)
    shared = covariance[:, count:, :count]
    gain = np.linalg.solve(inner, shared.transpose(0, 2, 1)).transpose(0, 2, 1)
    left = np.maximum(variance - (gain * shared).sum(axis=2), 1e-10)
    return left, np.clip((gain @ rest[:, :, None])[:, :, 0], -bound, bound)
