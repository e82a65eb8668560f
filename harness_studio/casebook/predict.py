"""What each hypothesis predicts for the readings and the changes that a person saw.

First all hypotheses to first order; then, fully, only those that can move something observed by a fifth of its standard
deviation, or turn a relay that can. What was solved fully is kept for the next reading.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from harness_studio.base.errors import SolveError
from harness_studio.electrics.laws.discrete import RESTLESS
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.passes import Pass
from harness_studio.electrics.ports import CUT_OFF, deviations
from harness_studio.electrics.reduced import inner_parts
from harness_studio.electrics.solve import settle_from
from harness_studio.network.network import Element

from .changes import GRID_OHM, Sites, across, along, columns, conductances, own_ohm, seen_from
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

CHUNK = 512
NOTHING: frozenset[int] = frozenset()
Key = tuple[int, int, int]
"""A change: the two numbers of its site's key, and the step of its grid."""


@dataclass(slots=True)
class Solved:
    """What was solved fully in a state: volts of all rows by change; how many took a solution of their own.

    `let_be` are bounds whose elements turned, which did not matter for what was observed then; `states` those of
    elements that are not as in the clean harness, where changes were solved with everything turned.
    """

    by_change: dict[Key, Floats] = field(default_factory=dict)
    let_be: dict[Key, frozenset[int]] = field(default_factory=dict)
    states: dict[Key, frozenset[tuple[str, str]]] = field(default_factory=dict)
    fully: int = 0

    def good(self, key: Key, matters: frozenset[int]) -> bool:
        """Tell whether a change is solved with all turned that matters."""
        return key in self.by_change and not self.let_be.get(key, NOTHING) & matters


@dataclass(slots=True)
class Predicted:
    """Volts of some rows of a state under every change: `rows` (rows asked for,), `volts` (rows, sites, grid).

    `place` maps rows of the state to rows asked for.
    """

    state: State
    sites: Sites
    rows: Ints
    place: Ints
    volts: Floats


def first_order(state: State, sites: Sites, rows: Ints) -> tuple[Predicted, Floats]:
    """Return volts to first order, and the amperes that each change drives along itself, (sites, grid)."""
    import numpy as np

    share = shares(state, sites)
    at = state.unknown[rows]
    seen = seen_from(state, sites, state.inverse[at])
    volts = state.volts[rows][:, None, None] - seen[:, :, None] * share[None]
    place = np.full(len(state.volts), -1, dtype=np.int64)
    place[rows] = np.arange(len(rows))
    return Predicted(state, sites, rows, place, volts), share


def shares(state: State, sites: Sites) -> Floats:
    """Return Δg·wᵀv/(1 + Δg·wᵀJ⁻¹w) of every change, (sites, grid)."""
    import numpy as np

    change = conductances(state, sites)
    left = 1.0 + change * own_ohm(state, sites)[:, None]
    cut_off = np.abs(left) < CUT_OFF
    found: Floats = change * across(state, sites, state.volts)[:, None] / np.where(cut_off, CUT_OFF, left)
    return found


NEARER = 0.5
"""Part of the way from a clean coil's volts to where it turns, from which it may turn once all is solved."""


ASLEEP_OHM = 1.0
"""Added resistance in the way of its charge lamp from which an alternator may not be woken."""


