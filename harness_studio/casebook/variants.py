"""What groups predict for readings, and how far each prediction spreads; groups that predict alike once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .changes import GRID_OHM, across, conductances, own_ohm, sites_of
from .covariance import Changed, held_back, things_of
from .groups import Group
from .known import Known
from .likelihood import Model, factors, log_normal
from .observed import Measured
from .predict import volts_under
from .probes import Probe, clean_value, own_side, reach, values
from .screening import Work
from .segments import Segments
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


def variants(
    known: Known,
    at_work: Sequence[Work],
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
        before = before_of(work.state, groups)
        edge = work.at.sites.edge[work.of_group] if len(groups) else np.zeros(0, dtype=np.int64)
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


def before_of(state: State, groups: Sequence[Group]) -> Floats:
    """Return where along its edge each group's joint lies, NaN where it carries nothing, (groups,)."""
    import numpy as np

    number_of = {address: n for n, address in enumerate(state.network.branches.address)}
    joints = state.network.joints
    branch = np.array([joints.get(g.joint, number_of.get(g.joint, -1)) for g in groups], dtype=np.int64)
    found: Floats = np.where(branch >= 0, state.before[branch], np.nan) if len(groups) else np.zeros(0)
    return found


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


def covariances(
    at_work: Sequence[Work],
    groups: Sequence[Group],
    variant: Ints,
    pieces: dict[str | None, Segments],
    known: Known,
    predicted: Floats,
    clean: Floats,
    model: Model,
    seen: Floats,
    left_open: Bools,
) -> tuple[Floats, Floats]:
    """Return by variant and step of the grid log sizes and inverse factors of the covariance of the readings.

    Shapes (variants, grid) and (variants, grid, readings, readings). Those that move nothing, and those that the
    readings do not leave open (groups, grid) have the clean one.
    """
    import numpy as np

    count = len(clean)
    inverse = np.broadcast_to(model.inverse, (*predicted.shape[:2], count, count)).copy()
    size = np.full(predicted.shape[:2], model.log_size)
    if not count:
        return size, inverse
    moved = np.linalg.norm((predicted - clean) @ model.inverse.T, axis=-1) >= MOVED
    _, first = np.unique(variant, return_index=True)
    near = log_normal(seen, predicted, clean, model.inverse, model.log_size, GENEROUS_PART)
    alone = float(log_normal(seen, clean, clean, model.inverse, model.log_size))
    far, step = np.nonzero(moved & left_open[first] & (near > min(alone, float(near.max())) - HOPELESS))
    before = {w.state.mode: before_of(w.state, [groups[n] for n in first.tolist()]) for w in at_work}
    things = [things_of(pieces[w.state.mode]) for w in at_work]
    for begin in range(0, len(far), PART):
        v, g = far[begin : begin + PART], step[begin : begin + PART]
        changed = []
        for work in at_work:
            site = work.of_group[first[v]]
            volts = volts_under(work.at, known.solved[work.state.mode], site, g)
            changed.append(Changed(work.at.sites, site, g, volts, before[work.state.mode][v]))
        inverse[v, g], size[v, g] = factors(held_back(things, changed) + np.diag(model.meter))
    return size, inverse


GENEROUS_PART, HOPELESS = 0.8, 40.0
"""Spread of a change as a part of it; log likelihood below the clean harness or the best, from which a hypothesis is
not worth a spread of its own."""
PART = 48
"""Hypotheses worked out at a time."""
MOVED = 1.0
"""Standard deviations of all readings together from which a hypothesis has a spread of its own."""
