"""What a person saw, held against what each hypothesis makes of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.electrics.reading_values import (
    NOTICED,
    NOTICED_LEAST,
    NOTICED_PART,
    Values,
    by_scale,
    element_values,
    flasher_rate,
)
from harness_studio.model.cases import Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.network import Element

from .changes import GRID_OHM
from .likelihood import SHARPNESS, seen_chance
from .observed import Observed
from .predict import Predicted
from .probes import sign
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

PLAIN_V = 0.35
"""Smallest change of volts at which a person notices that a load without light or needle works worse (from memory)."""
STRONG, JUDGED = 3.0, 0.1
"""How many times what is just noticed a strong change is; how often slight and strong are mistaken (from memory)."""
DRIFT = 3.0
"""How much more light must change to be noticed where it went slowly: 30 % against 10 % as a step (from memory)."""


@dataclass(frozen=True, slots=True)
class Sighted:
    """A thing watched in a state: an element, or a flasher or ammeter by its branch."""

    on: str
    element: Element | None
    branch: int
    kind: str


def sighted(harness: Harness, state: State, found: Observed) -> list[Sighted]:
    """Return the things that sightings of this mode speak of, each once."""
    things: dict[str, Sighted] = {}
    for sighting in found.sightings:
        if state.mode in (sighting.from_mode, sighting.to_mode) and sighting.on not in things:
            thing = _thing(harness, state, sighting.on)
            if thing is not None:
                things[sighting.on] = thing
    return list(things.values())


def _thing(harness: Harness, state: State, on: str) -> Sighted | None:
    for element in state.network.elements:
        if element.address == on or element.part == on:
            return Sighted(on, element, -1, element.kind)
    part = harness.parts.get(on)
    number = state.network.joints.get(on, -1)
    if part is not None and part.kind in ("flasher", "ammeter") and number >= 0:
        return Sighted(on, None, number, part.kind)
    return None


def seen_values(harness: Harness, at: Predicted, thing: Sighted) -> tuple[Floats, float]:
    """Return what a person sees of a thing, the clean value first, then (sites·grid,); and what is just noticed."""
    import numpy as np

    state = at.state
    if thing.element is None:
        values = [_passed(harness, at, thing)]
    else:
        terminals = thing.element.terminals

        def across(first: str, second: str) -> Floats:
            sides = []
            for name in (first, second):
                row = int(state.first[terminals[name]])
                if row < 0:
                    sides.append(np.zeros(1 + at.volts[0].size))
                else:
                    sides.append(np.append(state.volts[row], at.volts[at.place[row]].ravel()))
            found: Floats = sides[0] - sides[1]
            return found

        values = list(element_values(harness, thing.element, across))
        if not values:
            names = tuple(terminals)
            values = [Values(thing.on, "volts", "V", across(names[0], names[-1]))]
    best = values[-1] if values[-1].unit != "V" else values[0]
    noticed = PLAIN_V if best.unit == "V" else NOTICED.get(best.unit)
    if noticed is None:
        clean = float(best.values[0])
        part = NOTICED_PART[best.what] * abs(clean) if math.isfinite(clean) else 0.0
        noticed = max(part, NOTICED_LEAST[best.what])
    values_ = np.abs(best.values) if best.unit == "V" else best.values
    return np.nan_to_num(values_, posinf=1e6, neginf=-1e6), noticed


def _passed(harness: Harness, at: Predicted, thing: Sighted) -> Values:
    import numpy as np

    state, part = at.state, harness.parts[thing.on]
    edge = int(state.edge_of[thing.branch])
    if edge < 0:
        amperes = np.zeros(1 + at.volts[0].size)
    else:
        over = at.volts[at.place[state.a[edge]]] - at.volts[at.place[state.b[edge]]]
        mine = at.sites.edge == edge
        ohm = np.full(over.shape, state.ohm[edge])
        if mine.any():
            ohm[mine] += np.array(GRID_OHM)[None]
        amperes = np.append(state.amperes[edge], (over / ohm).ravel()) * sign(state, thing.branch)
    if part.kind == "flasher":
        return flasher_rate(part.id, part.ratings, amperes)
    return by_scale(part.id, part.ratings.scale, "ampere", amperes, "A")


def notice(harness: Harness, at: Predicted, things: Sequence[Sighted]) -> Floats:
    """Return how each change moves what a person watched, in standard deviations: (things, sites, grid)."""
    import numpy as np

    found = np.zeros((len(things), *at.volts.shape[1:]))
    for n, thing in enumerate(things):
        values, noticed = seen_values(harness, at, thing)
        found[n] = (SHARPNESS * (values[1:] - values[0]) / noticed).reshape(found.shape[1:])
    return found


def sighting_logs(
    work: Sequence[tuple[Predicted, Ints, Sequence[Sighted]]], found: Observed, steps: Floats
) -> tuple[Floats, float]:
    """Return log chances of all sightings by group and added resistance, (groups, fine grid), and when clean."""
    import numpy as np

    groups = len(work[0][1])
    if not found.sightings:
        return np.zeros((groups, len(steps))), 0.0
    table = np.stack([of_group for _, of_group, _ in work], axis=1)
    _, first, variant = np.unique(table, axis=0, return_index=True, return_inverse=True)
    harness = found.harness
    seen: dict[tuple[str | None, str], tuple[Floats, Floats, float]] = {}
    for at, of_group, things in work:
        for thing in things:
            values, noticed = seen_values(harness, at, thing)
            grid = values[1:].reshape(at.volts.shape[1:])
            seen[(at.state.mode, thing.on)] = (grid[of_group[first]], values[:1], noticed)
    logs, clean_log = np.zeros((len(first), work[0][0].volts.shape[2])), 0.0
    for sighting in found.sightings:
        after = seen.get((sighting.to_mode, sighting.on))
        if after is None:
            continue
        now, clean, noticed = after
        before, before_clean = clean, clean
        if sighting.from_mode is not None and (sighting.from_mode, sighting.on) in seen:
            before, before_clean, _ = seen[(sighting.from_mode, sighting.on)]
        elif "slow" in (sighting.note or "") and _is_light(work, sighting):
            noticed *= DRIFT
        logs = logs + np.log(_chance(sighting, (now - before) / noticed, now, float(clean[0])))
        change = (clean - before_clean) / noticed
        clean_log += float(np.log(_chance(sighting, change, clean, float(clean[0])))[0])
    whole = np.arange(logs.shape[1])
    fine = np.stack([np.interp(steps, whole, row) for row in logs])
    return fine[variant.ravel()], clean_log


def _is_light(work: Sequence[tuple[Predicted, Ints, Sequence[Sighted]]], sighting: Sighting) -> bool:
    return any(t.on == sighting.on and t.kind == "lamp" for _, _, things in work for t in things)


def _chance(sighting: Sighting, change: Floats, now: Floats, clean: float) -> Floats:
    """Return the chance of a sighting; a strong change is some times what is just noticed, a slight one less."""
    import numpy as np
    from scipy.special import ndtr

    found = seen_chance(sighting.seen, change, now, clean)
    if sighting.strength is not None and sighting.seen in ("up", "down"):
        strong = ndtr(SHARPNESS / STRONG * (np.abs(change) - STRONG))
        found = found * (
            JUDGED + (1.0 - JUDGED) * (strong if sighting.strength == "strong" else 1.0 - strong)
        )
    return found
