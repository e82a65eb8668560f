"""What belongs to things that are selected: what a box holds, and the wires that end there."""

from __future__ import annotations

from collections.abc import Collection

from harness_studio.base.ids import split_wire_end
from harness_studio.model.harness import Harness


def held_with(harness: Harness, things: Collection[str]) -> set[str]:
    """Return the things with everything that boxes among them hold."""
    found = set(things)
    waiting = list(things)
    while waiting:
        part = harness.parts.get(waiting.pop())
        more = [h for h in getattr(part.ratings, "holds", ()) if h not in found] if part is not None else []
        found.update(more)
        waiting += more
    return found


def owner_of(point: str) -> str:
    """Return the id of the thing a point is on: X7 for 'X7.3', GP2 for 'W40@GP2'."""
    wire = split_wire_end(point)
    return (wire[1] if wire else point).partition(".")[0]


def halves_with_mates(harness: Harness, things: Collection[str]) -> tuple[str, ...]:
    """Return the connector halves among some things, then those they plug into, each once."""
    halves = harness.halves
    found = [i for half in halves.values() if half.id in things for i in (half.id, *half.mates)]
    found += [half.id for half in halves.values() if not half.mates.keys().isdisjoint(things)]
    return tuple(dict.fromkeys(i for i in found if i in halves))


def wires_at(harness: Harness, things: Collection[str]) -> set[str]:
    """Return the wires that end at any of some things."""
    return {
        wire.id
        for wire in harness.wires.values()
        if any(end.point is not None and owner_of(end.point) in things for end in wire.ends)
    }
