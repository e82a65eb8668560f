"""Diameters of single-core vehicle wire."""

from __future__ import annotations

import math
from functools import cache


@cache
def conductor_mm(area_mm2: float) -> float:
    """Return the diameter of a stranded conductor in mm: that of a solid one of its area × 1.13 (to be tabulated)."""
    return 1.13 * math.sqrt(4.0 * area_mm2 / math.pi)


@cache
def outer_mm(area_mm2: float, insulation: str | None) -> float:
    """Return the diameter over the insulation in mm (to be tabulated)."""
    return conductor_mm(area_mm2) + 0.8
