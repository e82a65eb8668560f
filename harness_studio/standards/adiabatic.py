"""What a conductor and its insulation bear for a short time: the adiabatic law and its temperatures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

from harness_studio.standards import insulation, materials, provenance, tables
from harness_studio.standards.figures import Figure, NotJudged

LAW = "IEC 60949 adiabatic law"
METHOD = "adiabatic law"


@dataclass(frozen=True, slots=True)
class ShortLimits:
    """Conductor temperatures of an insulation in °C, and where the limits come from.

    `start_c` is the continuous limit, at which a short circuit finds the conductor; `short_circuit_c` may be reached
    for up to 5 s, `overload_c` for minutes.
    """

    start_c: float
    short_circuit_c: float
    overload_c: float
    source: str
    sureness: str


@cache
def limits(name: str | None, area_mm2: float) -> ShortLimits | NotJudged:
    """Return the short-time temperatures of an insulation name, or why there are none."""
    known = insulation.temperature_class(name) if name else None
    if known is None:
        said = f"insulation '{name}' is not known" if name else "the insulation is not said"
        return NotJudged(f"{said}: no temperature limits, so no short-circuit withstand")
    data = tables.load("adiabatic.yaml")
    above = data["overload"]
    overload_c = known.max_c + float(above["above_class_k"])
    material = data["short_circuit_c"].get(known.material)
    if not isinstance(material, dict):
        mark = provenance.of(above)
        source = f"{known.source}; {mark.source}"
        return ShortLimits(
            known.max_c, overload_c, overload_c, source, provenance.lower(known.sureness, mark.sureness)
        )
    thick = area_mm2 > 300 and "above" in material
    short_c = float(material["above" if thick else "up_to_300_mm2"])
    mark = provenance.of(material, data["short_circuit_c"])
    return ShortLimits(
        known.max_c,
        max(short_c, known.max_c),
        min(overload_c, max(short_c, known.max_c)),
        f"{known.source}; {mark.source}",
        provenance.lower(known.sureness, mark.sureness),
    )


@cache
def k_factor(material: str, start_c: float, end_c: float) -> Figure:
    """Return k of S = sqrt(I² t)/k, in A sqrt(s)/mm²: K sqrt(ln((T_end + β)/(T_start + β))), IEC 60949.

    0 where the end is not above the start.

    Raises
    ------
    ValueError
        If the material is not in the data.
    """
    metal = materials.material(material)
    warmed = (end_c + metal.beta_c) / (start_c + metal.beta_c)
    value = metal.adiabatic_k * math.sqrt(math.log(warmed)) if warmed > 1 else 0.0
    marks = [metal.provenance["adiabatic_k"], metal.provenance["beta_c"]]
    source = f"{LAW}, K {metal.adiabatic_k:g}, β {metal.beta_c:g} °C: " + "; ".join(
        dict.fromkeys(mark.source for mark in marks)
    )
    sureness = provenance.lower(marks[0].sureness, marks[1].sureness)
    return Figure(value, "A√s/mm²", METHOD, LAW, source, sureness, f"{start_c:g} to {end_c:g} °C")


def adiabatic_s() -> float:
    """Return how long the adiabatic law is taken to hold, in s."""
    return float(_row("adiabatic_s")["value"])


def insulation_heat_capacity_j_per_k_mm3() -> float:
    """Return the volumetric heat capacity taken for every insulation."""
    return float(_row("heat_capacity_j_per_k_mm3")["value"])


def _row(name: str) -> dict[str, Any]:
    row: dict[str, Any] = tables.load("adiabatic.yaml")[name]
    return row
