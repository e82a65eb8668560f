"""Numbers and names as findings say them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from harness_studio.base.units import show_mohm
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness

LISTED = 5


def amps(value: float) -> str:
    """Return a current: '12.3 A', '6.5 A', '47 mA', '1320 A'."""
    size = abs(value)
    if size < 0.9995:
        return f"{size * 1e3:.0f} mA"
    return f"{size:.3g} A" if size < 999.5 else f"{size:.0f} A"


def volts(value: float) -> str:
    """Return volts with their sign: '0.31 V', '12.4 V', '8.2 mV', '-35 mV'."""
    return f"{value * 1e3:.2g} mV" if abs(value) < 0.00995 else f"{value:.3g} V"


def of_ohms(drop_v: float, amperes: float) -> str:
    """Return what a drop means in milliohms: 0.2 V is fine at 100 A and terrible at 1 A."""
    return show_mohm(abs(drop_v / amperes)) if amperes else "no current"


def seconds(value: float) -> str:
    """Return a time: '0.12 s', '5 s', '12 min', 'never'."""
    if math.isinf(value):
        return "never"
    if value > 600:
        return f"{value / 60:.0f} min"
    return f"{value:.0f} s" if value >= 10 else f"{value:.2g} s"


def size(wire: Wire) -> str:
    """Return a wire's size as it was recorded: '1.5 mm²', 'AWG 14'."""
    if wire.area_mm2 is not None:
        return area(wire.area_mm2)
    return f"AWG {wire.awg}" if wire.awg is not None else "size not known"


def area(area_mm2: float) -> str:
    """Return an area: '1.5 mm²'."""
    return f"{area_mm2:.3g} mm²"


def listed(names: Sequence[str], most: int = LISTED) -> str:
    """Return names with commas, the rest counted: 'W1, W2 and 12 more'."""
    shown = list(names[:most])
    if len(names) > most:
        return f"{', '.join(shown)} and {len(names) - most} more"
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}" if shown else ""


def load_name(harness: Harness, element: str) -> str:
    """Return a load as a person reads it: 'E5 rear lamp left, stop'."""
    part, _, name = element.partition("/")
    return harness.title_of(part) + (f", {name}" if name else "")
