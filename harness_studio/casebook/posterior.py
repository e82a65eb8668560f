"""The evidence of a case for each hypothesis: predicted readings and sightings against what was read and seen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from harness_studio.model.cases import Case
from harness_studio.network.network import Network

from .changes import CHAFE_OHM, GRID_OHM, OPEN_OHM
from .groups import Group
from .known import Known
from .likelihood import Model, log_normal
from .observed import Measured, Observed
from .predict import first_order, points_of
from .prior import none_fits, of_resistance
from .probes import Probe, clean_value, rows_of
from .screening import SCREEN, STRAY_V, Work, screened
from .segments import Segments, clean_rows, segments_of
from .sighted import sighted, sighting_logs
from .spread import spread_of_ohms
from .state import State
from .turning import LOOSE_PART, beside_turns, turns_after
from .variants import covariances, variants

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

FINE = 12
"""Steps between two points of the grid."""


@dataclass(slots=True)
class Weighed:
    """The evidence: log likelihoods by group and added resistance, (groups, fine grid).

    `clean` (readings,) are the clean predictions, `predicted` (variants, grid, readings) those of every hypothesis, and
    `variant` tells which variant a group is. `away_logs` (groups,) are of faults that come and go and were away.
    `turns` (variants, grid - 1) tells after which points of the grid something turns.

    `inverse` and `log_size` are factors of each hypothesis' covariance of the readings, (variants, grid, ...).
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
    inverse: Floats
    log_size: Floats
    turns: Bools
    works: tuple[Work, ...]
    probes: dict[int, Probe]
    observed: Observed


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
    at_work = [_mode(known, m, modes, measured, probes, found, chafed) for m in modes]
    left_open = screened(known, at_work, probes, model, seen - clean, screen, cancelled, progress)
    variant, predicted = variants(known, at_work, groups, measured, probes)
    fine, chafe, blend = fine_grid()
    size, inverse = covariances(
        at_work, groups, variant, pieces, known, predicted, clean, model, seen, left_open
    )
    turns = turns_after(at_work, [known.solved[m] for m in modes], np.unique(variant, return_index=True)[1])
    read_logs = _reading_logs(model, seen, clean, predicted, blend, inverse, size, turns)
    logs = read_logs[variant]
    sight_logs, clean_sight = sighting_logs([(w.at, w.of_group, w.sights) for w in at_work], found, blend)
    logs = logs + sight_logs
    none = np.log(none_fits(case)) + clean_sight + _none_logs(model, seen, clean)
    away = _away(case, found, model, seen, clean, predicted, variant, groups)
    weighed = Weighed(
        tuple(modes), at_work[0].state.network, groups, variant, fine, chafe, of_resistance(fine),
        logs, away + sight_logs.max(axis=1, initial=-np.inf) if len(groups) else away, none, seen, clean,
        predicted, model, inverse, size, turns, tuple(at_work), probes, found,
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
    where = {key: n for n, key in enumerate(dict.fromkeys((m.kind, m.mode, m.where) for m in measured))}
    places = np.array([where[(m.kind, m.mode, m.where)] for m in measured], dtype=np.int64)
    return Model.of(meter, rows, places)


def _mode(
    known: Known,
    mode: str | None,
    modes: Sequence[str | None],
    measured: Sequence[Measured],
    probes: dict[int, Probe],
    found: Observed,
    chafed: tuple[int, ...],
) -> Work:
    import numpy as np

    state = known.state(mode)
    sites, of_group = known.sites_in(mode, modes)
    mine = [n for n, one in enumerate(measured) if one.mode == mode and one.kind != "ohms"]
    sights = sighted(known.harness, state, found)
    points = points_of([s.element for s in sights if s.element is not None])
    branches = [s.branch for s in sights if s.branch >= 0]
    rows = rows_of(state, [*(probes[n] for n in mine), *(Probe("amperes", branch=b) for b in branches)])
    more = state.first[np.array(points, dtype=np.int64)]
    at, share = first_order(state, sites, np.union1d(rows, more[more >= 0]))
    tips = [int(state.edge_at[p]) for n in mine for p in (probes[n].plus, probes[n].minus) if p >= 0]
    tips += [int(state.edge_of[b]) for b in [*branches, *(probes[n].branch for n in mine)] if b >= 0]
    return Work(state, of_group, at, share, mine, sights, np.array(sorted(set(tips)), dtype=np.int64), chafed)


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

    whole = np.moveaxis(coarse, axis, 0)
    found = np.concatenate([_monotone(whole[:-1], steps[:-1]), whole[-1:]])
    moved: Floats = np.moveaxis(found, 0, axis)
    return moved


def _monotone(values: Floats, at: Floats) -> Floats:
    """Return values between points one apart: cubic, with no turn that the points have not (Fritsch and Butland, 1984).

    Slopes inside are the harmonic mean of those on both sides, 0 where these differ in sign; at the ends those of the
    parabola, held back where it would turn. Shapes (points, ...) and (at,) → (at, ...).
    """
    import numpy as np

    rise = np.diff(values, axis=0)
    slope = np.zeros_like(values)
    before, after = rise[:-1], rise[1:]
    same = before * after > 0.0
    both = np.where(same, before + after, 1.0)
    slope[1:-1] = np.where(same, 2.0 * before * after / both, 0.0)
    for end, near, next_ in ((0, rise[0], rise[1]), (-1, rise[-1], rise[-2])):
        parabola = 1.5 * near - 0.5 * next_
        turns = np.sign(parabola) != np.sign(near)
        steep = (np.sign(near) != np.sign(next_)) & (np.abs(parabola) > 3.0 * np.abs(near))
        slope[end] = np.where(turns, 0.0, np.where(steep, 3.0 * near, parabola))
    left = np.minimum(at.astype(np.int64), len(values) - 2)
    part = (at - left).reshape(-1, *([1] * (values.ndim - 1)))
    rest = 1.0 - part
    found: Floats = rest * rest * ((1.0 + 2.0 * part) * values[left] + part * slope[left])
    found += part * part * ((1.0 + 2.0 * rest) * values[left + 1] - rest * slope[left + 1])
    return found


def _reading_logs(
    model: Model,
    seen: Floats,
    clean: Floats,
    predicted: Floats,
    steps: Floats,
    inverse: Floats,
    size: Floats,
    turns: Bools,
) -> Floats:
    """Return log likelihoods of variants, (variants, fine).

    `turns` (variants, grid - 1) tells after which points of the grid something turns.
    """
    import numpy as np

    if not len(seen):
        return np.zeros((len(predicted), len(steps)))
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
    for row, places, yet, since in beside_turns(predicted[far], clean, turns[far], steps):
        mine, left = far[row], int(steps[places[0]])
        logs = [
            log_normal(seen, values, clean, inverse[mine, at][None], size[mine, at][None], LOOSE_PART)
            for values, at in ((yet, left), (since, left + 1))
        ]
        found[mine, places] = np.logaddexp(*logs) - np.log(2.0)
    return found


UNUSUAL = 2.0
"""Times that everything spreads in a harness that is unusual and yet has no fault."""


def _none_logs(model: Model, seen: Floats, clean: Floats) -> Floats:
    """Return log likelihoods of what 'none fits' stands for, each with its part of it, (3,).

    Half of it is the clean harness; a quarter one that differs more than usual from what is known; a quarter one in
    which something disturbs readings that no hypothesis knows.
    """
    import numpy as np

    models = (model, Model.of(model.meter, UNUSUAL * model.rows, model.places), model.with_stray(STRAY_V))
    logs = [float(log_normal(seen, clean, clean, m.inverse, m.log_size)) for m in models]
    found: Floats = np.log([0.5, 0.25, 0.25]) + logs
    return found


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
