"""Each suspect group as a person reads it: how likely, how much resistance, what it explains and what it does not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .likelihood import OWN_PART
from .prior import member_weight
from .spread import sensitivity
from .suspects import Suspects

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Fault = Literal["series", "open", "clip"]
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

    network = expand(harness, next(iter(found.by_mode)))
    result = []
    for group in found.ranked()[:most]:
        weight = found.weight[group]
        part = np.cumsum(weight) / max(float(weight.sum()), 1e-300)
        ends = [
            float(found.fine_ohm[min(int(np.searchsorted(part, q)), len(part) - 1)]) for q in (TAIL, 1 - TAIL)
        ]
        best = int(np.argmax(weight))
        explains, misses = _held(harness, found, group, float(found.fine_ohm[best]))
        members = sorted(
            found.groups[group].members, key=lambda m: -member_weight(harness, found.case, network, m)
        )
        result.append(
            Suspect(
                tuple((m, _fault(harness, m)) for m in members),
                found.groups[group].joint,
                float(found.probability[group]),
                float(found.fine_ohm[best]),
                (ends[0], ends[1]),
                tuple(explains),
                tuple(misses),
            )
        )
    return result


def _fault(harness: Harness, address: str) -> Fault:
    if address in harness.wires:
        return "open"
    return "clip" if address.endswith(":clip") else "series"


def _held(harness: Harness, found: Suspects, group: int, ohm: float) -> tuple[list[str], list[str]]:
    """Return which readings a group explains at its best resistance, and which it does not."""
    import numpy as np

    from .predict import GRID_OHM

    explains: list[str] = []
    misses: list[str] = []
    for one in found.observed.measured:
        at = found.by_mode[one.mode]
        plus, minus = at.points[one.plus], at.points[one.minus]
        volts = float(np.interp(ohm, GRID_OHM, at.bad[group, :, plus] - at.bad[group, :, minus]))
        clean = float(at.clean[plus] - at.clean[minus])
        spread = sum(v * v for v in sensitivity(harness, at, one.plus, one.minus).values())
        sigma = (one.sigma_v**2 + spread + (OWN_PART * (volts - clean)) ** 2) ** 0.5
        words = f"{one.words}: {one.plus} to {one.minus} {one.volts:.3f} V, {volts:.3f} V predicted"
        (explains if abs(one.volts - volts) <= EXPLAINED * sigma else misses).append(words)
    return explains, misses
