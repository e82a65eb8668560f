"""Needles, senders and rates: from what is solved to what a person reads."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

END_STOP = 0.08
"""How far a needle can go past either end of its scale, as a part of it (common practice, no source)."""


def interpolate(points: Sequence[tuple[float, float]], x: float) -> float:
    """Return y on straight lines through `points` (x rising), going on past the ends."""
    if len(points) == 1:
        return points[0][1]
    upper = next((i for i, point in enumerate(points) if i and x <= point[0]), len(points) - 1)
    (x0, y0), (x1, y1) = points[upper - 1], points[upper]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def stopped(needle: float) -> float:
    """Return a needle held by the stops at both ends of its scale."""
    return min(1.0 + END_STOP, max(-END_STOP, needle))


def ohm_needle(scale: Mapping[float, float], coil_ohm: float, ohm: float) -> float:
    """Return the needle (0 to 1) of a gauge that sees `ohm` at its sender.

    Between the marks the needle follows R/(R + R_coil), the part of the volts that the sender and the coil beside it
    share: it is finite for a short and for an open sender, where the scale of ohms is not.
    """
    points = sorted((r / (r + coil_ohm), y) for r, y in scale.items())
    part = 1.0 if math.isinf(ohm) else max(ohm, 0.0) / (max(ohm, 0.0) + coil_ohm)
    return stopped(interpolate(points, part))


def plain_needle(scale: Mapping[float, float], value: float) -> float:
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
    ohm: float, table: Mapping[str, float], r25_ohm: float | None, b_k: float | None
) -> float | None:
    """Return the temperature at which a thermistor has `ohm`: by its B value, else log-linear between table rows.

    None where the ohms are not positive and finite, or nothing is known of the thermistor.
    """
    if not (math.isfinite(ohm) and ohm > 0.0):
        return None
    if r25_ohm:
        inverse = 1.0 / 298.15 + math.log(ohm / r25_ohm) / (b_k or 3500.0)
        return 1.0 / inverse - 273.15 if inverse > 0.0 else None
    rows = numbered(table)
    if len(rows) < 2:
        return None
    points = sorted((math.log(r), c) for c, r in rows if r > 0.0)
    return interpolate(points, math.log(ohm))


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


def flash_rate_per_min(
    movement: str, amperes: float, rated_a: float, least_a: float | None, out_a: float | None
) -> float:
    """Return flashes a minute; 0 where it stays lit (thermal, too little current) or dark (no current).

    Thermal: the heater lengthens the strip until it snaps, t_on = τ·ln(I²/(I² − I_m²)), with τ set by the rated
    current; less current flashes slower. Electronic: doubled below the lamp-out current.
    """
    size = abs(amperes)
    if size < 1e-3:
        return 0.0
    if movement == "electronic":
        return 2.0 * ELECTRONIC_PER_MIN if size < (out_a or LAMP_OUT_PART * rated_a) else ELECTRONIC_PER_MIN
    least = least_a or LEAST_PART * rated_a
    if size <= least:
        return 0.0

    def heating(i: float) -> float:
        return math.log(i * i / (i * i - least * least))

    on_s = FLASH_ON_S * heating(size) / heating(max(rated_a, 1.0001 * least))
    return 60.0 / (on_s + FLASH_OFF_S)
