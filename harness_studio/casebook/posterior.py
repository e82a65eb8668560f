"""The evidence of a case for each hypothesis: predicted readings and sightings against what was read and seen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from harness_studio.electrics.reading_values import NOTICED
from harness_studio.model.cases import Case
from harness_studio.network.network import Network

from .changes import CHAFE_OHM, GRID_OHM, OPEN_OHM, across, conductances, own_ohm, sites_of
from .groups import Group
from .known import Known
from .likelihood import SHARPNESS, Model, factors, log_normal
from .observed import Measured, Observed
from .predict import Predicted, Wanted, first_order, points_of, refine, turned, volts_under
from .prior import NONE_FITS, of_resistance
from .probes import Probe, clean_value, own_side, reach, rows_of, values
from .segments import PART, Segments, clean_rows, rows_under, segments_of
from .sighted import Sighted, notice, sighted, sighting_logs
from .spread import LOAD, spread_of_ohms
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

FINE = 12
"""Steps between two points of the grid."""
SCREEN = 0.2
"""Standard deviations of all readings together, or of what is just noticed, below which first order is enough."""
STRAY_V = 0.5
"""Spread of readings under half of 'none fits': something that no hypothesis knows."""


@dataclass(slots=True)
class Weighed:
    """The evidence: log likelihoods by group and added resistance, (groups, fine grid).

    `clean` (readings,) are the clean predictions, `predicted` (variants, grid, readings) those of every hypothesis, and
    `variant` tells which variant a group is. `away_logs` (groups,) are of faults that come and go and were away.
    """

    modes: tuple[str | None, ...]
    network: Network
    groups: tuple[Group, ...]
    variant: Ints
    fine_ohm: Floats
    chafe_ohm: Floats
    of_resistance: Floats
    logs: Floats
    away_logs: Floats
    none_logs: Floats
    seen: Floats
    clean: Floats
    predicted: Floats
    model: Model


@dataclass(slots=True)
class _Mode:
    """One mode at work."""

    state: State
    of_group: Ints
    at: Predicted
    share: Floats
    probes: list[int]
    sights: list[Sighted]
    tips: Ints
    chafed: tuple[int, ...]


def weigh(
    known: Known,
    case: Case,
    found: Observed,
    cancelled: Callable[[], bool],
    progress: Callable[[float], None],
    chafed: tuple[int, ...] = (),
    screen: float = SCREEN,
) -> tuple[Weighed, Observed]:
    """Return the evidence of a case, and what entered it.

    `chafed` are groups of chafed wires that are to be solved fully; the others stay at first order. Nothing is
    screened with a `screen` of 0.
    """
    import numpy as np

    modes = _modes(found)
    groups = known.groups(modes)
    probes = {n: _probe(known, one) for n, one in enumerate(found.measured)}
    found, probes = _without_islands(known, found, probes)
    measured = found.measured
    clean = np.array([clean_value(_state(known, m, probes[n]), probes[n]) for n, m in enumerate(measured)])
    seen = np.array([_signed(m, float(c)) for m, c in zip(measured, clean, strict=True)])
    listed = [(one.mode, probes[n]) for n, one in enumerate(measured)]
    pieces = segments_of(known, modes, listed)
    model = _model(known, measured, probes, pieces)
    progress(0.2)
    at_work = [_mode(known, m, groups, measured, probes, found, chafed) for m in modes]
    _refine(known, at_work, probes, model, seen - clean, screen, cancelled, progress)
    variant, predicted = _variants(known, at_work, groups, measured, probes)
    fine, chafe, blend = fine_grid()
    size, inverse = covariances(at_work, variant, pieces, known, predicted, clean, model)
    read_logs, clean_log, stray_log = _reading_logs(model, seen, clean, predicted, blend, inverse, size)
    logs = read_logs[variant]
    sight_logs, clean_sight = sighting_logs([(w.at, w.of_group, w.sights) for w in at_work], found, blend)
    logs = logs + sight_logs
    halves = np.log(NONE_FITS / 2.0)
    none = np.array([halves + clean_log + clean_sight, halves + stray_log + clean_sight])
    away = _away(case, found, model, seen, clean, predicted, variant, groups)
    weighed = Weighed(
        tuple(modes), at_work[0].state.network, groups, variant, fine, chafe, of_resistance(fine),
        logs, away + sight_logs.max(axis=1, initial=-np.inf) if len(groups) else away, none, seen, clean,
        predicted, model,
    )  # fmt: skip
    progress(1.0)
    return weighed, found


def _modes(found: Observed) -> list[str | None]:
    modes: list[str | None] = [m.mode for m in found.measured]
    for sighting in found.sightings:
        modes += [sighting.to_mode] if sighting.from_mode is None else [sighting.from_mode, sighting.to_mode]
    return list(dict.fromkeys(modes)) or [None]


def _probe(known: Known, one: Measured) -> Probe:
    network = known.state(one.mode).network
    if one.kind == "amperes":
        return Probe("amperes", branch=_branch(network, one.at))
    return Probe("ohms" if one.kind == "ohms" else "volts", network.index[one.plus], network.index[one.minus])


def _branch(network: Network, address: str) -> int:
    number = network.joints.get(address)
    return number if number is not None else network.branches.address.index(address)


def _state(known: Known, one: Measured, probe: Probe) -> State:
    return known.off(one.mode, (probe.plus, probe.minus)) if probe.kind == "ohms" else known.state(one.mode)


def _without_islands(
    known: Known, found: Observed, probes: dict[int, Probe]
) -> tuple[Observed, dict[int, Probe]]:
    """Leave readings out at whose tips the mode has no way to a source: nothing can be predicted there."""
    kept, notes = [], list(found.notes)
    for n, one in enumerate(found.measured):
        state = _state(known, one, probes[n])
        dead = probes[n].kind != "amperes" and any(
            state.first[p] < 0 or not state.base.system.alive[state.first[p]]
            for p in (probes[n].plus, probes[n].minus)
        )
        if dead and one.kind != "volts":
            notes.append(f"{one.words} left out: nothing joins its tips in that mode")
        elif dead and abs(one.value) > 3.0 * one.sigma:
            notes.append(f"{one.words} left out: volts with the power off, no source reaches it in that mode")
        elif not dead:
            kept.append(n)
        else:
            notes.append(
                f"{one.words} left out: no source reaches its tips in that mode, so 0 V says nothing"
            )
    if len(kept) == len(found.measured):
        return found, probes
    measured = tuple(found.measured[n] for n in kept)
    return replace(found, measured=measured, notes=tuple(notes)), {i: probes[n] for i, n in enumerate(kept)}


def _signed(one: Measured, clean: float) -> float:
    """Return a reading with its sign: a clamp and a meter across a fuse are put on either way round."""
    return -one.value if one.either_way and clean < 0.0 < one.value else one.value


def _model(
    known: Known,
    measured: Sequence[Measured],
    probes: dict[int, Probe],
    pieces: dict[str | None, Segments],
) -> Model:
    import numpy as np

    meter = np.array([one.sigma**2 for one in measured])
    rows: Floats = np.zeros((len(measured), 0))
    for segments in pieces.values():
        clean = clean_rows(segments)
        rows = clean if not rows.shape[1] else rows + clean
    for n, one in enumerate(measured):
        if one.kind == "ohms":
            state = _state(known, one, probes[n])
            meter[n] += spread_of_ohms(state, known.spread_off(state), probes[n]) ** 2
    return Model.of(meter, rows)


def _mode(
    known: Known,
    mode: str | None,
    groups: Sequence[Group],
    measured: Sequence[Measured],
    probes: dict[int, Probe],
    found: Observed,
    chafed: tuple[int, ...],
) -> _Mode:
    import numpy as np

    state = known.state(mode)
    sites, of_group = sites_of(state, groups)
    mine = [n for n, one in enumerate(measured) if one.mode == mode and one.kind != "ohms"]
    sights = sighted(known.harness, state, found)
    points = points_of([s.element for s in sights if s.element is not None])
    branches = [s.branch for s in sights if s.branch >= 0]
    rows = rows_of(state, [*(probes[n] for n in mine), *(Probe("amperes", branch=b) for b in branches)])
    more = state.first[np.array(points, dtype=np.int64)]
    at, share = first_order(state, sites, np.union1d(rows, more[more >= 0]))
    tips = [int(state.edge_at[p]) for n in mine for p in (probes[n].plus, probes[n].minus) if p >= 0]
    tips += [int(state.edge_of[b]) for b in [*branches, *(probes[n].branch for n in mine)] if b >= 0]
    return _Mode(
        state, of_group, at, share, mine, sights, np.array(sorted(set(tips)), dtype=np.int64), chafed
    )


def _refine(
    known: Known,
    at_work: Sequence[_Mode],
    probes: dict[int, Probe],
    model: Model,
    offs: Floats,
    screen: float,
    cancelled: Callable[[], bool],
    progress: Callable[[float], None],
) -> None:
    """Solve fully what moves something observed, and what turns an element that does.

    `offs` (readings,) are the readings less their clean predictions. What they rule out anyhow is left at first order.
    """
    import numpy as np

    seen = [_seen_by(w, probes) for w in at_work]
    open_ = [
        _plausible(w, s, model, offs, screen) if screen else np.ones(w.share.shape, dtype=bool)
        for w, s in zip(at_work, seen, strict=True)
    ]
    together = np.logical_and.reduce([o[w.of_group] for w, o in zip(at_work, open_, strict=True)])
    for number, (work, mine) in enumerate(zip(at_work, seen, strict=True)):
        if cancelled():
            return
        plausible = np.zeros(work.share.shape, dtype=bool)
        np.logical_or.at(plausible, work.of_group, together)
        _refine_mode(known, work, model, mine, plausible, screen, cancelled)
        progress(0.2 + 0.6 * (number + 1) / len(at_work))


@dataclass(slots=True)
class _Seen:
    """What a mode's readings see: `reached` (readings, unknowns + 1) of an ampere, `by_site` (readings, sites)."""

    which: Ints
    reached: Floats
    by_site: Floats


