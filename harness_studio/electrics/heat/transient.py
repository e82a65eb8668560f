"""How long a wire takes from one temperature to another at a current: with and without the heat it gives off."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from harness_studio.network.conductors import heat_j_per_k_m
from harness_studio.standards import adiabatic

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

    step_k, ohm_per_m, losses = _losses(cable, ambient_c, start_c, end_c)
    surplus = amperes * amperes * ohm_per_m - losses
    if surplus.min() <= 0.0:
        return math.inf
    slowness = 1.0 / surplus
    trapezia = float(np.sum(slowness[1:] + slowness[:-1])) * 0.5 * step_k
    return heat_capacity_j_per_k_m(cable) * trapezia


def heat_capacity_j_per_k_m(cable: Cable) -> float:
    """Return the heat a metre of wire takes up per kelvin: conductor and insulation."""
    return heat_j_per_k_m(cable.area_mm2, cable.insulation, cable.material)


def after_c(
    seconds: float,
    amperes: Floats,
    steady_c: Floats,
    ohm_per_m_20c: Floats,
    alpha_per_k: Floats,
    conductor_mm: Floats,
    outer_mm: Floats,
    ambient_c: Floats,
    takes_up_j_per_k_m: Floats,
) -> Floats:
    """Return the temperature of wires that started at the air's temperature, after a current has flowed for a time.

    One heat store C, heat P·(1 + a·x) that grows with the rise x, and a loss h·x as half way to where the wire tends:
    x = P·(1 - exp(-(h - a·P)·t/C)) / (h - a·P), P at the air's temperature, a = α / (1 + α·(Ta - 20 °C)). For short
    times that is t·P/C; the rise is within 10 % of the integral over the balance. All arrays have shape (wires,).

    Parameters
    ----------
    steady_c
        Where the current would bring the wires in the end (`wire.steady_temperature_c`); never exceeded.
    takes_up_j_per_k_m
        What a metre takes up per kelvin.
    """
    import numpy as np

    rise_k = np.maximum(steady_c - ambient_c, 1e-9)
    cold = 1.0 + alpha_per_k * (ambient_c - 20.0)
    heat_w_per_m = amperes * amperes * ohm_per_m_20c * cold
    half_c = ambient_c + 0.5 * rise_k
    loss_w_per_m_k = wire.loss_at_w_per_m(half_c, conductor_mm, outer_mm, ambient_c) / (0.5 * rise_k)
    per_s = (loss_w_per_m_k - alpha_per_k / cold * heat_w_per_m) / takes_up_j_per_k_m
    power = np.clip(per_s * seconds, -50.0, None)
    with np.errstate(divide="ignore", invalid="ignore"):
        lasting = np.where(np.abs(power) < 1e-9, 1.0, -np.expm1(-power) / power)
    warmed: Floats = ambient_c + np.minimum(seconds * heat_w_per_m / takes_up_j_per_k_m * lasting, rise_k)
    return warmed


@lru_cache(maxsize=1024)
def _losses(cable: Cable, ambient_c: float, start_c: float, end_c: float) -> tuple[float, Floats, Floats]:
    """Return (step in K, Ω/m and losses in W/m at even steps from start to end); callers do not write to them."""
    import numpy as np

    celsius = np.linspace(start_c, end_c, _POINTS)
    losses = wire.loss_at_w_per_m(
        celsius,
        np.full(_POINTS, cable.conductor.value_mm),
        np.full(_POINTS, cable.outer.value_mm),
        np.full(_POINTS, float(ambient_c)),
    )
    ohm_per_m = cable.resistance.value * (1.0 + cable.alpha_per_k * (celsius - 20.0))
    return float(celsius[1] - celsius[0]), ohm_per_m, losses
