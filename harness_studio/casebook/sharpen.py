"""Prediction and spread of a few candidate readings in full, given the readings so far."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .candidates import Cells, Table, rest_of
from .likelihood import OWN_PART
from .observed import METER_PART, METER_V
from .probes import Probe
from .segments import clean_rows, rows_under, segments_of
from .suspects import Suspects
from .variants import MOST_SPREAD_V, before_of

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
    for begin in range(0, len(real) + 1, CELLS_AT_ONCE):
        some = np.arange(begin, min(begin + CELLS_AT_ONCE, len(real) + 1))
        own = some[some < len(real)]
        rows = np.zeros((len(some), len(probes), pieces[tables[0].mode].size))
        for table in tables:
            mine = pieces[table.mode].readings
            volts = table.at.volts[:, place[own], step[own]]
            rows[: len(own), mine] = rows_under(
                pieces[table.mode],
                table.at.sites,
                place[own],
                step[own],
                volts,
                before[table.mode][place[own]],
            )
            if len(own) < len(some):
                rows[-1, mine] = clean_rows(pieces[table.mode])[mine]
        rows = np.clip(np.nan_to_num(rows), -MOST_SPREAD_V, MOST_SPREAD_V)
        variance[some], shift[some] = _given_all(rows, count, weighed.model.meter, rest[some])
    for k, (table, n) in enumerate(picks):
        table.volts[n] = table.plain[n] + shift[:, k]
        change = table.plain[n] - table.clean[n]
        meter = METER_PART * np.abs(table.volts[n]) + METER_V
        table.sigma[n] = np.sqrt(meter**2 + variance[:, k] + (OWN_PART * change) ** 2)


def _given_all(rows: Floats, count: int, meter: Floats, rest: Floats) -> tuple[Floats, Floats]:
    """Return variances and shifts of candidates, given `count` readings that are off by `rest`: (cells, candidates)."""
    import numpy as np

    before, after = rows[:, :count], rows[:, count:]
    variance = (after**2).sum(axis=2)
    if not count:
        return variance, np.zeros_like(variance)
    bound = 2.0 * np.sqrt(variance)
    inner = before @ before.transpose(0, 2, 1) + np.diag(meter)
    shared = after @ before.transpose(0, 2, 1)
    gain = np.linalg.solve(inner, shared.transpose(0, 2, 1)).transpose(0, 2, 1)
    left = np.maximum(variance - (gain * shared).sum(axis=2), 1e-10)
    return left, np.clip((gain @ rest[:, :, None])[:, :, 0], -bound, bound)
