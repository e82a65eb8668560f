"""Numbers with their units as they are printed."""

from __future__ import annotations

import math

NONE = "–"
"""Stands where there is no number."""


def volts(value: float | None) -> str:
    """Return volts to a hundredth, in mV below a tenth of a volt: '13.42 V', '31 mV'."""
    if value is None or math.isnan(value):
        return NONE
    if abs(value) < 0.0995:
        return millivolts(value * 1e3)
    return f"{_signed(f'{value:.2f}')} V"


def millivolts(value_mv: float | None) -> str:
    """Return millivolts: '0.4 mV', '312 mV'."""
    if value_mv is None or math.isnan(value_mv):
        return NONE
    return f"{_signed(_digits(value_mv))} mV"


def amperes(value: float | None) -> str:
    """Return a current: '12.3 A', '6.50 A', '40 mA', '0 A'."""
    if value is None or math.isnan(value):
        return NONE
    if abs(value) < 5e-6:
        return "0 A"
    return f"{_signed(_digits(value))} A" if abs(value) >= 1 else f"{_signed(_digits(value * 1e3))} mA"


def watts(value: float | None) -> str:
    """Return a power: '88 W', '2.50 W'."""
    return NONE if value is None or math.isnan(value) else f"{_signed(_digits(value))} W"


def per_cent(share: float) -> str:
    """Return a share: '100 %', '7.4 %'."""
    if abs(share) < 0.0005:
        return "0 %"
    return f"{share * 100:.0f} %" if abs(share) >= 0.0995 else f"{share * 100:.1f} %"


def length(value_mm: float | None) -> str:
    """Return a length in whole mm; 'not known' without one."""
    return "not known" if value_mm is None else f"{value_mm:.0f} mm"


def _digits(value: float) -> str:
    size = abs(value)
    if size < 0.005:
        return "0"
    return f"{value:.2f}" if size < 9.995 else f"{value:.1f}" if size < 99.95 else f"{value:.0f}"


def _signed(text: str) -> str:
    return "0" if text in ("-0", "-0.00", "0.00") else text.replace("-", "−")
