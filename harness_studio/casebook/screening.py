"""Which hypotheses are solved fully: those that can move something observed, and that the readings leave open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.electrics.reading_values import NOTICED

from .changes import conductances, seen_from
from .known import Known
from .likelihood import SHARPNESS, Model
from .predict import Predicted, Wanted, refine, turned
from .probes import Probe, reach
from .sighted import Sighted, notice
from .spread import LOAD
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


SCREEN = 0.2
"""Standard deviations of all readings together, or of what is just noticed, below which first order is enough."""
STRAY_V = 0.5
"""Spread of readings under half of 'none fits': something that no hypothesis knows."""


@dataclass(slots=True)
class Work:
    """One mode at work: its sites, what they do to first order, its readings (`probes`) and what was watched in it.

    `tips` are edges in whose chains tips lie; `chafed` groups that are solved fully all the same.
    """

    state: State
    of_group: Ints
    at: Predicted
    share: Floats
    probes: list[int]
    sights: list[Sighted]
    tips: Ints
    chafed: tuple[int, ...]


def screened(
    known: Known,
    at_work: Sequence[Work],
    probes: dict[int, Probe],
    model: Model,
    offs: Floats,
    screen: float,
    cancelled: Callable[[], bool],
    progress: Callable[[float], None],
) -> Bools:
    """Solve fully what moves something observed, and what turns an element that does.

    `offs` (readings,) are the readings less their clean predictions. What they rule out anyhow is left at first order.

    Returns
    -------
    ndarray
        What they leave open, (groups, grid).
    """
    import numpy as np

    seen = [_seen_by(known, w, probes, model, screen) for w in at_work]
    open_ = [
        _plausible(w, s, model, offs, screen) if screen else np.ones(w.share.shape, dtype=bool)
        for w, s in zip(at_work, seen, strict=True)
    ]
    together = np.logical_and.reduce([o[w.of_group] for w, o in zip(at_work, open_, strict=True)])
    for _ in range(BESIDE):
        wider = together.copy()
        wider[:, 1:] |= together[:, :-1]
        wider[:, :-1] |= together[:, 1:]
        together = wider
    for number, (work, mine) in enumerate(zip(at_work, seen, strict=True)):
        if cancelled():
            break
        plausible = np.zeros(work.share.shape, dtype=bool)
        np.logical_or.at(plausible, work.of_group, together)
        _refine_mode(known, work, model, mine, plausible, screen, cancelled)
        progress(0.2 + 0.6 * (number + 1) / len(at_work))
    found: Bools = together
    return found


@dataclass(slots=True)
class _Seen:
    """What a mode's readings see: `reached` (readings, unknowns + 1) of an ampere, `by_site` (readings, sites).

    `turning` (bounds, sites, grid) are elements that turn to first order, as far as they matter, `matters` (bounds,);
    `perhaps` (sites, grid) tells where one may turn.
    """

    which: Ints
    reached: Floats
    by_site: Floats
    turning: Bools
    perhaps: Bools
    matters: Bools


def _seen_by(known: Known, work: Work, probes: dict[int, Probe], model: Model, screen: float) -> _Seen:
    import numpy as np

    state, sites = work.state, work.at.sites
    some = [reach(state, probes[n]) for n in work.probes]
    reached = np.stack(some) if some else np.zeros((0, len(state.inverse)))
    by_site = seen_from(state, sites, reached)
    which = np.array(work.probes, dtype=np.int64)
    effect = _effect_of_turning(known, state, model.inverse[:, which] @ reached, work.sights)
    matters = effect >= screen
    turning, near = turned(state, sites, work.share, np.flatnonzero(matters))
    relays = matters & np.array([b is not None for b in state.judged.below], dtype=bool)
    perhaps = near[relays].any(axis=0)
    if relays.any() and len(sites) <= FEW_SITES:
        live = np.where(sites.edge >= 0, np.abs(state.amperes[sites.edge]) > LEAST_A, False)
        perhaps[:, -1] |= live
    return _Seen(which, reached, by_site, turning, perhaps | turning.any(axis=0), matters)


FEW_SITES, LEAST_A = 600, 0.02
"""Up to so many sites every open joint with so much current is solved, whatever first order says of relays: a cold lamp
seems to feed a coil that it cannot feed."""


LEAST_PART, MOST_PART = 0.25, 2.5
"""Between these parts of its first-order change a reading is taken to move when all is solved."""
OWN_SPREAD = 0.8
"""Spread of a change as a part of it, taken generously: by contacts it passes."""
BESIDE = 2
"""Steps of the grid beside one that is left open, that the curve between them hangs on."""
RULED_OUT = 12.0
"""Log likelihood below 'none fits' from which a hypothesis no longer counts."""


def _plausible(work: Work, seen: _Seen, model: Model, offs: Floats, screen: float) -> Bools:
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
    return found | seen.perhaps


def _own_sites(work: Work) -> Bools:
    """Tell at which sites a change lies in a chain that some tip lies in, (sites,)."""
    import numpy as np

    return np.isin(work.at.sites.edge, work.tips) & (work.at.sites.edge >= 0)


def _refine_mode(
    known: Known,
    work: Work,
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
    size = np.linalg.norm(inverse @ seen.by_site, axis=0)[:, None] * np.abs(share)
    size = np.maximum(size, np.abs(noticed).max(axis=0, initial=0.0))
    own = _own_sites(work)
    size[own] = np.maximum(size[own], max(screen, 1e-9))
    moves = size >= screen
    turns = seen.perhaps
    wanted = (moves | turns) & (conductances(state, sites) != 0.0) & plausible
    if screen:
        wanted &= (
            ~sites.chafed[:, None] | np.isin(np.arange(len(sites)), work.of_group[list(work.chafed)])[:, None]
        )
    refine(
        work.at,
        Wanted(wanted, seen.turning, seen.matters),
        known.solved[state.mode],
        cancelled,
    )


def _effect_of_turning(known: Known, state: State, whitened: Floats, sights: Sequence[Sighted]) -> Floats:
    """Return how many standard deviations each bound's element would move what is observed if it turned, (bounds,).

    A relay that falls off opens its contacts; a load that cuts out takes its current away. For what is none of both
    the effect is taken as large.
    """
    import numpy as np

    judged, network = state.judged, state.network
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
