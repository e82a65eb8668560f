"""What a wire may carry continuously: by heat balance, or by a handbook table; always with its steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from harness_studio.standards import ampacity as handbook
from harness_studio.standards import bundles, provenance
from harness_studio.standards.figures import Figure, NotJudged, notes

from . import wire
from .cable import Around, Cable

Method = Literal["heat balance", "handbook table"]
METHODS: tuple[Method, ...] = ("heat balance", "handbook table")

LAW = "Churchill-Chu 1975, radiation, insulation"
_SOURCE = (
    "heat balance in still air: Churchill and Chu 1975 (horizontal cylinder), emissivity 0.9, "
    "insulation 0.2 W/(m K)"
)
ABOVE_GUIDE_MM2 = 25.0
"""Above this size the heat balance gives 10 to 20 % more than the guide currents of DIN VDE 0298-4: it says so."""


@dataclass(frozen=True, slots=True)
class Ampacity:
    """Amperes a wire may carry continuously, and the steps that lead there.

    `figure` is the answer with method, table and source; `steps` are free air, bundle and altitude where they were
    taken; `limit_c` is what the insulation bears.
    """

    figure: Figure
    steps: tuple[Figure, ...]
    limit_c: float


def ampacity(
    cable: Cable, around: Around, method: Method = "heat balance", table: str | None = None
) -> Ampacity | NotJudged:
    """Return what a wire may carry by the chosen method.

    Where the heat balance lacks a bundle factor (more wires than the published curve knows), the first handbook table
    that judges serves, and the note says why.

    Parameters
    ----------
    cable, around
        The wire and what is around it.
    method
        One of `METHODS`.
    table
        Handbook table; None takes the first that judges.
    """
    if method == "handbook table":
        return by_handbook(cable, around, table)
    balanced = by_heat_balance(cable, around)
    company = bundles.factor(around.in_run, around.share)
    if isinstance(balanced, Ampacity) or isinstance(company, Figure):
        return balanced
    read = by_handbook(cable, around, table)
    if isinstance(read, NotJudged):
        return NotJudged(f"{balanced.why}; {read.why}")
    return Ampacity(replace(read.figure, note=notes(company.why, read.figure.note)), read.steps, read.limit_c)


def by_heat_balance(cable: Cable, around: Around) -> Ampacity | NotJudged:
    """Return free-air ampacity × bundle factor × altitude factor."""
    free = free_air(cable, around.ambient_c)
    if isinstance(free, NotJudged):
        return free
    factors = (bundles.factor(around.in_run, around.share), bundles.altitude_factor(around.altitude_m))
    refused = [f.why for f in factors if isinstance(f, NotJudged)]
    if refused:
        return NotJudged("; ".join(refused))
    steps = [free, *(f for f in factors if isinstance(f, Figure) and f.value != 1.0)]
    limit_c = limit_of(cable)
    assert not isinstance(limit_c, NotJudged), "free air has been judged"
    return Ampacity(_product(steps), tuple(steps), limit_c)


def by_handbook(cable: Cable, around: Around, table: str | None = None) -> Ampacity | NotJudged:
    """Return what a handbook table gives, with its own way of counting bundles; None takes the first that judges.

    Raises
    ------
    ValueError
        If there is no such table.
    """
    limit_c = limit_of(cable)
    if isinstance(limit_c, NotJudged):
        return limit_c
    if cable.material != "copper":
        return NotJudged(f"the handbook tables are for copper, this wire is of {cable.material}")
    why: list[str] = []
    for name in (table,) if table else handbook.table_names(bundled=around.in_run > 1):
        found = handbook.rating(name, cable.area_mm2, limit_c, around.ambient_c, around.in_run, around.share)
        if isinstance(found, Figure):
            return _thinned(found, around, limit_c, handbook.altitude_m(name))
        why.append(found.why)
    return NotJudged("; ".join(why))


@lru_cache(maxsize=4096)
def free_air(cable: Cable, ambient_c: float) -> Figure | NotJudged:
    """Return the current at which a wire alone in still air at sea level reaches its insulation's limit."""
    import numpy as np

    limit_c = limit_of(cable)
    if isinstance(limit_c, NotJudged):
        return limit_c
    if ambient_c >= limit_c:
        return NotJudged(f"air of {ambient_c:g} °C is not below the insulation's limit of {limit_c:g} °C")
    amperes = wire.free_air_a(
        np.array([cable.resistance.value]),
        np.array([cable.alpha_per_k]),
        np.array([cable.conductor.value_mm]),
        np.array([cable.outer.value_mm]),
        np.array([float(ambient_c)]),
        np.array([limit_c]),
    )
    sureness = "computed"
    for figure in (cable.resistance, cable.conductor, cable.outer, cable.insulation_class):
        sureness = provenance.lower(sureness, figure.sureness) if figure else sureness
    large = cable.area_mm2 > ABOVE_GUIDE_MM2
    note = notes(
        cable.outer.note,
        "at this size the heat balance lies 10 to 20 % above the guide currents of DIN VDE 0298-4"
        if large
        else "",
    )
    return Figure(float(amperes[0]), "A", "heat balance", LAW, _SOURCE, sureness, note)


def load_of_capacity(amperes: Sequence[float], free_air_a: Sequence[float]) -> float:
    """Return the current of all wires in a run over what they would carry in free air (`bundles.used_share`'s load).

    Raises
    ------
    ValueError
        If the wires carry nothing between them in free air.
    """
    capacity = sum(free_air_a)
    if not capacity > 0:
        raise ValueError("wires that may carry nothing have no share of capacity")
    return sum(abs(a) for a in amperes) / capacity


def limit_of(cable: Cable) -> float | NotJudged:
    """Return what a cable's insulation bears continuously in °C, or why the cable cannot be judged."""
    if not cable.area_mm2 > 0:
        return NotJudged("the wire's size is not known")
    if cable.limit_c is None:
        said = (
            f"insulation '{cable.insulation}' is not known"
            if cable.insulation
            else "the insulation is not said"
        )
        return NotJudged(f"{said}: no temperature limit, so no ampacity")
    return cable.limit_c


def _thinned(found: Figure, around: Around, limit_c: float, allowed_m: float) -> Ampacity | NotJudged:
    """Return a table's figure in thin air, unless the table allows for that altitude already."""
    if around.altitude_m <= allowed_m:
        return Ampacity(found, (found,), limit_c)
    thin = bundles.altitude_factor(around.altitude_m)
    if isinstance(thin, NotJudged):
        return thin
    steps = (found, thin)
    return Ampacity(_product(steps), steps, limit_c)


def _product(steps: Sequence[Figure]) -> Figure:
    """Return the first figure times the factors after it, as sure as the least sure of them."""
    first = steps[0]
    value, sureness = first.value, first.sureness
    for step in steps[1:]:
        value *= step.value
        sureness = provenance.lower(sureness, step.sureness)
    return Figure(
        value,
        first.unit,
        first.method,
        "; ".join(dict.fromkeys(step.table for step in steps)),
        "; ".join(dict.fromkeys(step.source for step in steps)),
        sureness,
        notes(*(step.note for step in steps)),
    )
