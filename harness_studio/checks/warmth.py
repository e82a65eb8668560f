"""How warm wires get in sizes that are tried: the balance solved for many of them at once, each only once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from harness_studio.electrics.heat import transient
from harness_studio.electrics.heat.cable import Cable
from harness_studio.electrics.heat.wire import steady_temperature_c


@dataclass(frozen=True, slots=True)
class Asked:
    """A wire alone in still air, a current, and how long it flows (None: until the temperature settles)."""

    cable: Cable
    amperes: float
    ambient_c: float
    limit_c: float
    for_s: float | None = None


class Warmth:
    """Temperatures in °C by what was asked."""

    def __init__(self) -> None:
        self._known: dict[Asked, float] = {}

    def of(self, asked: Asked) -> float:
        """Return the temperature that a wire comes to."""
        if asked not in self._known:
            self.prepare([asked])
        return self._known[asked]

    def prepare(self, many: Iterable[Asked]) -> None:
        """Work out all of them that are not known, together."""
        import numpy as np

        wanted = [one for one in dict.fromkeys(many) if one not in self._known]
        if not wanted:
            return
        ohm, alpha, conductor, outer, takes_up = np.array([_numbers(one.cable) for one in wanted]).T
        amperes = np.array([one.amperes for one in wanted])
        ambient = np.array([one.ambient_c for one in wanted])
        limit = np.array([one.limit_c for one in wanted])
        celsius, _ = steady_temperature_c(amperes, ohm, alpha, conductor, outer, ambient, limit)
        for for_s in {one.for_s for one in wanted} - {None}:
            at = np.array([n for n, one in enumerate(wanted) if one.for_s == for_s])
            assert for_s is not None
            celsius[at] = transient.after_c(
                for_s,
                amperes[at],
                celsius[at],
                ohm[at],
                alpha[at],
                conductor[at],
                outer[at],
                ambient[at],
                takes_up[at],
            )
        self._known.update(zip(wanted, celsius.tolist(), strict=True))


@lru_cache(maxsize=4096)
def _numbers(cable: Cable) -> tuple[float, float, float, float, float]:
    """Return Ω/m at 20 °C, its coefficient, both diameters in mm, and what a metre takes up in J/K."""
    return (
        cable.resistance.value,
        cable.alpha_per_k,
        cable.conductor.value_mm,
        cable.outer.value_mm,
        transient.heat_capacity_j_per_k_m(cable),
    )
