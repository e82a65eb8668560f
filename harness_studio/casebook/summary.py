"""Each suspect group as a person reads it: how likely, how much resistance, what it explains and what it does not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from harness_studio.model.harness import Harness

from .groups import Group
from .likelihood import OWN_PART
from .prior import member_weight
from .suspects import Suspects

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Fault = Literal["series", "open", "clip", "chafed", "source"]
LIKELY, POSSIBLE = 0.5, 0.05
EXPLAINED = 2.0
"""Standard deviations within which a reading counts as explained."""
TAIL = 0.05


@dataclass(frozen=True, slots=True)
class Suspect:
    """A suspect group. `members` are ordered by prior; `range_ohm` holds nine tenths of what is believed."""

    members: tuple[tuple[str, Fault], ...]
    joint: str
    probability: float
    added_ohm: float
    range_ohm: tuple[float, float]
    explains: tuple[str, ...]
    misses: tuple[str, ...]

    @property
    def word(self) -> str:
        """likely, possible or unlikely."""
        if self.probability >= LIKELY:
            return "likely"
        return "possible" if self.probability >= POSSIBLE else "unlikely"


def summary(harness: Harness, found: Suspects, most: int = 10) -> list[Suspect]:
    """Return the most probable groups, the first first."""
    import numpy as np

    network = found.weighed.network
    result = []
    for group in found.ranked()[:most]:
        weight = found.weight[group]
        grid = found.chafe_ohm if found.groups[group].fault == "chafed" else found.fine_ohm
        part = np.cumsum(weight) / max(float(weight.sum()), 1e-300)
        ends = [float(grid[min(int(np.searchsorted(part, q)), len(part) - 1)]) for q in (TAIL, 1 - TAIL)]
        best = int(np.argmax(weight))
        explains, misses = _held(found, group, best)
        members = sorted(
            found.groups[group].members, key=lambda m: -member_weight(harness, found.case, network, m)
        )
        result.append(
            Suspect(
                tuple((_name(m), _fault(harness, found.groups[group], m)) for m in members),
                found.groups[group].joint,
                float(found.probability[group]),
                float(grid[best]),
                (min(ends), max(ends)),
                tuple(explains),
                tuple(misses),
            )
        )
    return result


def _name(address: str) -> str:
    return address.removesuffix(":inside")


def _fault(harness: Harness, group: Group, address: str) -> Fault:
    if group.fault != "series":
        return group.fault
    if address in harness.wires:
        return "open"
    return "clip" if address.endswith(":clip") else "series"


def _held(found: Suspects, group: int, best: int) -> tuple[list[str], list[str]]:
    """Return which readings a group explains at its best resistance, and which it does not."""
    explains: list[str] = []
    misses: list[str] = []
    weighed = found.weighed
    predicted = found.predicted(group, best)
    for n, one in enumerate(found.observed.measured):
        value, clean = float(predicted[n]), float(weighed.clean[n])
        sigma = (float(weighed.model.covariance[n, n]) + (OWN_PART * (value - clean)) ** 2) ** 0.5
        seen = float(weighed.seen[n])
        words = f"{one.words}: {one.where} {seen:.3f} {one.unit}, {value:.3f} {one.unit} predicted"
        (explains if abs(seen - value) <= EXPLAINED * sigma else misses).append(words)
    return explains, misses
