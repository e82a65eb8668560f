"""How one wire looks: its colours and how broad it is drawn by its size."""

from __future__ import annotations

import math

from harness_studio.model.entities import Wire
from harness_studio.standards import colours, wires

from .pixels import NATURAL_PX_PER_MM

LEAST_PX, MOST_PX = 2.2, 7.0
UNKNOWN_PX = 2.4
"""Width at natural size where the wire's size is not known."""


def codes(wire: Wire) -> tuple[str, ...]:
    """Return the single colours of a wire, base first; none where its colour is not known."""
    if not wire.colour:
        return ()
    found: list[str] = []
    for code in wire.colour.split("/"):
        try:
            found.extend(colours.stripes(code))
        except ValueError:
            return ()
    return tuple(dict.fromkeys(found))


def area_mm2(wire: Wire) -> float | None:
    """Return the wire's conductor area, or None where its size is not known."""
    if wire.area_mm2 is not None:
        return wire.area_mm2
    return wires.area_from_awg_mm2(wire.awg) if wire.awg is not None else None


def width_mm(wire: Wire) -> float:
    """Return how broad a wire is drawn: by the square root of its area, so that a thick cable does not drown others."""
    area = area_mm2(wire)
    px = UNKNOWN_PX if area is None else min(MOST_PX, max(LEAST_PX, 1.5 + 1.15 * math.sqrt(area)))
    return px / NATURAL_PX_PER_MM


def colour_words(wire: Wire) -> str:
    """Return the colour in words and code, 'brown with white tracer (BN/WH)'; 'colour not known' without one."""
    if not wire.colour:
        return "colour not known"
    return f"{colours.words(wire.colour.split('/'))} ({wire.colour})"


def size_words(wire: Wire) -> str:
    """Return the size as it was written, '1.5 mm²' or 'AWG 14'; 'size not known' without one."""
    if wire.area_mm2 is not None:
        return f"{wire.area_mm2:g} mm²"
    return f"AWG {wire.awg}" if wire.awg is not None else "size not known"
