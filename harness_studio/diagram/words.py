"""Numbers as a person reads them on the diagram and in the drawer; always with their unit."""

from __future__ import annotations


def amperes(value: float) -> str:
    """Return a current: '31 A', '6.5 A', '0.04 A', '0 A'."""
    size = abs(value)
    if size < 0.0005:
        return "0 A"
    if size < 0.1:
        return f"{signed(value, 3 if size < 0.01 else 2)} A"
    return f"{signed(value, 0 if size >= 100 else 1)} A"


def volts(value: float) -> str:
    """Return volts: '13.9 V', '0.02 V'."""
    return f"{signed(value, 1 if abs(value) >= 2 else 2)} V"


def millivolts(value: float) -> str:
    """Return millivolts: '1800 mV', '12 mV', '0.3 mV'."""
    size = abs(value)
    if size < 0.05:
        return "0 mV"
    return f"{signed(value, 0 if size >= 10 else 1)} mV"


def per_cent(share: float) -> str:
    """Return a share: '100 %', '48 %', '< 1 %'."""
    size = abs(share) * 100
    if 0 < size < 0.95:
        return "< 1 %"
    return f"{size:.0f} %"


def signed(value: float, digits: int) -> str:
    """Return a number with a true minus sign, and no minus at zero."""
    text = f"{abs(value):.{digits}f}"
    return f"−{text}" if value < 0 and float(text) != 0 else text


def counted(number: int, one: str, many: str | None = None) -> str:
    """Return '1 wire', '3 wires'."""
    return f"{number} {one if number == 1 else many or one + 's'}"