def _seen_by(work: _Mode, probes: dict[int, Probe]) -> _Seen:
    import numpy as np

    state, sites = work.state, work.at.sites
    some = [reach(state, probes[n]) for n in work.probes]
    reached = np.stack(some) if some else np.zeros((0, len(state.inverse)))
    by_site = np.einsum("psk,sk->ps", reached[:, state.unknown[sites.rows]], sites.weights)
    return _Seen(np.array(work.probes, dtype=np.int64), reached, by_site)


LEAST_PART, MOST_PART = 0.25, 2.5
"""Between these parts of its first-order change a reading is taken to move when all is solved."""
OWN_SPREAD = 0.3
"""Spread of a change as a part of it, taken generously: by contacts it passes."""
RULED_OUT = 12.0
"""Log likelihood below 'none fits' from which a hypothesis no longer counts."""


def _plausible(work: _Mode, seen: _Seen, model: Model, offs: Floats, screen: float) -> Bools:
    """Tell which changes the readings of a mode leave open, judged generously on first order: (sites, grid)."""
    import numpy as np

    found = np.ones(work.share.shape, dtype=bool)
    if not len(seen.which):
        return found
    stray = model.with_stray(STRAY_V)
    none = float(-0.5 * np.sum((stray.inverse @ offs) ** 2)) - stray.log_size + model.log_size
    least = np.sqrt(2.0 * max(RULED_OUT - none, 0.0))
    own = _own_sites(work)
    for row, n in enumerate(seen.which.tolist()):
        sigma = float(np.sqrt(model.covariance[n, n]))
        change = -seen.by_site[row][:, None] * work.share
        low, high = LEAST_PART * change, MOST_PART * change
        low, high = np.minimum(low, high), np.maximum(low, high)
        off = np.maximum(np.maximum(low - offs[n], offs[n] - high), 0.0)
        spread = np.hypot(sigma, OWN_SPREAD * np.abs(change))
        found &= (off / spread <= least) | own[:, None]
    return found


