"""Quantities as people write them: '18 AWG', '1,5 mm²', '2 m', '40"', and how they are shown."""

from __future__ import annotations

import math
import re

_NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"
_LENGTH = re.compile(rf"({_NUMBER})\s*(mm|cm|m|in|inch|\"|ft|')?", re.I)
_AREA = re.compile(rf"({_NUMBER})\s*(?:mm2|mm²|mm\^2|qmm|sq ?mm)", re.I)
_AWG = re.compile(r"(?:awg\s*|#\s*)?(0{1,4}|\d{1,2}|[1-4]/0)(?:\s*(?:awg|ga|gauge))?", re.I)
_MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, '"': 25.4, "ft": 304.8, "'": 304.8}


def number(text: str) -> float:
    """Read a finite number; a comma may stand for the decimal point.

    Raises
    ------
    ValueError
        If the text is no finite number.
    """
    if not re.fullmatch(_NUMBER, text.strip()):
        raise ValueError(f"'{text}' is not a number")
    value = float(text.strip().replace(",", "."))
    if not math.isfinite(value):
        raise ValueError(f"'{text}' is not a finite number")
    return value


_FRACTION = re.compile(r"(?:(\d+)[ -]+)?(\d+)/(\d+)\s*(?:in|inch|\")", re.I)
_FEET = re.compile(r"(\d+)\s*(?:ft|')\s*(\d+(?:[.,]\d+)?)\s*(?:in|inch|\")?", re.I)


def length_mm(text: str) -> float:
    """Read a length with its unit (mm where none is given) in millimetres; '3/4 in' and 3' 4" are lengths, too.

    Raises
    ------
    ValueError
        If the text is no length.
    """
    fraction = _FRACTION.fullmatch(text.strip())
    if fraction and int(fraction[3]):
        return (int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])) * _MM_PER["in"]
    feet = _FEET.fullmatch(text.strip())
    if feet:
        return int(feet[1]) * _MM_PER["ft"] + number(feet[2]) * _MM_PER["in"]
    found = _LENGTH.fullmatch(text.strip())
    if not found:
        raise ValueError(f"'{text}' is not a length: write 420, 42 cm, 1.2 m or 16 in")
    return number(found[1]) * _MM_PER[(found[2] or "mm").lower()]


def size(text: str) -> tuple[float | None, str | None]:
    """Read a wire size: (area in mm², None) or (None, AWG number).

    Raises
    ------
    ValueError
        If the unit is missing or unknown: '18' alone may be either.
    """
    text = text.strip()
    area = _AREA.fullmatch(text)
    if area:
        return number(area[1]), None
    awg = _AWG.fullmatch(text)
    if awg and not re.fullmatch(r"\d+", text):
        return None, normal_awg(awg[1])
    raise ValueError(f"'{text}' is not a size with its unit: write 1.5 mm² or 14 AWG")


def normal_awg(text: str) -> str:
    """Return an AWG number in one form: '2/0' for '00', '14' for '14'."""
    text = text.strip().lower().removeprefix("awg").removeprefix("#").removesuffix("awg").strip()
    if re.fullmatch(r"0{2,4}", text):
        return f"{len(text)}/0"
    if text == "1/0":
        return "0"
    if not re.fullmatch(r"[2-4]/0|\d{1,2}", text):
        raise ValueError(f"'{text}' is not an AWG number: write 14, 0 or 2/0")
    return text


def show_mohm(ohm: float) -> str:
    """Return a resistance as a person reads it: '0.20 mΩ', '180 mΩ', '2.4 Ω', 'open'."""
    if math.isinf(ohm):
        return "open"
    mohm = ohm * 1e3
    if abs(mohm) >= 1000:
        return f"{ohm:.3g} Ω"
    return f"{mohm:.3g} mΩ" if abs(mohm) >= 10 else f"{mohm:.2f} mΩ"
