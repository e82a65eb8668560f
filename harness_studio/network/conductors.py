"""What heats and cools a wire: its metal, its size, and the air around it."""

from __future__ import annotations

import math
from functools import cache

from harness_studio.base.ids import split_point
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import Spot
from harness_studio.standards import adiabatic, cables, insulation, materials

from .network import ResolvedMode

AMBIENT_C = 20.0
"""Air temperature of a zone that does not say it, and of wires in no zone."""
LIMIT_C = 85.0
"""Limit of an insulation that is not known: that of general-purpose PVC wire (SAE J1128 GPT, seen once)."""


@cache
def limit_c(name: str | None) -> float:
    """Return the temperature limit of an insulation in °C."""
    found = insulation.temperature_class(name) if name else None
    return found.max_c if found else LIMIT_C


@cache
def alpha_per_k(material: str) -> float:
    """Return the temperature coefficient of a conductor's resistance at 20 °C."""
    return materials.material(material).alpha_per_k


@cache
def diameters_mm(area_mm2: float, name: str | None) -> tuple[float, float]:
    """Return (conductor, outer) diameter."""
    return cables.conductor_mm(area_mm2), cables.outer_mm(area_mm2, name)


@cache
def heat_j_per_k_m(area_mm2: float, name: str | None, material: str) -> float:
    """Return the heat that a metre of wire takes up per kelvin: conductor and insulation."""
    conductor_mm, outer_mm = diameters_mm(area_mm2, name)
    conductor = materials.material(material).heat_capacity_j_per_k_mm3 * area_mm2
    ring_mm2 = math.pi / 4 * (outer_mm**2 - conductor_mm**2)
    return 1e3 * (conductor + adiabatic.insulation_heat_capacity_j_per_k_mm3() * ring_mm2)


class Air:
    """Ambient temperature by wire: the warmest zone it is known to pass."""

    def __init__(self, harness: Harness, mode: ResolvedMode) -> None:
        self._harness = harness
        self._by_zone = {
            z.id: z.ambient_c if z.ambient_c is not None else AMBIENT_C for z in harness.zones.values()
        }
        self._by_zone.update(mode.ambient_c)
        self._of_owner: dict[str, set[str | None]] = {}
        for table in (harness.parts, harness.halves, harness.splices, harness.grounds):
            for key, entity in table.items():
                self._of_owner[key] = {entity.zone} if entity.zone else self._spot_zones(entity.at)
        for held, box in harness.boxes_of_parts().items():
            self._of_owner[held] = self._of_owner[held] or self._of_owner[box]
        for half in harness.halves.values():
            if not self._of_owner[half.id] and half.part:
                self._of_owner[half.id] = self._of_owner.get(half.part, set())

    def _spot_zones(self, at: Spot | None) -> set[str | None]:
        """Return the zones of a thing that names none itself: those of its breakout, or of the run it sits on."""
        if at is None:
            return set()
        if at.breakout:
            return {self._harness.breakouts[at.breakout].zone} - {None}
        return self._run_zones(at.run) - {None} if at.run else set()

    def _run_zones(self, run_id: str) -> set[str | None]:
        run = self._harness.runs[run_id]
        return {run.zone, *(self._harness.breakouts[b].zone for b in run.ends)}

    def ambient_c(self, wire: Wire) -> float:
        """Return the warmest ambient on the wire's way: its runs, their breakouts, and what its ends belong to."""
        zones: set[str | None] = set()
        for run_id in wire.runs:
            zones |= self._run_zones(run_id)
        for end in wire.ends:
            if end.what == "point":
                zones |= self._of_owner.get(split_point(end.text)[0], set())
        known = [self._by_zone[z] for z in zones if z is not None and z in self._by_zone]
        return max(known, default=AMBIENT_C)