def _own_sites(work: _Mode) -> Bools:
    """Tell at which sites a change lies in a chain that some tip lies in, (sites,)."""
    import numpy as np

    return np.isin(work.at.sites.edge, work.tips) & (work.at.sites.edge >= 0)


def _refine_mode(
    known: Known,
    work: _Mode,
    model: Model,
    seen: _Seen,
    plausible: Bools,
    screen: float,
    cancelled: Callable[[], bool],
) -> None:
    import numpy as np

    state, sites, share = work.state, work.at.sites, work.share
    inverse = model.inverse[:, seen.which]
    noticed = notice(known.harness, work.at, work.sights)
    marks = np.concatenate([(inverse @ seen.by_site)[:, :, None] * share[None], noticed])
    size = np.linalg.norm(inverse @ seen.by_site, axis=0)[:, None] * np.abs(share)
    size = np.maximum(size, np.abs(noticed).max(axis=0, initial=0.0))
    own = _own_sites(work)
    size[own] = np.maximum(size[own], max(screen, 1e-9))
    moves = size >= screen
    turning = turned(state, sites, share)
    effect = _effect_of_turning(known, state, inverse @ seen.reached, work.sights)
    matters = effect >= screen
    decided = turning & matters[:, None, None]
    turns = decided.any(axis=0) & (size >= screen / 10.0)
    wanted = (moves | turns) & (conductances(state, sites) != 0.0) & plausible
    if screen:
        wanted &= (
            ~sites.chafed[:, None] | np.isin(np.arange(len(sites)), work.of_group[list(work.chafed)])[:, None]
        )
    refine(work.at, Wanted(wanted, decided, matters, marks, screen), known.solved[state.mode], cancelled)


