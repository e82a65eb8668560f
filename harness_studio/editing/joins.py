"""Which open ends may belong to one wire: by colour, size, mark and ringing, ranked, with the reason in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from harness_studio.base.ids import split_point, split_wire_end
from harness_studio.model.edits import Edit, Together
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.standards import colours

from .quantities import show_size
from .ringing import area, differ, join_steps, open_wires

# Weights of what two ends share. Own choice: a printed mark says most, a circuit's name least.
_RUNG, _MARK, _COLOUR, _SIZE, _INSULATION, _CIRCUIT, _ALONE = 10, 4, 3, 2, 1, 1, 2
LEAST = 3
"""Ends that share less than a colour's worth are not proposed."""


@dataclass(frozen=True, slots=True)
class Join:
    """A proposal: two wires with an open end each, where the known ends are, how much speaks for it, and why."""

    wire: str
    other: str
    at: str
    weight: int
    reason: str


def proposals(harness: Harness, only: str | None = None, most: int = 40) -> list[Join]:
    """Return the joins that speak for themselves, the likeliest first; `only` those of one wire."""
    ends = open_wires(harness)
    alike = Counter((w.colour, w.marked) for w, _ in ends)
    by_colour = Counter(w.colour for w, _ in ends)
    found = []
    for (wire, at), (other, there) in _pairs(ends):
        if only is not None and only not in (wire.id, other.id):
            continue
        join = _judged(wire, at, other, there, by_colour, alike)
        if join is not None and join.weight >= LEAST:
            found.append(join)
    return sorted(found, key=lambda j: (-j.weight, j.wire, j.other))[:most]


def _pairs(ends: Sequence[tuple[Wire, str]]) -> Iterator[tuple[tuple[Wire, str], tuple[Wire, str]]]:
    """Yield, each once, the pairs that share a colour or a mark, or of which one rings to the other."""
    alike: dict[tuple[str, str], list[int]] = {}
    for number, (wire, at) in enumerate(ends):
        shared = [("colour", wire.colour), ("mark", wire.marked), ("point", at)]
        shared += [("point", ring.point) for ring in wire.rings_to]
        for kind, said in shared:
            if said:
                alike.setdefault((kind, said), []).append(number)
    seen: set[tuple[int, int]] = set()
    for numbers in alike.values():
        for place, one in enumerate(numbers):
            for two in numbers[place + 1 :]:
                if one < two and (one, two) not in seen:
                    seen.add((one, two))
                    yield ends[one], ends[two]


def _judged(
    wire: Wire,
    at: str,
    other: Wire,
    there: str,
    by_colour: Counter[str | None],
    alike: Counter[tuple[str | None, str | None]],
) -> Join | None:
    rung = any(r.point == there for r in wire.rings_to) or any(r.point == at for r in other.rings_to)
    if any(r.point == there for r in wire.rings_not) or any(r.point == at for r in other.rings_not):
        return None
    if differ(wire, other) or (_owner(at) == _owner(there) and not rung):
        return None
    reasons = list(_shared(wire, other, rung))
    if not reasons:
        return None
    weight = sum(points for points, _ in reasons)
    if wire.colour and wire.colour == other.colour and by_colour[wire.colour] == 2:
        weight += _ALONE
        reasons.append((_ALONE, "no other open end has this colour"))
    elif wire.marked and wire.marked == other.marked and alike[wire.colour, wire.marked] == 2:
        weight += _ALONE
        reasons.append((_ALONE, "no other open end has this mark"))
    return Join(wire.id, other.id, there, weight, ", ".join(said for _, said in reasons))


def _owner(point: str) -> str:
    wire = split_wire_end(point)
    return split_point(wire[1] if wire else point)[0]


def _shared(wire: Wire, other: Wire, rung: bool) -> Iterator[tuple[int, str]]:
    if rung:
        yield _RUNG, "rings through"
    if wire.marked and wire.marked == other.marked:
        yield _MARK, f"both are marked {wire.marked}"
    if wire.colour and wire.colour == other.colour:
        yield _COLOUR, f"both are {colours.words(wire.colour.split('/'))}"
    a, b = area(wire), area(other)
    if a and b:
        one, two = show_size(wire.area_mm2, wire.awg), show_size(other.area_mm2, other.awg)
        yield _SIZE, f"both are {one}" if one == two else f"{one} and {two} are near"
    if wire.insulation and wire.insulation == other.insulation:
        yield _INSULATION, f"both are {wire.insulation}"
    if wire.circuit and wire.circuit == other.circuit:
        yield _CIRCUIT, f"both belong to {wire.circuit}"


def join_edit(harness: Harness, join: Join) -> Edit:
    """Return the one edit that makes a proposal's two wires one."""
    wire, other = harness.wires[join.wire], harness.wires[join.other]
    steps = join_steps(harness, wire, other, join.at)
    return Together(tuple(steps), f"join {join.wire} and {join.other}")
