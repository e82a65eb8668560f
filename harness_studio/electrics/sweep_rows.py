"""What a sweep tells: for each joint made worse, the readings that change, ranked by what a person notices."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from harness_studio.base.errors import HarnessError
from harness_studio.base.units import number
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
    progress: Callable[[float], object] = lambda part: None,
) -> list[SweepRow]:
    """Return a row for every joint and added resistance, the most noticeable first.

    Parameters
    ----------
    cancelled
        Asked before each chunk; what was found until then is returned.
    progress
        Gets how much is done after each chunk, 0 to 1.
    """
    clean = _clean(harness, base)
    whole = len(added_ohm) * (len(base.network.joints) if only is None else len(only))
    rows: list[SweepRow] = []
    for added in added_ohm:
        for chunk in sweep(base, added, only, cancelled):
            rows += _rows(harness, base, clean, chunk, added)
            progress(min(1.0, len(rows) / max(1, whole)))
    return sorted(rows, key=lambda r: (-r.failed, -round(r.weight, 6), r.joint))


def chains(rows: Sequence[SweepRow]) -> list[SweepRow]:
    """Return one row for each chain of joints and added resistance, in order, without those that change nothing."""
    told: set[tuple[frozenset[str], float]] = set()
    found = []
    for row in rows:
        chain = frozenset((row.joint, *row.in_series)), row.added_ohm
        if chain not in told and (row.changes or row.failed):
            told.add(chain)
            found.append(row)
    return found


def change_words(change: Change) -> str:
    """Return what changes, as the table says it: 'M2 volts 13.4 → 11.1 V'."""

    def show(value: float | None) -> str:
        return "out of range" if value is None else f"{value:.3g}"

    return f"{change.reading} {show(change.clean)} → {show(change.bad)} {change.unit}"


def row_words(row: SweepRow, most: int = 3) -> str:
    """Return what a row's joint would change, the most noticeable first."""
    if row.failed:
        return "no solution"
    more = f" and {len(row.changes) - most} more" if len(row.changes) > most else ""
    return "; ".join(change_words(c) for c in row.changes[:most]) + more


def added_words(added_ohm: float) -> str:
    """Return an added resistance: '50 mΩ', 'open'."""
    return "open" if math.isinf(added_ohm) else f"{added_ohm * 1e3:g} mΩ"


def added_from(text: str) -> float:
    """Return the ohms that were written as milliohms, or infinite for 'open'; HarnessError for anything else."""
    if text.strip() == "open":
        return math.inf
    try:
        mohm = number(text)
    except ValueError:
        mohm = 0.0
    if mohm <= 0.0:
        raise HarnessError(f"'{text.strip()}': write milliohms above 0, or open")
    return mohm / 1000.0


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
        found = tuple(sorted(changes[column], key=lambda c: (-round(c.weight, 6), c.reading)))
        failed = bool(chunk.failed[column])
        for joint in joints:
            others = tuple(j for j in joints if j != joint)
            yield SweepRow(joint, others, added_ohm, () if failed else found, failed)
