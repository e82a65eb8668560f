"""The curves of nonlinear loads and sources: amperes and slope over volts, vectorised.

Each takes volts (E,) and parameters (E, p) and returns (amperes (E,), siemens (E,)).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

THERMAL_V = 0.025865
"""kT/q at 27 °C in volts, as SPICE simulators use it."""
RERATING = 0.55
"""Exponent of lamp current over volts: I ∝ V^0.55 (lamp re-rating law, handbook; seen twice)."""
LEAK_S = 1e-9
"""Leak beside every two-pole whose curve has flat stretches, 1 GΩ: a dangling one then has definite volts, 0 V."""
LIGHT = 3.4
"""Exponent of lamp light over volts (lamp re-rating law; 3.4-3.5, seen twice)."""


def lamp(volts: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Filament lamp: I = (V/R₀)·((V² + V_c²)/V₀²)^(−0.225); parameters R₀ Ω, V₀ V, V_c V.

    Far above V_c it is the re-rating law I ∝ V^0.55; at 0 V it is the cold filament's resistance.
    """
    r0, v0, vc = p[:, 0], p[:, 1], p[:, 2]
    half = (1.0 - RERATING) / 2.0
    u = (volts * volts + vc * vc) / (v0 * v0)
    factor = u ** (-half) / r0
    return volts * factor, factor * (1.0 - 2.0 * half * volts * volts / (v0 * v0 * u))


def _leaky(volts: Floats, amperes: Floats, siemens: Floats) -> tuple[Floats, Floats]:
    return amperes + LEAK_S * volts, siemens + LEAK_S


def fan(volts: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Permanent-magnet motor with torque ∝ speed²; parameters R Ω, E₀ V, I₀ A.

    V = s·E₀ + R·I₀·s², I = I₀·s²: s = 2|V|/(E₀ + √(E₀² + 4·R·I₀·|V|)).
    """
    import numpy as np

    r, e0, i0 = p[:, 0], p[:, 1], p[:, 2]
    size = np.abs(volts)
    s = 2.0 * size / (e0 + np.sqrt(e0 * e0 + 4.0 * r * i0 * size))
    return _leaky(volts, np.sign(volts) * i0 * s * s, 2.0 * i0 * s / (e0 + 2.0 * r * i0 * s))


def constant_torque(volts: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Permanent-magnet motor with constant torque; parameters R Ω, I₀ A: V/R below R·I₀ (stalled), else I₀."""
    import numpy as np

    r, i0 = p[:, 0], p[:, 1]
    stalled = np.abs(volts) < r * i0
    return _leaky(volts, np.where(stalled, volts / r, np.sign(volts) * i0), np.where(stalled, 1.0 / r, 0.0))


def constant_power(volts: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Constant power P/V above a floor, a resistance below it; parameters P W, floor V."""
    import numpy as np

    power, floor = p[:, 0], p[:, 1]
    high = volts > floor
    safe = np.where(high, volts, floor)
    low = power / (floor * floor)
    return np.where(high, power / safe, volts * low), np.where(high, -power / (safe * safe), low)


def constant_current(volts: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Constant current above a knee, a resistance below it; parameters I A, knee V."""
    import numpy as np

    amperes, knee = p[:, 0], p[:, 1]
    low = np.abs(volts) < knee
    flat = np.where(low, amperes * volts / knee, np.sign(volts) * amperes)
    return _leaky(volts, flat, np.where(low, amperes / knee, 0.0))


def diode(volts: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Shockley diode behind a resistance; parameters I_s A, n, R_s Ω at 27 °C.

    I = I_s·(exp((V − I·R_s)/(n·V_T)) − 1), solved by the Wright omega function:
    I + I_s = (n·V_T/R_s)·ω(ln(I_s·R_s/(n·V_T)) + (V + I_s·R_s)/(n·V_T)).
    """
    import numpy as np
    from scipy.special import wrightomega

    saturation, emission, series = p[:, 0], p[:, 1], p[:, 2]
    nvt = emission * THERMAL_V
    omega = wrightomega(np.log(saturation * series / nvt) + (volts + saturation * series) / nvt)
    shifted = nvt / series * omega
    slope = omega / (series * (1.0 + omega))
    return _leaky(volts, shifted - saturation, slope)


def battery(volts: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Battery: rest volts behind one resistance discharging and another charging; parameters E V, R_out Ω, R_in Ω.

    Piecewise linear, monotone and continuous at I = 0.
    """
    import numpy as np

    over = volts - p[:, 0]
    siemens = 1.0 / np.where(over > 0.0, p[:, 2], p[:, 1])
    return over * siemens, siemens