def _effect_of_turning(known: Known, state: State, whitened: Floats, sights: Sequence[Sighted]) -> Floats:
    """Return how many standard deviations each bound's element would move what is observed if it turned, (bounds,).

    A relay that falls off opens its contacts; a load that cuts out takes its current away. For what is none of both
    the effect is taken as large.
    """
    import numpy as np

    judged, network = state.base.judged, state.network
    watched = [s.element for s in sights if s.element is not None]
    ends = [list(e.terminals.values()) for e in watched]
    if ends:
        first = np.array([e[0] for e in ends], dtype=np.int64)
        last = np.array([e[-1] for e in ends], dtype=np.int64)
        seen = (state.reach_of(first) - state.reach_of(last)) * (SHARPNESS / NOTICED["V"])
        whitened = np.concatenate([whitened, seen])
    found = np.full(len(judged.first), np.inf)
    kinds = {e.address: e.kind for e in network.elements}
    what = known.spread(state.mode)
    row_of = {name: n for n, name in enumerate(what.names)}
    for n, address in enumerate(judged.elements):
        if kinds.get(address) == "relay" and judged.below[n] is not None:
            found[n] = _effect_of_release(state, whitened, address)
        elif kinds.get(address) in ("stabiliser", "converter", "control_unit") and address in row_of:
            amperes = what.put_in[row_of[address]].toarray()[0] / LOAD
            found[n] = float(np.linalg.norm(whitened @ amperes))
    return found


def _effect_of_release(state: State, whitened: Floats, relay: str) -> float:
    import numpy as np

    total = 0.0
    for contact in state.network.contacts:
        edge = int(state.edge_of[contact.branch])
        if contact.relay != relay:
            continue
        if edge < 0:
            if not contact.makes:
                return float("inf")
            continue
        at, to = state.unknown[state.a[edge]], state.unknown[state.b[edge]]
        own = state.inverse[at, at] - state.inverse[at, to] - state.inverse[to, at] + state.inverse[to, to]
        left = max(1.0 - float(own) / float(state.ohm[edge]), 1e-9)
        push = abs(float(state.amperes[edge])) / left
        total += float(np.linalg.norm(whitened[:, at] - whitened[:, to])) * push
    return total


