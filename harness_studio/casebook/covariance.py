"""Covariances of readings under many hypotheses at once, without what each uncertain thing does written out.

One standard deviation of a thing p changes reading r by (A_rp + c_r·W_p)·i_p: A is what the clean network lets through,
W what the changed place sees of p, c_r what the change passes on to r, and i_p what flows in p under the hypothesis.
Of readings r of a mode and q of the same or another one the covariance is then a sum over p of i_p·i'_p times
A_rp·A_qp, c_r·W_p·A_qp, A_rp·c_q·W'_p and c_r·c_q·W_p·W'_p, each a product of matrices. Only in the changed chain
itself each thing is worked out alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .changes import GRID_OHM, Sites, along, conductances, own_ohm
from .segments import Segments, alive, own_tips, rows_under

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


MOST_SPREAD_V = 30.0
"""More than this no single thing spreads a reading: first order overshoots behind an open joint."""


@dataclass(frozen=True, slots=True)
class Changed:
    """Hypotheses in one mode.

    `site`, `step` (changes,) are which changes, `volts` (changes, rows) those of all rows under them, `before`
    (changes,) where along its edge each series resistance lies, as `State.before`.
    """

    sites: Sites
    site: Ints
    step: Ints
    volts: Floats
    before: Floats


@dataclass(slots=True)
class Things:
    """What is the same for all hypotheses of a mode.

    `clean` (readings, things) is A; `along` and `own` (readings, pieces) its parts by piece; `ohm` (pieces,) is the
    resistance of a piece's edge, `part` (pieces,) one standard deviation of the piece against that; `a`, `b` (pieces,)
    are rows at its ends; `order` (pieces,) sorts pieces by edge.
    """

    segments: Segments
    clean: Floats
    along: Floats
    ohm: Floats
    part: Floats
    a: Ints
    b: Ints
    order: Ints
    sorted_edge: Ints


@dataclass(slots=True)
class _Part:
    """A chunk of hypotheses in one mode: c (changes, readings), W by site with the site of each change, i.

    `alone` (entries, readings) is what things in the changed chain do.
    """

    push: Floats
    seen: Floats
    place: Ints
    flow: Floats
    alone: Floats


def things_of(segments: Segments) -> Things:
    """Return what is the same for all hypotheses of a mode."""
    import numpy as np

    state = segments.state
    on = np.maximum(segments.edge, 0)
    a, b = state.a[on], state.b[on]
    ohm = state.ohm[on]
    along = (segments.reached[:, state.unknown[a]] - segments.reached[:, state.unknown[b]]) / ohm
    clean = np.concatenate([along + segments.own, segments.elements(segments.reached)], axis=1)
    part = np.where(segments.edge >= 0, segments.spread_ohm, 0.0) / ohm
    order = np.argsort(segments.edge, kind="stable")
    by_edge = segments.edge[order]
    return Things(segments, clean, along, ohm, part, a, b, order, by_edge)


def covariances_under(things: Sequence[Things], changed: Sequence[Changed]) -> Floats:
    """Return the covariance of all readings under hypotheses, without the meter: (changes, readings, readings)."""
    import numpy as np

    own = [c.sites.edge[c.site] for c in changed]
    change, piece = _in_chain(things, own)
    mine = [
        (t.segments.edge[piece] == e[change]) & (e[change] >= 0) for t, e in zip(things, own, strict=True)
    ]
    parts = [_part(t, c, change, piece, m) for t, c, m in zip(things, changed, mine, strict=True)]
    count = things[0].segments.count
    found = np.zeros((len(own[0]), count, count))
    for m, one in enumerate(parts):
        for n, other in enumerate(parts[: m + 1]):
            r, q = things[m].segments.readings, things[n].segments.readings
            if not len(r) or not len(q):
                continue
            block = _block(things[m].clean, one, things[n].clean, other)
            np.add.at(block, change, one.alone[:, :, None] * other.alone[:, None])
            found[:, r[:, None], q] = block
            if m != n:
                found[:, q[:, None], r] = block.transpose(0, 2, 1)
    return found


def _in_chain(things: Sequence[Things], own: Sequence[Ints]) -> tuple[Ints, Ints]:
    """Return the pieces in the changed chain in any mode: changes, and the piece of each, in order of both."""
    import numpy as np

    pieces = len(things[0].segments.edge)
    found = []
    for one, edge in zip(things, own, strict=True):
        first = np.searchsorted(one.sorted_edge, edge, "left")
        count = np.where(edge >= 0, np.searchsorted(one.sorted_edge, edge, "right") - first, 0)
        change = np.repeat(np.arange(len(edge)), count)
        place = np.arange(len(change)) - np.repeat(np.cumsum(count) - count, count)
        found.append(change * pieces + one.order[first[change] + place])
    both = np.unique(np.concatenate(found))
    return both // max(pieces, 1), both % max(pieces, 1)


def held_back(things: Sequence[Things], changed: Sequence[Changed]) -> Floats:
    """Return the same as `covariances_under`, but that no single thing spreads a reading without end."""
    import numpy as np

    found = covariances_under(things, changed)
    spread = np.diagonal(found, axis1=1, axis2=2).max(axis=1, initial=0.0)
    for n in np.flatnonzero(~(spread <= MOST_SPREAD_V**2)).tolist():  # too much, or not a number
        rows = np.zeros((things[0].segments.count, things[0].segments.size))
        for one, at in zip(things, changed, strict=True):
            some = slice(n, n + 1)
            rows[one.segments.readings] = rows_under(
                one.segments, at.sites, at.site[some], at.step[some], at.volts[some].T, at.before[some]
            )[0]
        rows = np.clip(np.nan_to_num(rows), -MOST_SPREAD_V, MOST_SPREAD_V)
        found[n] = rows @ rows.T
    return found


def _block(clean: Floats, one: _Part, others_clean: Floats, other: _Part) -> Floats:
    """Return the covariances of readings of two modes, (changes, readings, readings)."""
    import numpy as np

    flow = one.flow * other.flow
    first, second = len(clean), len(others_clean)
    products = (clean[:, None] * others_clean[None]).reshape(first * second, -1)
    found = (flow @ products.T).reshape(-1, first, second)
    seen = flow * one.seen[one.place]
    across = seen @ others_clean.T
    both = np.einsum("ct,ct->c", seen, other.seen[other.place])
    back = across if one is other else (flow * other.seen[other.place]) @ clean.T
    found += one.push[:, :, None] * (across + both[:, None] * other.push)[:, None]
    found += back[:, :, None] * other.push[:, None]
    return found


def _part(things: Things, changed: Changed, change: Ints, piece: Ints, mine: Bools) -> _Part:
    import numpy as np

    segments, sites, site = things.segments, changed.sites, changed.site
    state = segments.state
    pieces = len(segments.edge)
    distinct, place = np.unique(site, return_inverse=True)
    at = state.unknown[sites.rows[distinct]]
    w_rows = along(state, sites, distinct, state.inverse)
    siemens = conductances(state, sites)[site, changed.step]
    ohm = own_ohm(state, sites)[site]
    gain = siemens / (1.0 + siemens * ohm)
    reached = np.einsum("qsk,sk->sq", segments.reached[:, at], sites.weights[distinct])
    push: Floats = reached[place] * gain[:, None]
    moved = list(own_tips(segments, sites.edge[site], np.array(GRID_OHM)[changed.step], changed.before))
    for n, reading, shift in moved:
        push[n, reading] -= shift * (1.0 - gain[n] * ohm[n])
    seen = np.empty((len(distinct), segments.size))
    seen[:, :pieces] = (w_rows[:, state.unknown[things.b]] - w_rows[:, state.unknown[things.a]]) / things.ohm
    seen[:, pieces:] = -segments.elements(w_rows)
    flow = np.empty((len(site), segments.size))
    np.subtract(changed.volts[:, things.a], changed.volts[:, things.b], out=flow[:, :pieces])
    flow[:, :pieces] *= things.part
    flow[:, pieces:] = alive(segments, changed.volts.T)
    added = np.where(mine, np.array(GRID_OHM)[changed.step[change]], 0.0)
    part = things.ohm[piece] / (things.ohm[piece] + added)
    alone = push[change] * seen[place[change], piece][:, None] + things.along[:, piece].T
    alone = alone * part[:, None] + segments.own[:, piece].T
    for n, reading, shift in moved:
        alone[(change == n) & mine, reading] -= shift
    alone *= (flow[change, piece] * part)[:, None]
    flow[change, piece] = 0.0
    return _Part(push, seen, place, flow, alone)
