"""Numbers with units as people type them, in the unit of the key they are for."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import TypeVar

from harness_studio.base.units import length_mm, number, size
from harness_studio.model.forms import Number
from harness_studio.standards.wires import area_from_awg_mm2
from harness_studio.storage.trees import number_text

Found = TypeVar("Found")
_OHM = {"ohm": 1.0, "ohms": 1.0, "Ω": 1.0, "\u2126": 1.0, "r": 1.0}
_OHMS = {
    **_OHM,
    **{f"m{w}": 1e-3 for w in _OHM if w != "r"},
    **{f"k{w}": 1e3 for w in _OHM if w != "r"},
    **{f"M{w}": 1e6 for w in _OHM if w != "r"},
    "k": 1e3,
}
_SCALES: dict[str, dict[str, float]] = {
    "V": {"v": 1.0, "volt": 1.0, "volts": 1.0, "mv": 1e-3},
    "A": {"a": 1.0, "amp": 1.0, "amps": 1.0, "ampere": 1.0, "amperes": 1.0, "ma": 1e-3},
    "mA": {"ma": 1.0, "a": 1e3},
    "Ah": {"ah": 1.0},
    "W": {"w": 1.0, "watt": 1.0, "watts": 1.0, "kw": 1e3},
    "Ω": _OHMS,
    "mΩ": {w: f * 1e3 for w, f in _OHMS.items()},
    "°C": {"c": 1.0, "°c": 1.0, "℃": 1.0},
    "K": {"k": 1.0},
    "km": {"km": 1.0, "m": 1e-3, "mi": 1.609344, "miles": 1.609344},
    "s": {"s": 1.0, "min": 60.0, "h": 3600.0},
}
_SPLIT = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(.*)", re.S)
_FAHRENHEIT = ("f", "°f", "℉")
_EXAMPLES = {
    "mm": "420, 42 cm, 1.2 m or 16 in", "mm²": "1.5 mm² or 14 AWG", "Ω": "90, 90 ohm or 1.2 kohm",
    "mΩ": "180, 180 mohm or 0.5 ohm", "°C": "85 or 185 °F", "A": "7.5, 7.5 A or 200 mA", "V": "13.5 or 13.5 V",
}  # fmt: skip


class Refused(ValueError):
    """What was typed cannot be read; the message is one line: what, and what would be right."""


def read_number(form: Number, text: str) -> float:
    """Read a number in the unit of its key; another unit of the same quantity is converted.

    Raises
    ------
    Refused
        If the text is no such number.
    """
    text = text.strip()
    if form.marker == "mohm" and text.lower() == "open":
        return math.inf
    value = _in_unit(text, form.unit)
    if form.whole:
        if value != int(value):
            raise Refused(f"'{text}' is not a whole number")
        return int(value)
    value = float(f"{value:.10g}")
    if form.marker == "positive" and value <= 0:
        raise Refused(f"'{text}' is not above 0")
    if form.marker in ("not_negative", "mohm") and value < 0:
        raise Refused(f"'{text}' is below 0")
    return value


def _in_unit(text: str, unit: str) -> float:
    if unit == "mm":
        return _told(length_mm, text)
    if unit == "mm²":
        return area_of(*_told(read_size, text))
    found = _SPLIT.fullmatch(text)
    if not found:
        raise Refused(_not_a_number(text, unit))
    value, said = _told(number, found[1]), found[2].strip()
    if not said:
        return value
    if unit == "°C" and said.lower() in _FAHRENHEIT:
        return (value - 32.0) / 1.8
    factor = _factor(said, unit)
    if factor is None:
        raise Refused(_not_a_number(text, unit))
    return value * factor


def _factor(said: str, unit: str) -> float | None:
    if said == unit:
        return 1.0
    known = _SCALES.get(unit, {})
    if said in known:
        return known[said]
    # M is mega where m is milli, so capitals count where a scale knows both.
    lowered = said if said.startswith("M") and f"M{said[1:].lower()}" in known else said.lower()
    return known.get(lowered if lowered in known else said[:1] + said[1:].lower())


def _not_a_number(text: str, unit: str) -> str:
    if not unit:
        return f"'{text}' is not a number"
    return f"'{text}' is not a number in {unit}: write {_EXAMPLES.get(unit, f'12 or 12 {unit}')}"


def _told(read: Callable[[str], Found], text: str) -> Found:
    try:
        return read(text)
    except ValueError as error:
        raise Refused(str(error)) from None


def read_size(text: str) -> tuple[float | None, str | None]:
    """Read a wire size: (mm², None) or (None, AWG number).

    A bare number with a decimal sign can only be mm², because AWG numbers are whole.

    Raises
    ------
    ValueError
        If it is no size, or may be either.
    """
    bare = text.strip()
    if re.fullmatch(r"\d*[.,]\d+", bare):
        bare += " mm²"
    area, awg = size(bare)
    if area is not None and area <= 0:
        raise ValueError(f"'{text}' is not a size above 0")
    return area, awg


def area_of(area_mm2: float | None, awg: str | None) -> float:
    """Return a size as area in mm²; of an AWG number by ASTM B258."""
    if area_mm2 is not None:
        return area_mm2
    return float(f"{area_from_awg_mm2(awg or ''):.4g}")


def show_number(value: float, unit: str = "") -> str:
    """Return a number with its unit, as it is typed."""
    text = number_text(value)
    return f"{text} {unit}" if unit and text != "open" else text


def show_size(area_mm2: float | None, awg: str | None) -> str:
    """Return a size as it is typed: '1.5 mm²', '14 AWG', or nothing."""
    if area_mm2 is not None:
        return show_number(area_mm2, "mm²")
    return f"{awg} AWG" if awg is not None else ""
