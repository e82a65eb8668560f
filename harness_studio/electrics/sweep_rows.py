"""What a sweep tells: for each joint made worse, the readings that change, ranked by what a person notices."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from harness_studio.model.harness import Harness

from .reading_values import Values, by_scale, element_values, flasher_rate, weights
from .readings import Change
from .sweep import Base, Cancelled, Swept, sweep

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

TOLD = 0.05
"""Changes below this part of what a person notices are not told."""


@dataclass(frozen=True, slots=True)
class SweepRow:
    """One joint at one added resistance: what changes, the most noticeable first.

    `in_series` are joints of the same chain, whose effect is the same; `failed` says that there is no solution.
    """

    joint: str
    in_series: tuple[str, ...]
    added_ohm: float
    changes: tuple[Change, ...]
    failed: bool

    @property
    def weight(self) -> float:
        """How noticeable the worst change is."""
        return self.changes[0].weight if self.changes else 0.0


def sweep_rows(
    harness: Harness,
    base: Base,
    added_ohm: Sequence[float],
    only: Sequence[str] | None = None,
    cancelled: Cancelled = lambda: False,
) -> list[SweepRow]:
    """Return a row for every joint and added resistance, the most noticeable first."""
    clean = _clean(harness, base)
    rows = [
        row
        for added in added_ohm
        for chunk in sweep(base, added, only, cancelled)
        for row in _rows(harness, base, clean, chunk, added)
    ]
    return sorted(rows, key=lambda r: (-r.failed, -r.weight, r.joint))


def _clean(harness: Harness, base: Base) -> dict[tuple[str, str], float]:
    volts = base.done.point_volts[:, None]
    return {(v.id, v.what): float(v.values[0]) for v in _values(harness, base, volts, [()], 0.0)}


def _values(
    harness: Harness, base: Base, volts: Floats, joints: Sequence[tuple[str, ...]], added_ohm: float
) -> Iterator[Values]:
    for element in base.network.elements:

        def across(first: str, second: str, at: Mapping[str, int] = element.terminals) -> Floats:
            over: Floats = np.nan_to_num(volts[at[first]] - volts[at[second]])
            return over

        yield from element_values(harness, element, across)
    branches = base.network.branches
    for part in harness.parts.values():
        if part.kind in ("flasher", "ammeter") and part.id in base.network.joints:
            number = base.network.joints[part.id]
            ohm = base.done.ohm[number] + np.array([added_ohm if part.id in some else 0.0 for some in joints])
            amperes = np.nan_to_num(volts[branches.a[number]] - volts[branches.b[number]]) / ohm
            if part.kind == "flasher":
                yield flasher_rate(part.id, part.ratings, amperes)
            else:
                yield by_scale(part.id, part.ratings.scale, "ampere", amperes, "A")


def _rows(
    harness: Harness, base: Base, clean: Mapping[tuple[str, str], float], chunk: Swept, added_ohm: float
) -> Iterator[SweepRow]:
    changes: list[list[Change]] = [[] for _ in chunk.joints]
    for values in _values(harness, base, chunk.volts, chunk.joints, added_ohm):
        before = clean[values.id, values.what]
        weight = weights(before, values.what, values.unit, values.values)
        for column in np.flatnonzero(weight > TOLD).tolist():
            now = float(values.values[column])
            changes[column].append(
                Change(
                    f"{values.id} {values.what}",
                    None if math.isnan(before) else before,
                    None if math.isnan(now) else now,
                    values.unit,
                    float(weight[column]),
                )
            )
    for column, joints in enumerate(chunk.joints):
        found = tuple(sorted(changes[column], key=lambda c: (-c.weight, c.reading)))
        failed = bool(chunk.failed[column])
        for joint in joints:
            others = tuple(j for j in joints if j != joint)
            yield SweepRow(joint, others, added_ohm, () if failed else found, failed)
