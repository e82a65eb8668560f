"""Two faults at once, among the leading single ones: what both together predict, and how likely that is.

What both do is the sum of what each does alone when all is solved, and of what they do to each other to first order:
the change of rank two (Woodbury, 1950) less the two of rank one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from .changes import GRID_OHM, Sites, across, conductances, mutual_ohm, own_ohm, seen_from
from .likelihood import log_normal
from .posterior import finely
from .predict import Predicted
from .probes import reach
from .sighted import sighting_logs

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .posterior import Weighed
    from .screening import Work

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

TWO_AT_ONCE = 0.05
"""How likely a second fault is beside a first one (common practice, no source)."""
LEADING, LEAST = 6, 1e-6
"""So many single faults are paired, as far as they are this probable."""
UNEXPLAINED, MOST, LOOSELY = 0.5, 12, 0.3
"""Posterior of all single faults below which they do not explain it; so many that explain most are paired then, each
change being known to that part of it."""
EVERY = 2
"""Of the fine grid every so many steps are looked at."""
MOST_V = 30.0
"""More than this two changes do not do to each other: first order overshoots behind two open joints."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two groups bad at once: their indices, their probability and the added ohms that fit best."""

    groups: tuple[int, int]
    probability: float
    added_ohm: tuple[float, float]


@dataclass(slots=True)
class Paired:
    """What pairs weigh: logarithms over the grids of both, (pairs, grid, grid), at `places` of the fine grid."""

    groups: tuple[tuple[int, int], ...]
    logs: Floats
    places: Ints


def paired(weighed: Weighed, single: Floats, prior: Floats, steps: Floats) -> Paired:
    """Return the evidence for pairs, their prior in it.

    Parameters
    ----------
    single
        Posterior of each group alone, (groups,).
    prior
        Prior of each group, (groups,).
    steps
        Place of each point of the fine grid on the grid, (fine,).
    """
    import numpy as np

    places = np.append(np.arange(0, len(steps) - 1, EVERY), len(steps) - 1)
    groups = _leading(weighed, single, prior)
    if not groups or not (len(weighed.seen) or weighed.observed.sightings):
        return Paired((), np.zeros((0, len(places), len(places))), places)
    logs = _read(weighed, groups, steps, places) + _sighted(weighed, groups, steps, places)
    ohm = weighed.of_resistance[places]
    ohm[:-1] *= weighed.of_resistance[:-1].sum() / ohm[:-1].sum()
    first, second = (prior[[g[k] for g in groups]] for k in (0, 1))
    both = np.log(2.0 * TWO_AT_ONCE * first * second / max(float(prior.sum()), 1e-300))
    return Paired(groups, logs + both[:, None, None] + np.log(ohm)[:, None] + np.log(ohm), places)


def _leading(weighed: Weighed, single: Floats, prior: Floats) -> tuple[tuple[int, int], ...]:
    """Return pairs of leading groups; two in one way of metal are one to readings.

    Where no single fault explains what was read, those lead that explain most readings, however badly the others.
    """
    import numpy as np

    series = np.array([g.fault != "chafed" for g in weighed.groups], dtype=bool)
    order = np.argsort(-np.where(series, single, -1.0), kind="stable")
    best = [n for n in order[:LEADING].tolist() if single[n] > LEAST and series[n]]
    if float(single.sum()) < UNEXPLAINED and len(weighed.seen):
        score = np.where(series, _readings_explained(weighed), -np.inf)
        seen: set[int] = set()
        for n in np.lexsort((-prior, -score)).tolist():
            if len(seen) == MOST or not series[n]:
                break
            if int(weighed.variant[n]) not in seen:
                seen.add(int(weighed.variant[n]))
                best.append(n)
    at = [w.at.sites.edge[w.of_group] for w in weighed.works]
    return tuple(
        (i, j)
        for i, j in combinations(dict.fromkeys(best), 2)
        if not any(e[i] == e[j] and e[i] >= 0 for e in at)
    )


def _readings_explained(weighed: Weighed) -> Floats:
    """Return how many readings a group alone explains, as a logarithm that no single one can spoil, (groups,)."""
    import numpy as np

    sigma = np.sqrt(np.diag(weighed.model.covariance))
    change = np.abs(weighed.predicted - weighed.clean)
    off = (weighed.predicted - weighed.seen) / np.hypot(sigma, LOOSELY * change)
    by_step = -np.log1p(0.5 * off**2).sum(axis=2)[weighed.variant]
    found: Floats = by_step.max(axis=1)
    return found


