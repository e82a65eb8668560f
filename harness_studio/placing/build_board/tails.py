"""Which things hang at which breakout of the bundle, and on how long a tail."""

from __future__ import annotations

from collections.abc import Mapping

from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner


def tails(harness: Harness) -> dict[tuple[str, str], float]:
    """Return (breakout, thing) → length in mm of the longest tail that wires have there.

    What a box holds counts as the box: that is what hangs at the end.
    """
    held = harness.boxes_of_parts()
    found: dict[tuple[str, str], float] = {}
    for wire in harness.wires.values():
        for number, node in enumerate(_breakouts_at_ends(harness, wire, held)):
            point = wire.ends[number].point
            if node is None or point is None or owner(point) in harness.splices:
                continue
            length = wire.tails_mm[number] if wire.tails_mm else 0.0
            key = (node, held.get(owner(point), owner(point)))
            found[key] = max(found.get(key, 0.0), length)
    return found


def _breakouts_at_ends(
    harness: Harness, wire: Wire, held: Mapping[str, str]
) -> tuple[str | None, str | None]:
    """Return the breakouts at which a wire leaves the bundle at its first and second end; None where not known."""
    runs = [harness.runs[r] for r in wire.runs if r in harness.runs]
    if not runs:
        return None, None
    if len(runs) > 1:
        first = next((e for e in runs[0].ends if e not in runs[1].ends), None)
        last = next((e for e in runs[-1].ends if e not in runs[-2].ends), None)
        return first, last
    a, b = runs[0].ends
    seats = [_seat(harness, wire, n, runs[0].id, held) for n in (0, 1)]
    for n, seat in enumerate(seats):
        if seat in (a, b):
            other = b if seat == a else a
            return (seat, other) if n == 0 else (other, seat)
    return None, None


def _seat(harness: Harness, wire: Wire, number: int, run: str, held: Mapping[str, str]) -> str | None:
    """Return the breakout at which the thing at a wire's end sits, by its place, the box that holds it, or its zone."""
    point = wire.ends[number].point
    section = harness.section_of(owner(point)) if point else None
    if point is None or section is None:
        return None
    thing = harness.tables[section][owner(point)]
    for one in filter(None, (thing, harness.parts.get(held.get(thing.id, "")))):
        spot = getattr(one, "at", None)
        if spot and spot.breakout:
            return str(spot.breakout)
        here = [
            b for b in harness.runs[run].ends if _zone(harness, b) == getattr(one, "zone", None) is not None
        ]
        if len(here) == 1:
            return here[0]
    return None


def _zone(harness: Harness, breakout: str) -> str | None:
    found = harness.tables["breakouts"].get(breakout)
    return found.zone if found else None
