"""Does the fuse clear before the wire is damaged: its time band against what the wire withstands."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import lru_cache

from harness_studio.standards import adiabatic, fuse_bands, provenance
from harness_studio.standards.adiabatic import ShortLimits
from harness_studio.standards.figures import Figure, NotJudged, notes

from . import transient
from .cable import Cable

_COOLED_SOURCE = "warming with the steady heat loss to still air"
_PER_DOUBLING = 6
_BEYOND = 64.0  # times the last limit of a band, to which currents are tried


@dataclass(frozen=True, slots=True)
class Clearing:
    """One current through a fuse and a wire.

    `ok`: the longest time the fuse takes is no longer than the wire withstands. Both times in s; `clears` is infinity
    where the fuse need not clear, `withstands` where the current never gets the wire to its limit.
    """

    amperes: float
    clears: Figure
    withstands: Figure
    ok: bool

    @property
    def margin(self) -> float:
        """Times by which the withstand exceeds the clearing time; below 1 the wire is damaged first."""
        if self.withstands.value == math.inf:
            return math.inf
        return self.withstands.value / self.clears.value if self.clears.value else math.inf


def clears_before_damage(
    style: str | None,
    rated_a: float,
    amperes: float,
    cable: Cable,
    ambient_c: float = 20.0,
    start_c: float | None = None,
) -> Clearing | NotJudged:
    """Compare the longest clearing time of a fuse with what a wire withstands, at one current.

    Parameters
    ----------
    style
        One of `fuses.styles`; None cannot be judged.
    rated_a
        Of the fuse.
    amperes
        The current, such as the prospective one of a dead short at the wire's far end.
    cable
        The wire.
    ambient_c
        Of the air around it; counts for times above 5 s only.
    start_c
        Conductor temperature when the fault comes; None takes the insulation's continuous limit, the worst case.

    Raises
    ------
    ValueError
        If the style is unknown.
    """
    if style is None:
        return NotJudged("the fuse's style is not known, so neither is its time band")
    limits = adiabatic.limits(cable.insulation, cable.area_mm2)
    if isinstance(limits, NotJudged):
        return limits
    band = fuse_bands.band(style, rated_a, amperes)
    if isinstance(band, NotJudged):
        return band
    table = f"time band, style {style}, {rated_a:g} A"
    clears = Figure(band.longest_s, "s", fuse_bands.METHOD, table, band.source, band.sureness, band.note)
    withstands = withstand(cable, abs(amperes), limits, ambient_c, start_c)
    return Clearing(abs(amperes), clears, withstands, clears.value <= withstands.value)


def withstand(
    cable: Cable, amperes: float, limits: ShortLimits, ambient_c: float = 20.0, start_c: float | None = None
) -> Figure:
    """Return how long a wire bears a current, in s; infinity if it bears it for good.

    Up to 5 s the adiabatic law to the short-circuit temperature (no heat gets out of the conductor); where it takes
    longer, the warming of the wire with its heat loss, to the lower temperature that insulation bears for minutes.
    """
    start = limits.start_c if start_c is None else start_c
    short_s = transient.adiabatic_s(cable, amperes, start, limits.short_circuit_c)
    held_s = min(short_s, adiabatic.adiabatic_s())
    long_s = transient.cooled_s(cable, amperes, ambient_c, start, limits.overload_c)
    k = adiabatic.k_factor(cable.material, start, limits.short_circuit_c)
    if long_s > adiabatic.adiabatic_s():
        return Figure(
            long_s,
            "s",
            "heat balance over time",
            "warming in still air",
            f"{_COOLED_SOURCE}; {limits.source}",
            provenance.lower("memory", limits.sureness),
            f"{start:g} to {limits.overload_c:g} °C",
        )
    capped = short_s > held_s
    return Figure(
        held_s,
        "s",
        adiabatic.METHOD,
        adiabatic.LAW,
        f"{k.source}; {limits.source}",
        provenance.lower(k.sureness, limits.sureness),
        notes(k.note, f"the law holds up to {adiabatic.adiabatic_s():g} s" if capped else ""),
    )


def weakest(
    style: str | None,
    rated_a: float,
    cable: Cable,
    up_to_a: float,
    ambient_c: float = 20.0,
    start_c: float | None = None,
) -> Clearing | NotJudged:
    """Return the current at which a fuse protects a wire least, from where the fuse must clear up to `up_to_a`.

    Currents are tried at every limit of the band, between them and beyond. Below the first limit the fuse need not
    clear, and whether the wire carries that is a matter of ampacity; with `up_to_a` below it there is no such current.

    Raises
    ------
    ValueError
        If the style is unknown.
    """
    if style is None:
        return NotJudged("the fuse's style is not known, so neither is its time band")
    tried = _tried_a(style, rated_a)
    if isinstance(tried, NotJudged):
        return tried
    found_at = [_cached(style, rated_a, a, cable, ambient_c, start_c) for a in tried if a <= up_to_a]
    if up_to_a >= tried[0]:
        found_at.append(clears_before_damage(style, rated_a, up_to_a, cable, ambient_c, start_c))
    worst: Clearing | None = None
    for found in found_at:
        if isinstance(found, NotJudged):
            return found
        if worst is None or found.margin < worst.margin:
            worst = found
    return worst or NotJudged(f"{up_to_a:.0f} A need not clear a {style} fuse of {rated_a:g} A at all")


_cached = lru_cache(maxsize=16384)(clears_before_damage)


@lru_cache(maxsize=512)
def _tried_a(style: str, rated_a: float) -> tuple[float, ...] | NotJudged:
    corners = fuse_bands.clearing_corners(style, rated_a)
    if isinstance(corners, NotJudged):
        return corners
    tried: list[float] = []
    for low, high in itertools.pairwise((*corners, corners[-1] * _BEYOND)):
        steps = max(1, math.ceil(_PER_DOUBLING * math.log2(high / low)))
        tried += [low * (high / low) ** (i / steps) for i in range(steps)]
    return tuple(rated_a * multiple for multiple in tried)