def _read(weighed: Weighed, groups: Sequence[tuple[int, int]], steps: Floats, places: Ints) -> Floats:
    """Return log likelihoods of the readings, (pairs, grid, grid)."""
    import numpy as np

    some, other = (np.array([g[k] for g in groups], dtype=np.int64) for k in (0, 1))
    clean = weighed.clean
    if not len(clean):
        return np.zeros((len(groups), len(places), len(places)))
    needed = np.unique(weighed.variant[np.concatenate([some, other])])
    of_variant = dict(zip(needed.tolist(), finely(weighed.predicted[needed], steps)[:, places], strict=True))
    found = np.empty((len(groups), len(places), len(places)))
    extra = np.zeros((len(groups), len(GRID_OHM), len(GRID_OHM), len(clean)))
    for work in weighed.works:
        if work.probes:
            reached = np.stack([reach(work.state, weighed.probes[n]) for n in work.probes])
            extra[..., work.probes] = _between(work, some, other, reached)
    way = _ways(steps[places])
    nearest = np.rint(steps[places]).astype(np.int64)
    for n, (i, j) in enumerate(groups):
        a, b = int(weighed.variant[i]), int(weighed.variant[j])
        beside = np.moveaxis(way @ np.moveaxis(extra[n], 2, 0) @ way.T, 0, 2)
        both = of_variant[a][:, None] + of_variant[b][None] - clean + beside
        own, size = weighed.inverse[a, nearest][:, None], weighed.log_size[a, nearest][:, None]
        found[n] = log_normal(weighed.seen, both, clean, own, size)
    return found


def _sighted(weighed: Weighed, groups: Sequence[tuple[int, int]], steps: Floats, places: Ints) -> Floats:
    """Return log chances of what was seen, (pairs, grid, grid)."""
    import numpy as np

    some, other = (np.array([g[k] for g in groups], dtype=np.int64) for k in (0, 1))
    grid, count = len(GRID_OHM), len(groups)
    if not weighed.observed.sightings:
        return np.zeros((count, len(places), len(places)))
    cells = np.arange(count * grid)
    together = []
    for work in weighed.works:
        state, at = work.state, work.at
        first, second = (at.volts[:, work.of_group[g]] for g in (some, other))
        rows = first[:, :, :, None] + second[:, :, None] - state.volts[at.rows][:, None, None, None]
        seen = state.inverse[state.unknown[at.rows]]
        rows = rows + np.moveaxis(_between(work, some, other, seen), -1, 0)
        both = Predicted(
            state, _no_sites(at.sites, len(cells)), at.rows, at.place, rows.reshape(len(rows), -1, grid)
        )
        together.append((both, cells, work.sights))
    logs, _ = sighting_logs(together, weighed.observed, np.arange(grid, dtype=np.float64))
    way = _ways(steps[places])
    found: Floats = way @ logs.reshape(count, grid, grid) @ way.T
    return found


def _between(work: Work, some: Ints, other: Ints, reached: Floats) -> Floats:
    """Return what two changes do to each other, to first order: (pairs, grid, grid, reached)."""
    import numpy as np

    state, sites = work.state, work.at.sites
    i, j = work.of_group[some], work.of_group[other]
    change = conductances(state, sites)
    with np.errstate(divide="ignore"):
        resists = np.where(change == 0.0, np.inf, 1.0 / change)
    own = [own_ohm(state, sites)[k] for k in (i, j)]
    mutual = mutual_ohm(state, sites, i, j)[:, None, None]
    over = [across(state, sites, state.volts)[k][:, None, None] for k in (i, j)]
    left_i = (resists[i] + own[0][:, None])[:, :, None]
    left_j = (resists[j] + own[1][:, None])[:, None]
    with np.errstate(invalid="ignore", divide="ignore"):
        determinant = 1.0 - mutual * mutual / (left_i * left_j)
        alone = over[0] / left_i, over[1] / left_j
        more_i = (alone[0] - mutual * alone[1] / left_i) / determinant - alone[0]
        more_j = (alone[1] - mutual * alone[0] / left_j) / determinant - alone[1]
    seen = seen_from(state, sites, reached).T
    found = -(
        seen[i][:, None, None] * np.nan_to_num(more_i)[..., None]
        + seen[j][:, None, None] * np.nan_to_num(more_j)[..., None]
    )
    limited: Floats = np.clip(found, -MOST_V, MOST_V)
    return limited


def _ways(at: Floats) -> Floats:
    """Return what turns values on the grid into those between its points: (places, grid)."""
    import numpy as np

    return np.stack([np.interp(at, np.arange(len(GRID_OHM)), row) for row in np.eye(len(GRID_OHM))], axis=1)


def _no_sites(sites: Sites, count: int) -> Sites:
    """Return sites that are nowhere, as many as cells."""
    import numpy as np

    none = np.zeros(count, dtype=np.int64)
    return replace(
        sites,
        keys=((-1, -1),) * count,
        rows=np.zeros((count, 4), dtype=np.int64),
        weights=np.zeros((count, 4)),
        edge=none - 1,
        behind_ohm=np.zeros(count),
        chafed=none > 0,
        dead=none == 0,
        memo={},
    )
