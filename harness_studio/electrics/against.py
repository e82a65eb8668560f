"""Readings against the resistance of one joint: each resistance is solved, nothing lies between stored points."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

from .readings import Change, Reading, one_each, readings
from .sweep import Base, prepare
from .sweep_rows import sweep_rows

PER_DECADE = 4
TOTALS_OHM = (*(10.0 ** (-3 + i / PER_DECADE) for i in range(4 * PER_DECADE + 1)), math.inf)
"""Total resistances that are tried: 1 mΩ to 10 Ω, four to the decade, and open."""
MOST = 4
"""How many readings are told, the most noticeable ones."""

Progress = Callable[[int, int], bool]
"""Called with resistances done and in all; False stops."""


@dataclass(frozen=True, slots=True)
class Against:
    """Readings by key at each total resistance of a joint; None for 'no reading', and everywhere if it has no solution.

    `present_ohm` is the joint's resistance now, `present` the readings there; `units` names each reading's unit. Only
    readings that a person would notice somewhere along the way are kept, the most noticeable first.
    """

    joint: str
    ohm: tuple[float, ...]
    values: Mapping[str, tuple[float | None, ...]]
    units: Mapping[str, str]
    present_ohm: float
    present: Mapping[str, float | None]


def against(
    harness: Harness,
    network: Network,
    joint: str,
    *,
    totals_ohm: Sequence[float] = TOTALS_OHM,
    also: Sequence[str] = (),
    base: Base | None = None,
    progress: Progress = lambda _done, _all: True,
) -> Against | None:
    """Return the readings at each total resistance of a joint; None if it is no joint, or if `progress` stopped it.

    Parameters
    ----------
    also
        Readings that are kept whether one would notice them or not.
    base
        The prepared state of the same network, to use it again.

    Raises
    ------
    SolveError
        If the present state has no solution.
    """
    from .solve import solve

    number = network.joints.get(joint)
    if number is None or network.grounded is None:
        return None
    base = base or prepare(network)
    present_ohm = float(base.done.ohm[number])
    if math.isinf(present_ohm):
        return None
    address = network.branches.address[number]
    now = readings(harness, solve(network))
    columns: list[dict[str, float | None] | None] = []
    noticed: dict[str, Change] = {}
    for done, total in enumerate(totals_ohm):
        if not progress(done, len(totals_ohm)):
            return None
        row = next(
            (r for r in sweep_rows(harness, base, [total - present_ohm], [address]) if r.joint == address),
            None,
        )
        if row is None or row.failed:
            columns.append(None)
            continue
        columns.append({c.reading: c.bad for c in row.changes})
        for change in row.changes:
            if change.reading not in noticed or change.weight > noticed[change.reading].weight:
                noticed[change.reading] = change
    kept = list(dict.fromkeys((*_told(noticed, now), *(key for key in also if key in now))))
    values = {
        key: tuple(None if column is None else column.get(key, now[key].value) for column in columns)
        for key in kept
    }
    units = {key: now[key].unit for key in kept}
    return Against(joint, tuple(totals_ohm), values, units, present_ohm, {k: now[k].value for k in kept})


def _told(noticed: Mapping[str, Change], now: Mapping[str, Reading]) -> list[str]:
    """Return the keys of the readings that are told."""
    seen = [change for key, change in noticed.items() if key in now and change.weight >= 1.0]
    return [change.reading for change in one_each(seen)[:MOST]]