def turned(state: State, sites: Sites, share: Floats, which: Ints | None = None) -> tuple[Bools, Bools]:
    """Return which elements turn under which change, to first order, and which turn or come near to it.

    Both (bounds, sites, grid). Near is that part of the way from the clean volts to where an element turns. With
    `which` only those bounds are looked at.
    """
    import numpy as np

    judged = state.judged
    turning = np.zeros((len(judged.first), *share.shape), dtype=bool)
    which = np.arange(len(judged.first)) if which is None else which
    if not len(which):
        return turning, turning.copy()
    near = turning.copy()
    first, second = judged.first[which], judged.second[which]
    over = state.point_volts(first) - state.point_volts(second)
    reach = state.reach_of(first) - state.reach_of(second)
    seen = seen_from(state, sites, reach)
    for n, row in enumerate(which.tolist()):
        now = over[n] - seen[n][:, None] * share
        clean = over[n]
        if judged.sized[row]:
            now, clean = np.abs(now), abs(clean)
        low, high = judged.low[row], judged.high[row]
        above = (now >= high) if judged.above[row] is not None else np.zeros(share.shape, dtype=bool)
        if judged.below[row] is None:
            turning[row] = near[row] = above
            continue
        nearer = low + NEARER * max(clean - low, 0.0) if np.isfinite(low) else low
        turning[row] = (now < low) | above
        near[row] = (now < nearer) | above
    for n, row in enumerate(judged.elements):
        if row in state.waits and n in which:
            asleep = np.isin(sites.edge, state.waits[row])[:, None] & (np.array(GRID_OHM) >= ASLEEP_OHM)[None]
            turning[n] |= asleep
            near[n] |= asleep
    return turning, near


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which changes are to be solved fully, and what is known of them to first order.

    `which` (sites, grid); `turning` (bounds, sites, grid) are elements that turn, as far as they matter, which
    `matters` (bounds,) tells.
    """

    which: Bools
    turning: Bools
    matters: Bools


def refine(
    at: Predicted, wanted: Wanted, solved: Solved, cancelled: Callable[[], bool] = lambda: False
) -> None:
    """Solve changes fully and put their volts in; `solved` is what was solved before, and grows."""
    import numpy as np

    site, step = np.nonzero(wanted.which)
    keys = [(*at.sites.keys[s], g) for s, g in zip(site.tolist(), step.tolist(), strict=True)]
    matters = frozenset(np.flatnonzero(wanted.matters).tolist())
    missing = np.array([not solved.good(k, matters) for k in keys], dtype=bool)
    turns = wanted.turning[:, site, step].any(axis=0)
    late: list[tuple[int, Floats | None, frozenset[str]]] = [
        (n, None, _names(at.state, np.flatnonzero(wanted.turning[:, site[n], step[n]]).tolist()))
        for n in np.flatnonzero(missing & turns).tolist()
    ]
    rest = np.flatnonzero(missing & ~turns)
    for start in range(0, len(rest), CHUNK):
        if cancelled():
            return
        some = rest[start : start + CHUNK]
        for n, rows, near, turned_bounds in _bent(at, site, step, some):
            if (near and not turned_bounds & matters) or at.sites.edge[site[n]] < 0:
                solved.by_change[keys[n]] = rows
                solved.let_be[keys[n]] = turned_bounds
            else:
                late.append((n, rows, _names(at.state, sorted(turned_bounds))))
    passes: dict[tuple[int, frozenset[str]], Pass] = {}
    for n, start_at, names in late:
        if cancelled():
            return
        last = passes.get((int(site[n]), names)) if names else None
        found, done = _full(at.state, at.sites, int(site[n]), int(step[n]), last, names)
        solved.by_change[keys[n]] = _known(at.state, found, start_at)
        solved.let_be[keys[n]] = NOTHING
        solved.fully += 1
        if done is not None:
            passes[(int(site[n]), names)] = done
            solved.states[keys[n]] = frozenset(done.states.items() - at.state.base.done.states.items())
    known = np.array([k in solved.by_change for k in keys], dtype=bool)
    if known.any():
        volts = [solved.by_change[k][at.rows] for k, yes in zip(keys, known.tolist(), strict=True) if yes]
        at.volts[:, site[known], step[known]] = np.stack(volts, axis=1)


def _known(state: State, found: Floats | None, near: Floats | None) -> Floats:
    """Return what was solved, else what came near, else the clean volts."""
    import numpy as np

    if found is not None:
        return found
    clean: Floats = state.volts.astype(np.float32)
    return clean if near is None or not np.isfinite(near).all() else near


def _names(state: State, bounds: Sequence[int]) -> frozenset[str]:
    return frozenset(state.judged.elements[n] for n in bounds)


def _bent(
    at: Predicted, sites_at: Ints, steps_at: Ints, which: Ints
) -> Iterator[tuple[int, Floats, bool, frozenset[int]]]:
    """Yield for changes the volts of all rows by the iteration of the ports, whether it came near, and what turns."""
    import numpy as np

    state, sites = at.state, at.sites
    site, step = sites_at[which], steps_at[which]
    distinct, place = np.unique(site, return_inverse=True)
    some = columns(state, sites, distinct)
    change = conductances(state, sites)[site, step]
    left = 1.0 + change * own_ohm(state, sites)[site]
    over = across(state, sites, state.volts)[site]
    ports = np.zeros((len(state.inverse), state.base.port_columns.shape[1]))
    ports[:-1] = state.base.port_columns
    back = np.einsum("skp,sk->sp", ports[state.unknown[sites.rows[distinct]]], sites.weights[distinct])
    delta, near, _ = deviations(state.base, some[:-1, place], back[place], change, left, over, few=True)
    rows = np.repeat(state.volts[:, None], len(site), axis=1)
    rows[state.base.system.kept] += delta
    near &= np.isfinite(delta).all(axis=0)
    judged = state.judged
    turns = np.zeros((0, len(site)), dtype=bool)
    if len(judged.first):
        turns = _outside(state, state.at_points(rows, judged.first) - state.at_points(rows, judged.second))
    by_change = np.ascontiguousarray(rows.T, dtype=np.float32)
    some_turn = np.asarray(turns.any(axis=0)).tolist()
    for n, number in enumerate(which.tolist()):
        what = frozenset(np.flatnonzero(turns[:, n]).tolist()) if some_turn[n] else NOTHING
        yield number, by_change[n], bool(near[n]), what


def _outside(state: State, over: Floats) -> Bools:
    import numpy as np

    judged = state.judged
    over = np.where(judged.sized[:, None], np.abs(over), over)
    can_fall = np.array([b is not None for b in judged.below], dtype=bool)[:, None]
    can_rise = np.array([a is not None for a in judged.above], dtype=bool)[:, None]
    found: Bools = ((over < judged.low[:, None]) & can_fall) | ((over >= judged.high[:, None]) & can_rise)
    return found


def _full(
    state: State, sites: Sites, site: int, step: int, last: Pass | None, turned_names: frozenset[str]
) -> tuple[Floats | None, Pass | None]:
    """Return the volts of all rows with everything solved again, from another pass that turned the same; None without.

    Relays that turn start released: the fault was there before the mode. A chafe is left as it is.
    """
    import numpy as np

    edge = int(sites.edge[site])
    if edge < 0:
        return None, None
    base = state.base
    branch = int(np.flatnonzero(state.edge_of == edge)[0])
    ohm = state.closed_ohm.copy()
    ohm[branch] += GRID_OHM[step]
    done = _settled(state, ohm, last, turned_names)
    if done is None:
        return None, None
    found: Floats = state.volts.astype(np.float32)
    if np.array_equal(done.system.reduced.outer, base.system.reduced.outer):
        found[:] = np.where(done.system.alive, done.settled.high + done.settled.low, 0.0)
        return found, done
    on = np.flatnonzero(base.rows >= 0)
    found[base.rows[on]] = _all_volts(done)[on]
    return found, done


def _settled(state: State, ohm: Floats, last: Pass | None, turned_names: frozenset[str]) -> Pass | None:
    """Return the pass with other resistances, the named relays released at the start; None without a solution.

    Where they pulled in after all at the step before, and nothing was restless, that is tried first: it holds if their
    coils have enough now.
    """
    start = replace(last or state.base.done, again=state.again)
    names = [e for e in turned_names if start.states.get(e) == "pulled in"]
    if last is not None and names and not set(RESTLESS.values()) & set(last.states.values()):
        try:
            done = settle_from(state.network, FULL, ohm, start)
        except SolveError:
            done = None
        if done is not None and done.states == start.states and not _too_little(state, done, names):
            return done
    begun = _from_start(start.states, turned_names, state.waits)
    for begin in (start, replace(state.base.done, again=None)):
        try:
            done = settle_from(state.network, FULL, ohm, begin, begun)
        except SolveError:
            continue
        kept = [e for e, s in done.states.items() if s == "pulled in" and e not in turned_names]
        late = _too_little(state, done, kept)
        return _settled(state, ohm, last, turned_names | late) if late else done
    return None


def _too_little(state: State, done: Pass, names: Sequence[str]) -> frozenset[str]:
    """Return those of some relays that have enough to stay, but not to pull in."""
    import numpy as np

    judged = state.judged
    at = np.nan_to_num(done.point_volts)
    over = np.abs(at[judged.first] - at[judged.second])
    asked = frozenset(names)
    return frozenset(e for n, e in enumerate(judged.elements) if e in asked and over[n] < judged.low[n])


def _from_start(
    states: Mapping[str, str], names: frozenset[str], waits: Mapping[str, object]
) -> dict[str, str]:
    """Return states with the named relays released; a machine at its limit then regulates, without what they fed.

    Of the named machines those that wait for their charge lamp wait again.
    """
    loose = {e for e in names if states.get(e) == "pulled in"}
    found = {e: "released" if e in loose else s for e, s in states.items()}
    found = {e: "regulating" if loose and s == "limited" else s for e, s in found.items()}
    return {e: "unexcited" if e in names and e in waits else s for e, s in found.items()}


def _all_volts(done: Pass) -> Floats:
    """Return the volts of all points, 0 where dead: what a turned relay left hanging is now within a chain."""
    import numpy as np

    reduced = done.system.reduced
    rows = np.where(done.system.alive, done.settled.high, 0.0)
    node, ends = reduced.node, reduced.chain_ends
    part = inner_parts(reduced, done.ohm)
    two = ends[:, 1] >= 0
    nodes = np.where(ends[:, 0] >= 0, rows[ends[:, 0]], 0.0)
    nodes = np.where(two, part * nodes + (1.0 - part) * rows[ends[:, 1]], nodes)
    nodes[reduced.outer] = rows
    found: Floats = nodes[node]
    return found


def volts_under(at: Predicted, solved: Solved, site: Ints, step: Ints) -> Floats:
    """Return volts of all rows under changes, (changes, rows): as solved, else to first order."""
    import numpy as np

    state, sites = at.state, at.sites
    share = conductances(state, sites)[site, step]
    share = share * across(state, sites, state.volts)[site] / (1.0 + share * own_ohm(state, sites)[site])
    known = [
        solved.by_change.get((*sites.keys[s], g)) for s, g in zip(site.tolist(), step.tolist(), strict=True)
    ]
    found: Floats = np.empty((len(site), len(state.volts)))
    rest = np.array([k is None for k in known], dtype=bool)
    if rest.any():
        distinct, place = np.unique(site[rest], return_inverse=True)
        moved = along(state, sites, distinct, state.by_column)[:, state.unknown]
        found[rest] = state.volts - moved[place] * share[rest, None]
    for n, rows in enumerate(known):
        if rows is not None:
            found[n] = rows
    return found


def points_of(elements: Sequence[Element]) -> list[int]:
    """Return the points that elements hang on."""
    return sorted({index for e in elements for index in e.terminals.values()})
