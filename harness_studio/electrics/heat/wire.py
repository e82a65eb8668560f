"""Steady temperature of wires in free air, from the balance of Joule heat and what the wire gives off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import air

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]

INSULATION_W_PER_M_K = 0.2
"""Thermal conductivity of the insulation: between PVC (about 0.17, from memory) and XLPE (0.29, from memory)."""
ABOVE_LIMIT_K = 100.0
"""A conductor that much above its insulation's limit has no safe steady temperature."""

_MOST_A = 1e6  # more makes no difference, and its square would not be a number
_NEGLIGIBLE_K = 1e-3
_STEP_K = 1e-3
_MOST_STEPS = 40


def insulation_k_m_per_w(conductor_mm: Floats, outer_mm: Floats) -> Floats:
    """Return the thermal resistance of a metre of insulation: ln(D/d) / (2π k), 0 for a bare conductor."""
    import numpy as np

    resistance: Floats = np.log(np.maximum(outer_mm / conductor_mm, 1.0)) / (
        2.0 * np.pi * INSULATION_W_PER_M_K
    )
    return resistance


def loss_at_w_per_m(
    conductor_c: Floats,
    conductor_mm: Floats,
    outer_mm: Floats,
    ambient_c: Floats,
    pressure_pa: float = air.SEA_LEVEL_PA,
) -> Floats:
    """Return the heat a wire gives off per metre when its conductor has a temperature; 0 where it is no warmer.

    The surface's rise x satisfies x + loss(x) · insulation = conductor - air; Newton steps from above, where the left
    side is convex. All arrays have the same shape.
    """
    import numpy as np

    whole = np.maximum(conductor_c - ambient_c, 0.0)
    inner = insulation_k_m_per_w(conductor_mm, outer_mm)
    rise = whole
    for _ in range(_MOST_STEPS):
        loss, slope = air.loss_w_per_m(rise, ambient_c, outer_mm, pressure_pa)
        moved = np.clip(rise - (rise + loss * inner - whole) / (1.0 + slope * inner), 0.0, whole)
        change = np.abs(moved - rise)
        rise = moved
        if not (change > _STEP_K).any():
            break
    return air.loss_w_per_m(rise, ambient_c, outer_mm, pressure_pa)[0]


def free_air_a(
    ohm_per_m_20c: Floats,
    alpha_per_k: Floats,
    conductor_mm: Floats,
    outer_mm: Floats,
    ambient_c: Floats,
    limit_c: Floats,
    pressure_pa: float = air.SEA_LEVEL_PA,
) -> Floats:
    """Return the current at which each wire alone in still air reaches its insulation's limit; 0 in air that hot.

    The inverse of `steady_temperature_c`, with the same parameters.
    """
    import numpy as np

    loss = loss_at_w_per_m(limit_c, conductor_mm, outer_mm, ambient_c, pressure_pa)
    amperes: Floats = np.sqrt(loss / (ohm_per_m_20c * (1.0 + alpha_per_k * (limit_c - 20.0))))
    return amperes


def steady_temperature_c(
    amperes: Floats,
    ohm_per_m_20c: Floats,
    alpha_per_k: Floats,
    conductor_mm: Floats,
    outer_mm: Floats,
    ambient_c: Floats,
    limit_c: Floats,
) -> tuple[Floats, Bools]:
    """Return the conductor temperature of each wire in still air in °C, and which wires have no safe one.

    I² R20 (1 + α (T - 20)) = convection (Churchill-Chu 1975, horizontal cylinder) + radiation (emissivity 0.9) from
    the outside of the insulation; the conductor is hotter than that by the heat times ln(D/d)/(2π k), k 0.2 W/(m K).
    Within 0.01 K; never falls as the current rises. Where the balance lies more than 100 K above the limit, or
    nowhere, the temperature is limit + 100 °C and the mask is True. Not a number in, not a number out.

    Parameters
    ----------
    amperes
        Of either sign.
    ohm_per_m_20c, alpha_per_k
        Resistance per metre at 20 °C and its temperature coefficient.
    conductor_mm, outer_mm
        Diameters, above 0.
    ambient_c
        Of the air and of what surrounds the wire.
    limit_c
        What the insulation bears continuously.

    All arrays have shape (wires,).
    """
    import numpy as np

    cap_c = limit_c + ABOVE_LIMIT_K
    temperature_c = np.array(ambient_c, dtype=np.float64)
    counted = np.clip(amperes, -_MOST_A, _MOST_A)
    heat_20c = counted * counted * ohm_per_m_20c
    inner = insulation_k_m_per_w(conductor_mm, outer_mm)
    # Heat at the cap is the most there can be, and radiation alone the least way out: no wire rises more than this.
    most_heat = heat_20c * (1.0 + alpha_per_k * (cap_c - 20.0))
    with np.errstate(invalid="ignore"):
        most_rise = most_heat / air.least_loss_w_per_m_k(ambient_c, outer_mm)
        loaded = ~(most_rise + most_heat * inner <= _NEGLIGIBLE_K)
    runaway: Bools = ambient_c > cap_c
    if loaded.any():
        at = np.flatnonzero(loaded)
        room_k = np.maximum(cap_c - ambient_c, 0.0)
        temperature_c[at] = _balanced(
            heat_20c[at], alpha_per_k[at], inner[at], outer_mm[at], ambient_c[at], room_k[at], most_rise[at]
        )
        runaway = runaway | (temperature_c > cap_c)
    temperature_c[runaway] = cap_c[runaway]
    return temperature_c, runaway


def _balanced(
    heat_20c: Floats,
    alpha: Floats,
    inner: Floats,
    outer_mm: Floats,
    ambient_c: Floats,
    room_k: Floats,
    most_rise: Floats,
) -> Floats:
    """Return the conductor temperature by Newton steps on the surface's rise; infinity where the room is too small.

    The loss is convex in the rise and the heat a straight line, so steps from above come down without overshooting.
    """
    import numpy as np

    # How much of a kelvin one kelvin of conductor adds to the drop through the insulation: from 1 on, no balance.
    held = heat_20c * alpha * inner
    cold_heat = heat_20c * (1.0 + alpha * (ambient_c - 20.0))
    unheld = 1.0 - np.minimum(held, 0.99)
    gain = heat_20c * alpha
    rise = np.minimum(most_rise, room_k)
    with np.errstate(invalid="ignore", over="ignore", divide="ignore"):
        for _ in range(_MOST_STEPS):
            loss, slope = air.loss_w_per_m(rise, ambient_c, outer_mm)
            lacking = cold_heat + gain * rise - loss * unheld
            steep = slope * unheld - gain
            step = np.where(steep > 0.0, lacking / steep, np.where(lacking > 0.0, np.inf, -0.5 * rise))
            moved = np.clip(rise + step, 0.0, room_k)
            change = np.abs(moved - rise)
            rise = moved
            if not (change > _STEP_K).any():
                break
        heat = (cold_heat + gain * rise) / unheld
        nowhere = (held >= 0.99) | (rise >= room_k)
        conductor_c: Floats = np.where(nowhere, np.inf, ambient_c + rise + heat * inner)
    return conductor_c