def _variants(
    known: Known,
    at_work: Sequence[_Mode],
    groups: Sequence[Group],
    measured: Sequence[Measured],
    probes: dict[int, Probe],
) -> tuple[Ints, Floats]:
    """Return the variant of each group, (groups,), and what variants predict, (variants, grid, readings).

    Groups whose change is the same in every mode, and lies on the same side of every tip, are one variant.
    """
    import numpy as np

    keys = [w.of_group for w in at_work]
    sides: dict[int, Ints] = {}
    edges: dict[int, Ints] = {}
    for work in at_work:
        branch = _group_branches(work.state, groups)
        edge = work.at.sites.edge[work.of_group] if len(groups) else branch
        before = np.where(branch >= 0, work.state.before[branch], np.nan)
        for n in work.probes:
            sides[n] = own_side(work.state, probes[n], edge, before)
            edges[n] = edge
            keys.append(sides[n])
    table = np.stack(keys, axis=1) if len(groups) else np.zeros((0, 1), dtype=np.int64)
    _, first, variant = np.unique(table, axis=0, return_index=True, return_inverse=True)
    variant = variant.ravel()
    predicted = np.zeros((len(first), len(GRID_OHM), len(measured)))
    for work in at_work:
        site = work.of_group[first]
        for n in work.probes:
            rows = work.at.volts[:, site]
            predicted[:, :, n] = values(
                work.state, probes[n], work.at.place, rows, edges[n][first], sides[n][first]
            )
        for n, one in enumerate(measured):
            if one.mode == work.state.mode and one.kind == "ohms":
                predicted[:, :, n] = _ohms(known, one, probes[n], groups, first)
    return variant, predicted


def _group_branches(state: State, groups: Sequence[Group]) -> Ints:
    import numpy as np

    number_of = {address: n for n, address in enumerate(state.network.branches.address)}
    joints = state.network.joints
    return np.array([joints.get(g.joint, number_of.get(g.joint, -1)) for g in groups], dtype=np.int64)


def _ohms(known: Known, one: Measured, probe: Probe, groups: Sequence[Group], first: Ints) -> Floats:
    """Return ohms between the tips with the power off under every change: exact, nothing bends at no volts."""
    import numpy as np

    state = known.off(one.mode, (probe.plus, probe.minus))
    sites, of_group = sites_of(state, [groups[n] for n in first.tolist()])
    seen = across(state, sites, _rows_of_reach(state, reach(state, probe)))
    change = conductances(state, sites)
    left = np.maximum(1.0 + change * own_ohm(state, sites)[:, None], 1e-12)
    found: Floats = clean_value(state, probe) - change * (seen**2)[:, None] / left
    return found[of_group]


def _rows_of_reach(state: State, at: Floats) -> Floats:
    found: Floats = at[state.unknown]
    return found


def fine_grid() -> tuple[Floats, Floats, Floats]:
    """Return the fine grid of added ohms and of chafed ohms, (fine,), and the place of each on the grid, (fine,)."""
    import numpy as np

    steps = np.append(np.arange((len(GRID_OHM) - 2) * FINE + 1) / FINE, len(GRID_OHM) - 1.0)
    whole = np.arange(len(GRID_OHM))
    fine = np.exp(np.interp(steps, whole, np.log(GRID_OHM)))
    chafe = np.exp(np.interp(steps, whole, np.log(CHAFE_OHM)))
    fine[-1] = OPEN_OHM
    return fine, chafe, steps


def finely(coarse: Floats, steps: Floats, axis: int = 1) -> Floats:
    """Return values between the points of the grid: monotone cubic in the logarithm of the resistance.

    The open end stands alone.
    """
    import numpy as np
    from scipy.interpolate import PchipInterpolator

    whole = np.moveaxis(coarse, axis, 0)
    curve = PchipInterpolator(np.arange(len(whole) - 1), whole[:-1], axis=0)
    found = np.concatenate([curve(steps[:-1]), whole[-1:]])
    moved: Floats = np.moveaxis(found, 0, axis)
    return moved


