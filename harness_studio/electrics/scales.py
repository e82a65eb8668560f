"""Needles, senders and rates: from what is solved to what a person reads. Vectorised over many solutions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

END_STOP = 0.08
"""How far a needle can go past either end of its scale, as a part of it (common practice, no source)."""


def interpolate(points: Sequence[tuple[float, float]], x: Floats) -> Floats:
    """Return y on straight lines through `points` (x rising), going on past the ends."""
    import numpy as np

    if len(points) == 1:
        return np.full_like(x, points[0][1])
    xs, ys = np.array(points, dtype=np.float64).T
    upper = np.clip(np.searchsorted(xs, x), 1, len(xs) - 1)
    x0, y0 = xs[upper - 1], ys[upper - 1]
    found: Floats = y0 + (ys[upper] - y0) * (x - x0) / (xs[upper] - x0)
    return found


def stopped(needle: Floats) -> Floats:
    """Return needles held by the stops at both ends of their scale."""
    import numpy as np

    return np.clip(needle, -END_STOP, 1.0 + END_STOP)


def ohm_needle(scale: Mapping[float, float], coil_ohm: float, ohm: Floats) -> Floats:
    """Return the needle (0 to 1) of a gauge that sees `ohm` at its sender; inf is an open sender.

    Between the marks the needle follows R/(R + R_coil), the part of the volts that the sender and the coil beside it
    share: it is finite for a short and for an open sender, where the scale of ohms is not.
    """
    import numpy as np

    points = sorted((r / (r + coil_ohm), y) for r, y in scale.items())
    held = np.maximum(ohm, 0.0)
    part = np.where(np.isinf(held), 1.0, 1.0 - coil_ohm / (np.where(np.isinf(held), 0.0, held) + coil_ohm))
    return stopped(interpolate(points, part))


def plain_needle(scale: Mapping[float, float], value: Floats) -> Floats:
    """Return the needle of a gauge whose scale is in volts or amperes."""
    return stopped(interpolate(sorted(scale.items()), value))


def mark_words(marks: Mapping[float, str], needle: float) -> str:
    """Return where a needle stands in words, for example 'at 1/2', 'between 1/2 and F', 'past F'."""
    if not marks:
        return f"{needle:.2f} of the scale"
    places = sorted(marks)
    near = min(places, key=lambda p: abs(p - needle))
    if abs(near - needle) <= 0.02:
        return f"at {marks[near]}"
    below = [p for p in places if p < needle]
    above = [p for p in places if p > needle]
    if below and above:
        return f"between {marks[below[-1]]} and {marks[above[0]]}"
    return f"past {marks[near]}"


def thermistor_c(
    ohm: Floats, table: Mapping[str, float], r25_ohm: float | None, b_k: float | None
) -> Floats | None:
    """Return the temperature at which a thermistor has `ohm`: by its B value, else log-linear between table rows.

    NaN where the ohms are not positive and finite; None where nothing is known of the thermistor.
    """
    import numpy as np

    good = np.isfinite(ohm) & (ohm > 0.0)
    safe = np.where(good, ohm, 1.0)
    if r25_ohm:
        inverse = 1.0 / 298.15 + np.log(safe / r25_ohm) / (b_k or 3500.0)
        good &= inverse > 0.0
        return np.where(good, 1.0 / np.where(good, inverse, 1.0) - 273.15, np.nan)
    points = sorted((float(np.log(r)), c) for c, r in numbered(table) if r > 0.0)
    if len(points) < 2:
        return None
    return np.where(good, interpolate(points, np.log(safe)), np.nan)


def numbered(table: Mapping[str, float]) -> list[tuple[float, float]]:
    """Return (number, value) of the rows of a table whose key is a number, rising."""
    rows = []
    for key, value in table.items():
        try:
            rows.append((float(key), value))
        except ValueError:
            continue
    return sorted(rows)


FLASH_ON_S, FLASH_OFF_S = 0.36, 0.36
"""Lit and dark time of a thermal flasher at its rated lamps: about 83 flashes a minute (constants from memory)."""
ELECTRONIC_PER_MIN = 85.0
"""Rate of an electronic flasher with all lamps (from memory; road law commonly asks for 60 to 120)."""
LEAST_PART = 0.55
"""Current below which a thermal flasher stays lit, as a part of its rated current, where not known (from memory)."""
LAMP_OUT_PART = 0.75
"""Current below which an electronic flasher doubles its rate, as a part of rated, where not known (from memory)."""
NO_CURRENT_A = 1e-3


def flash_rate_per_min(
    movement: str, amperes: Floats, rated_a: float, least_a: float | None, out_a: float | None
) -> Floats:
    """Return flashes a minute; 0 where it stays lit (thermal, too little current) or dark (no current).

    Thermal: the heater lengthens the strip until it snaps, t_on = τ·ln(I²/(I² − I_m²)), with τ set by the rated
    current; less current flashes slower. Electronic: doubled below the lamp-out current.
    """
    import numpy as np

    size = np.abs(amperes)
    if movement == "electronic":
        fast = size < (out_a or LAMP_OUT_PART * rated_a)
        return np.where(size < NO_CURRENT_A, 0.0, np.where(fast, 2.0, 1.0) * ELECTRONIC_PER_MIN)
    least = least_a or LEAST_PART * rated_a
    flashes = size > least * (1.0 + 1e-9)
    squared = np.where(flashes, size, 2.0 * least) ** 2
    full = max(rated_a, 1.0001 * least) ** 2
    on_s = FLASH_ON_S * np.log(squared / (squared - least * least)) / np.log(full / (full - least * least))
    return np.where(flashes, 60.0 / (on_s + FLASH_OFF_S), 0.0)
