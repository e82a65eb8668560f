"""Resistances of a network at the temperatures that its currents give."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.network.network import Conductors, Network

from . import transient
from .wire import steady_temperature_c

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

CRANK_S = 30.0
"""How long a starter is cranked at a stretch: the longer of the 15 to 30 s of army manuals (seen once)."""


def warmed(network: Network, amperes: Floats) -> tuple[Floats, Floats]:
    """Return (temperature of each wire in °C, resistance of each branch) for the currents of the branches.

    Wires: heat balance in free air, R = R₂₀·(1 + α·(T − 20 °C)); while cranking the temperature after `CRANK_S`, not
    the one that would settle: a starter's cable is made for short times. Fuses: from their cold resistance at no load
    to the hot one at rated current, by the square of the load.
    """
    import numpy as np

    wires, ohm = network.conductors, network.branches.resistance_ohm.copy()
    carried = np.abs(amperes[wires.branch])
    temperature, _ = steady_temperature_c(
        carried,
        wires.ohm_per_m_20c,
        wires.alpha_per_k,
        wires.conductor_mm,
        wires.outer_mm,
        wires.ambient_c,
        wires.limit_c,
    )
    if network.mode.engine == "cranking":
        temperature = after_c(CRANK_S, carried, temperature, wires)
    ohm[wires.branch] *= 1.0 + wires.alpha_per_k * (temperature - 20.0)
    if len(network.fuses.branch):
        load = np.minimum(np.abs(amperes[network.fuses.branch]) / network.fuses.rated_a, 1.5)
        ohm[network.fuses.branch] *= 1.0 + (network.fuses.hot_ratio - 1.0) * load * load
    return temperature, ohm


def after_c(seconds: float, amperes: Floats, steady_c: Floats, wires: Conductors) -> Floats:
    """Return the temperatures of wires after a time at a current, from that of the air; see `transient.after_c`."""
    found: Floats = transient.after_c(
        seconds,
        amperes,
        steady_c,
        wires.ohm_per_m_20c,
        wires.alpha_per_k,
        wires.conductor_mm,
        wires.outer_mm,
        wires.ambient_c,
        wires.heat_j_per_k_m,
    )
    return found