def covariances(
    at_work: Sequence[_Mode],
    variant: Ints,
    pieces: dict[str | None, Segments],
    known: Known,
    predicted: Floats,
    clean: Floats,
    model: Model,
) -> tuple[Floats, Floats]:
    """Return by variant and step of the grid log sizes and inverse factors of the covariance of the readings.

    Shapes (variants, grid) and (variants, grid, readings, readings). Those that move nothing have the clean one.
    """
    import numpy as np

    count = len(clean)
    inverse = np.broadcast_to(model.inverse, (*predicted.shape[:2], count, count)).copy()
    size = np.full(predicted.shape[:2], model.log_size)
    if not count:
        return size, inverse
    moved = np.linalg.norm((predicted - clean) @ model.inverse.T, axis=-1) >= MOVED
    far, step = np.nonzero(moved)
    _, first = np.unique(variant, return_index=True)
    for begin in range(0, len(far), PART):
        v, g = far[begin : begin + PART], step[begin : begin + PART]
        total: Floats | None = None
        for work in at_work:
            site = work.of_group[first[v]]
            rows = volts_under(work.at, known.solved[work.state.mode], site, g)
            mine = rows_under(pieces[work.state.mode], work.at.sites, site, g, rows)
            total = mine if total is None else total + mine
        assert total is not None
        wide = total @ total.transpose(0, 2, 1) + np.diag(model.meter)
        inverse[v, g], size[v, g] = factors(wide)
    return size, inverse


MOVED = 1.0
"""Standard deviations of all readings together from which a hypothesis has a spread of its own."""


def _reading_logs(
    model: Model, seen: Floats, clean: Floats, predicted: Floats, steps: Floats, inverse: Floats, size: Floats
) -> tuple[Floats, float, float]:
    """Return log likelihoods of variants, (variants, fine), of the clean harness, and of one with a stray."""
    import numpy as np

    if not len(seen):
        return np.zeros((len(predicted), len(steps))), 0.0, 0.0
    change = np.linalg.norm((predicted - clean) @ model.inverse.T, axis=-1).max(axis=1, initial=0.0)
    far, near = np.flatnonzero(change >= SCREEN), np.flatnonzero(change < SCREEN)
    found = np.empty((len(predicted), len(steps)))
    coarse = log_normal(seen, predicted[near], clean, model.inverse, model.log_size)
    found[near] = (
        np.stack([np.interp(steps, np.arange(coarse.shape[1]), c) for c in coarse]) if len(near) else 0
    )
    fine = finely(predicted[far], steps)
    nearest = np.rint(steps).astype(np.int64)
    for step in range(predicted.shape[1]):
        some = np.flatnonzero(nearest == step)
        found[np.ix_(far, some)] = log_normal(
            seen, fine[:, some], clean, inverse[far, step][:, None], size[far, step][:, None]
        )
    alone = float(log_normal(seen, clean, clean, model.inverse, model.log_size))
    stray = model.with_stray(STRAY_V)
    wide = float(log_normal(seen, clean, clean, stray.inverse, stray.log_size))
    return found, alone, wide


def _away(
    case: Case,
    found: Observed,
    model: Model,
    seen: Floats,
    clean: Floats,
    predicted: Floats,
    variant: Ints,
    groups: Sequence[Group],
) -> Floats:
    """Return log likelihoods of faults that were away while readings nobody watched were taken; -inf without such."""
    import numpy as np

    none = np.full(len(groups), -np.inf)
    unwatched = np.array([m.unwatched for m in found.measured], dtype=bool)
    if not comes_and_goes(case) or not unwatched.any():
        return none
    mixed = np.where(unwatched, clean, predicted)
    logs = log_normal(seen, mixed, clean, model.inverse, model.log_size)
    return np.asarray(np.log(AWAY / len(GRID_OHM)) + np.logaddexp.reduce(logs, axis=1))[variant]


AWAY = 0.5
"""How likely a fault that comes and goes was away while nobody watched (common practice, no source)."""


def comes_and_goes(case: Case) -> bool:
    """Tell whether a case speaks of a fault that comes and goes."""
    return (
        any(s.seen in ("flickers", "cuts out when hot") for s in case.sightings)
        or any(s.times is not None and s.times[0] < s.times[1] for s in case.sightings)
        or any(r.symptom_present == "no" for r in case.readings)
        or bool(case.provocations)
    )
