"""Wires and the joints at their ends."""

from __future__ import annotations

from functools import cache

from harness_studio.base.ids import split_point
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.standards import joints as clean
from harness_studio.standards import wires as sizes

from .builder import Builder
from .conductors import Air, alpha_per_k, diameters_mm, heat_j_per_k_m, limit_c
from .network import ResolvedMode

ASSUMED_LENGTH_MM = 1000.0
"""Taken, and said so, where a wire's length is not known."""
ASSUMED_AREA_MM2 = 1.0
"""Taken, and said so, where a wire's size is not known."""
_RING_KINDS = frozenset({"starter", "alternator", "dynamo", "bus_bar", "cut_off", "link"})
LUG_FROM_MM2 = 10.0
"""From this size on a conductor ends in a cable lug under a stud (common practice, no source)."""


@cache
def _clean_ohm(kind: str, size: str | float | None = None) -> float:
    return clean.clean_ohm(kind, size=size).value_ohm


def area_mm2(wire: Wire) -> float | None:
    """Return the conductor's area, from its AWG number if that is what is known."""
    if wire.area_mm2 is not None:
        return wire.area_mm2
    return sizes.area_from_awg_mm2(wire.awg) if wire.awg is not None else None


def length_mm(harness: Harness, wire: Wire) -> float | None:
    """Return a wire's length: as given, else its runs with tails and slack; None if that is not known either."""
    if wire.length_mm is not None:
        return wire.length_mm
    if not wire.runs:
        return None
    total = sum(wire.tails_mm or ()) + (wire.slack_mm or 0.0)
    for run_id in wire.runs:
        run_mm = harness.runs[run_id].length_mm
        if run_mm is None:
            return None
        total += run_mm
    return total


def metal(build: Builder, harness: Harness, wire: Wire) -> tuple[float, float, float]:
    """Return a wire's (area in mm², length in m, ohms per metre at 20 °C), noting what was assumed."""
    area = area_mm2(wire)
    if area is None:
        build.assume(wire.id, f"size not known, {ASSUMED_AREA_MM2:g} mm² assumed")
        area = ASSUMED_AREA_MM2
    length = length_mm(harness, wire)
    if length is None:
        build.assume(wire.id, f"length not known, {ASSUMED_LENGTH_MM / 1000:g} m assumed")
        length = ASSUMED_LENGTH_MM
    return area, length / 1000.0, sizes.resistance_per_m_ohm(area, wire.material).value


def expand_wires(build: Builder, harness: Harness, mode: ResolvedMode) -> None:
    """Add every wire with its crimps and contacts, and the rings on every stud."""
    at_ground: dict[str, list[str]] = {g: [] for g in harness.grounds}
    air = Air(harness, mode)
    for wire in harness.wires.values():
        first = build.point(f"~{wire.id}.1")
        second = build.point(f"~{wire.id}.2")
        size, length_m, ohm_per_m = metal(build, harness, wire)
        number = build.branch(wire.id, "wire", first, second, ohm_per_m * length_m)
        build.conductors.append(
            (
                float(number),
                length_m,
                ohm_per_m,
                alpha_per_k(wire.material),
                *diameters_mm(size, wire.insulation),
                air.ambient_c(wire),
                limit_c(wire.insulation),
                heat_j_per_k_m(size, wire.insulation, wire.material),
            )
        )
        for core, end in ((first, wire.ends[0]), (second, wire.ends[1])):
            if end.what == "point":
                _end(build, harness, wire.id, size, core, end.text, at_ground)
    for ground_id, wires in at_ground.items():
        _stack(build, harness, ground_id, wires)


def _end(
    build: Builder,
    harness: Harness,
    wire_id: str,
    size: float,
    core: int,
    at: str,
    at_ground: dict[str, list[str]],
) -> None:
    if at in harness.splices:
        number = build.joint(
            f"{at}/{wire_id}", "splice_leg", core, build.point(at), _clean_ohm("splice_leg", size)
        )
        build.alias(f"{wire_id}@{at}", core)
        build.joint_alias(f"{wire_id}@{at}", number)
        return
    address = f"{wire_id}@{at}"
    if at in at_ground:
        at_ground[at].append(wire_id)
        build.joint(address, "crimp", core, build.point(address), _clean_ohm("crimp", size))
        return
    owner = split_point(at)[0]
    if owner in harness.halves:
        metal = build.point(at)
        build.alias(address, metal)
        build.joint(address, "crimp", core, metal, _clean_ohm("crimp", size))
        return
    metal = build.point(address)
    build.joint(address, "crimp", core, metal, _clean_ohm("crimp", size))
    kind, sized = _terminal_kind(harness, owner, size)
    build.joint(f"{at}/{wire_id}", "terminal", metal, build.point(at), _clean_ohm(kind, sized))


def _terminal_kind(harness: Harness, owner: str, size: float) -> tuple[str, str | float | None]:
    """Return which clean joint a wire's metal makes with a part's terminal or a body's place, by kind and wire size."""
    part = harness.parts.get(owner)
    if part and part.kind == "battery":
        return "post_clamp", None
    if part is None or part.kind in _RING_KINDS or size >= LUG_FROM_MM2:
        return "ring", "M8" if size >= LUG_FROM_MM2 else "M6"
    return "terminal_contact", 6.3 if size >= 2.5 else 2.8


def rings(stack: tuple[tuple[str, ...], ...], wires: list[str]) -> list[list[str]]:
    """Return the rings on a stud, the one next to the metal first: as stacked, then each other wire on its own."""
    here = set(wires)
    listed = [[w for w in ring if w in here] for ring in stack]
    known = {w for ring in listed for w in ring}
    return [ring for ring in listed if ring] + [[w] for w in dict.fromkeys(wires) if w not in known]


def _stack(build: Builder, harness: Harness, ground_id: str, wires: list[str]) -> None:
    ground = harness.grounds[ground_id]
    stud = build.point(ground_id)
    for ring in rings(ground.stack, wires):
        first = ring[0]
        metal = build.point(f"{first}@{ground_id}")
        number = build.joint(f"{ground_id}/{first}", "ring", metal, stud, _clean_ohm("ring", ground.stud))
        for other in ring[1:]:
            own = build.point(f"{other}@{ground_id}")
            build.branch(f"{first}={other}@{ground_id}", "ring", own, metal, 0.0)
            build.joint_alias(f"{ground_id}/{other}", number)
    if ground.place:
        build.joint(ground_id, "stud", stud, build.point(ground.place), _clean_ohm("stud", ground.stud))
