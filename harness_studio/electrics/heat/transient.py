"""How long a wire takes from one temperature to another at a current: with and without the heat it gives off."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from harness_studio.standards import adiabatic, materials

from . import wire
from .cable import Cable

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_POINTS = 33


def adiabatic_s(cable: Cable, amperes: float, start_c: float, end_c: float) -> float:
    """Return the seconds in which a current warms a conductor that gives nothing off: (k S / I)², IEC 60949.

    Infinity without current, 0 where the end is not above the start.
    """
    if amperes == 0.0:
        return math.inf
    k = adiabatic.k_factor(cable.material, start_c, end_c).value
    return (k * cable.area_mm2 / amperes) ** 2


def least_area_mm2(material: str, amperes: float, seconds: float, start_c: float, end_c: float) -> float:
    """Return the conductor that bears a current for a time: S = sqrt(I² t) / k, IEC 60949.

    Raises
    ------
    ValueError
        If the end is not above the start.
    """
    k = adiabatic.k_factor(material, start_c, end_c).value
    if k <= 0.0:
        raise ValueError(f"from {start_c:g} to {end_c:g} °C there is nothing to warm")
    return abs(amperes) * math.sqrt(seconds) / k


def cooled_s(cable: Cable, amperes: float, ambient_c: float, start_c: float, end_c: float) -> float:
    """Return the seconds in which a current warms a conductor that gives heat off to still air.

    t = ∫ C dT / (I² R(T) - loss(T)) from start to end; infinity where the heat does not outweigh the loss all the way.
    C is that of conductor and insulation together, so this is for times in which heat gets through the insulation
    (seconds and more); the loss is that of the steady state.
    """
    if end_c <= start_c:
        return 0.0
    import numpy as np

    step_k, losses = _losses(cable, ambient_c, start_c, end_c)
    celsius = np.linspace(start_c, end_c, _POINTS)
    made = amperes * amperes * cable.resistance.value * (1.0 + cable.alpha_per_k * (celsius - 20.0))
    surplus = made - np.array(losses)
    if surplus.min() <= 0.0:
        return math.inf
    slowness = 1.0 / surplus
    trapezia = float(np.sum(slowness[1:] + slowness[:-1])) * 0.5 * step_k
    return heat_capacity_j_per_k_m(cable) * trapezia


def heat_capacity_j_per_k_m(cable: Cable) -> float:
    """Return the heat a metre of wire takes up per kelvin: conductor and insulation."""
    conductor = materials.material(cable.material).heat_capacity_j_per_k_mm3 * cable.area_mm2
    ring_mm2 = math.pi / 4 * (cable.outer.value_mm**2 - cable.conductor.value_mm**2)
    return 1e3 * (conductor + adiabatic.insulation_heat_capacity_j_per_k_mm3() * ring_mm2)


@lru_cache(maxsize=1024)
def _losses(cable: Cable, ambient_c: float, start_c: float, end_c: float) -> tuple[float, tuple[float, ...]]:
    """Return (step in K, losses in W/m at even steps from start to end)."""
    import numpy as np

    celsius = np.linspace(start_c, end_c, _POINTS)
    losses = wire.loss_at_w_per_m(
        celsius,
        np.full(_POINTS, cable.conductor.value_mm),
        np.full(_POINTS, cable.outer.value_mm),
        np.full(_POINTS, float(ambient_c)),
    )
    return float(celsius[1] - celsius[0]), tuple(losses.tolist())
