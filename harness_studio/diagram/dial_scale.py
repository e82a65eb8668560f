"""The dial's scale: from the clean joint by tenfold steps to ten ohms, then open."""

from __future__ import annotations

import math

MOST_OHM = 10.0
OPEN_FROM = 0.97
"""Part of the arc from which the joint is open; the resistances take what lies before."""
LEAST_OHM = 1e-5
STEP = 0.02


def ohm_at(part: float, clean_ohm: float) -> float:
    """Return the resistance at a part of the arc, 0 (clean) to 1 (open: infinite)."""
    if part >= OPEN_FROM:
        return math.inf
    least = max(clean_ohm, LEAST_OHM)
    if part <= 0.0:
        return clean_ohm
    return least * float((MOST_OHM / least) ** (part / OPEN_FROM))


def part_of(ohm: float, clean_ohm: float) -> float:
    """Return where on the arc a resistance lies, 0 to 1."""
    if math.isinf(ohm):
        return 1.0
    least = max(clean_ohm, LEAST_OHM)
    if ohm <= least:
        return 0.0
    return min(OPEN_FROM - 1e-9, OPEN_FROM * math.log(ohm / least) / math.log(MOST_OHM / least))


def ohm_words(ohm: float) -> tuple[str, str]:
    """Return (number, unit) of a resistance: ('180', 'mΩ'), ('0.45', 'mΩ'), ('2.5', 'Ω'), ('open', '')."""
    if math.isinf(ohm):
        return "open", ""
    if ohm >= 1.0:
        return f"{ohm:.3g}", "Ω"
    return f"{ohm * 1e3:.3g}", "mΩ"


def typed_ohm(text: str) -> float | None:
    """Return what was typed, in milliohms ('180', '0,5'); 'o' is open; None if it is no resistance."""
    if text.strip().lower() in ("o", "open"):
        return math.inf
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return None
    return value / 1e3 if math.isfinite(value) and value >= 0 else None
