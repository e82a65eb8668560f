"""The time band of a fuse and what the wires behind it withstand, as curves over the current."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from harness_studio.electrics.heat import short_circuit
from harness_studio.electrics.heat.cable import Cable
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part
from harness_studio.network.network import Network
from harness_studio.network.wires import area_mm2
from harness_studio.standards import adiabatic, fuse_bands, fuses
from harness_studio.standards.figures import NotJudged

from .carrying import cable_of
from .protection import protection

LEAST, MOST, PER_DOUBLING = 1.0, 64.0, 6
"""Currents that are tried: the rating to 64 times it, six to each doubling."""
SHOWN = 3
"""How many wires are shown, the ones that bear least first."""


@dataclass(frozen=True, slots=True)
class WireCurve:
    """What one wire bears: seconds at each current, infinity where it bears it for good; `beside` are wires like it."""

    wire: str
    seconds: tuple[float, ...]
    beside: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class FuseCurves:
    """A fuse and its wires over the current.

    `shortest_s` is 0 where no limit is stated, `longest_s` infinite where the fuse need not clear. `crosses_a` is the
    least current from which on a wire may be damaged before the fuse has cleared; None if there is none.
    """

    fuse: str
    style: str
    rated_a: float
    amperes: tuple[float, ...]
    shortest_s: tuple[float, ...]
    longest_s: tuple[float, ...]
    wires: tuple[WireCurve, ...]
    crosses_a: float | None
    source: str
    sureness: str


def fuse_curves(harness: Harness, network: Network, fuse: str) -> FuseCurves | NotJudged:
    """Return a fuse's time band beside what the wires that it protects withstand.

    The wires are taken at their insulation's continuous limit when the fault comes, the worst case.
    """
    part = harness.parts.get(fuse)
    judged = _known(part)
    if isinstance(judged, NotJudged):
        return judged
    style, rated_a = judged
    steps = round(PER_DOUBLING * math.log2(MOST / LEAST))
    amperes = tuple(rated_a * LEAST * 2.0 ** (i / PER_DOUBLING) for i in range(steps + 1))
    bands = [fuse_bands.band(style, rated_a, a) for a in amperes]
    first = bands[0]
    if isinstance(first, NotJudged):
        return first
    known = [b for b in bands if not isinstance(b, NotJudged)]
    wires = _wire_curves(harness, network, fuse, amperes)
    longest = tuple(b.longest_s for b in known)
    crosses = next(
        (
            a
            for a, takes, *bears in zip(amperes, longest, *(w.seconds for w in wires), strict=True)
            if math.isfinite(takes) and any(takes > s for s in bears)
        ),
        None,
    )
    return FuseCurves(
        fuse, style, rated_a, amperes, tuple(b.shortest_s for b in known), longest, wires, crosses,
        _once(b.source for b in known), known[-1].sureness,
    )  # fmt: skip


def _known(part: Part | None) -> tuple[str, float] | NotJudged:
    style, rated_a = (
        getattr(part and part.ratings, "style", None),
        getattr(part and part.ratings, "rated_a", None),
    )
    if part is None or part.kind not in ("fuse", "breaker", "link"):
        return NotJudged("this is no fuse")
    if style not in fuses.styles() or rated_a is None:
        return NotJudged(f"style or rating of {part.id} is not known, so neither is its time band")
    return str(style), float(rated_a)


def _wire_curves(
    harness: Harness, network: Network, fuse: str, amperes: tuple[float, ...]
) -> tuple[WireCurve, ...]:
    """Return the curves of the wires that bear least; wires of one size, insulation and surroundings as one."""
    address, branches = network.branches.address, network.conductors.branch.tolist()
    ambient = dict(zip((address[b] for b in branches), network.conductors.ambient_c.tolist(), strict=True))
    alike: dict[tuple[Cable, float], list[str]] = {}
    for wire in protection(harness, network).wires_of(fuse):
        if area_mm2(harness.wires[wire]) is not None and wire in ambient:
            alike.setdefault((cable_of(harness.wires[wire]), float(ambient[wire])), []).append(wire)
    found = []
    for (cable, ambient_c), some in alike.items():
        limits = adiabatic.limits(cable.insulation, cable.area_mm2)
        if isinstance(limits, NotJudged):
            continue
        bears = [short_circuit.withstand(cable, a, limits, ambient_c) for a in amperes]
        bears_s = tuple(f.value for f in bears)
        found.append(WireCurve(some[0], bears_s, tuple(some[1:]), _once(f.source for f in bears)))
    return tuple(sorted(found, key=lambda w: (w.seconds[-1], w.wire))[:SHOWN])


def _once(sources: Iterable[str]) -> str:
    """Return the sources, each once."""
    return "; ".join(dict.fromkeys(one for source in sources for one in source.split("; ")))
