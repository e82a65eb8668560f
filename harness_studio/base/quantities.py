"""Readings as people type them: '0.405', '405 mV', '12,6 V', '44A', '70 mΩ'."""

from __future__ import annotations

import re

from .units import number

_QUANTITY = re.compile(r"([+\-−]?[\d.,]+(?:[eE][+-]?\d+)?)\s*([a-zA-ZµμΩΩ]*)")
_FACTORS = {"": 1.0, "m": 1e-3, "u": 1e-6, "µ": 1e-6, "μ": 1e-6, "k": 1e3}
_UNITS = {"v": "V", "a": "A", "ω": "Ω", "ohm": "Ω", "ohms": "Ω"}


def quantity(text: str, unit: str) -> float:
    """Read a number in `unit` ('V', 'mV', 'A' or 'Ω'); a number alone is meant in that unit.

    Raises
    ------
    ValueError
        If the text is no number, or its unit is of another kind.
    """
    found = _QUANTITY.fullmatch(text.strip())
    if not found:
        raise ValueError(f"'{text}' is not a reading: write a number, as 0.405 or 405 m{unit[-1]}")
    value = number(found[1].replace("−", "-"))
    if not found[2]:
        return value
    written = _split(found[2])
    wanted = _split(unit)
    if written is None or wanted is None or written[1] != wanted[1]:
        raise ValueError(f"'{text}' is not in {unit}: write a number, as 0.405 {unit}")
    return value * written[0] / wanted[0]


def _split(unit: str) -> tuple[float, str] | None:
    """Return (factor, base unit) of 'mV', 'kΩ', 'ohm'; None for what is none of them."""
    for prefix in ("", "m", "u", "µ", "μ", "k"):
        rest = unit.removeprefix(prefix) if unit.startswith(prefix) else ""
        base = _UNITS.get(rest.lower().replace("Ω", "ω"))
        if base is not None:
            return _FACTORS[prefix], base
    return None
