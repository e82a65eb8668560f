"""Ringing wires out: what rings to what is written on the wire, and joins or parts open ends, as one edit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from harness_studio.base.ids import wire_end
from harness_studio.model.edits import Edit, Put, Remove, Together
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.model.renaming import Names, renamed_entity
from harness_studio.model.values import End, Ring
from harness_studio.standards.wires import area_from_awg_mm2
from harness_studio.tracing.pages import joined_points

from .bench import next_id
from .quantities import Refused

SAME_SIZE = 0.15
"""Two sizes are one within this relative difference: 16 AWG (1.31 mm²) is taken for 1.25 or 1.5 mm². Own choice."""
_ENDS_HERE = ("parts", "halves")
"""Where a wire's open end may be put by ringing alone if nothing else is there."""
_ENDS_WITH_OTHERS = ("splices", "grounds")
"""Where it may be put beside others, if no way there is known yet. At a body much else rings too."""
_KEPT_APART = frozenset(
    {"id", "ends", "rings_to", "rings_not", "status", "done", "plan", "length_mm", "tails_mm"}
)


@dataclass(frozen=True, slots=True)
class Result:
    """One line of the log: a wire, whether it rings, to which point, when, and a note."""

    wire: str
    rings: bool
    point: str
    date: str | None = None
    note: str | None = None


def log(harness: Harness) -> list[Result]:
    """Return all results, the latest first; those without a day last."""
    found = [
        Result(wire.id, rings, ring.point, ring.date, ring.note)
        for wire in harness.wires.values()
        for rings, held in ((True, wire.rings_to), (False, wire.rings_not))
        for ring in held
    ]
    return sorted(found, key=lambda r: r.date or "", reverse=True)


def area(wire: Wire) -> float | None:
    """Return a wire's area in mm², or None where its size is not known."""
    if wire.area_mm2 is not None:
        return wire.area_mm2
    return area_from_awg_mm2(wire.awg) if wire.awg is not None else None


def open_wires(harness: Harness) -> list[tuple[Wire, str]]:
    """Return the wires of which one end is on a known point and the other is open, with that point."""
    found = []
    for wire in harness.wires.values():
        known = [end.point for end in wire.ends if end.point is not None]
        if len(known) == 1:
            found.append((wire, known[0]))
    return found


def differ(one: Wire, other: Wire) -> str | None:
    """Return why two ends cannot belong to one wire, or None."""
    if one.colour and other.colour and one.colour != other.colour:
        return f"{one.id} is {one.colour} and {other.id} is {other.colour}"
    a, b = area(one), area(other)
    if a and b and abs(a - b) > SAME_SIZE * max(a, b):
        return f"{one.id} and {other.id} differ in size"
    return None


def probed(harness: Harness, text: str) -> Wire:
    """Return the wire that was probed, by its id or by a point it is on; one with an open end comes first.

    Raises
    ------
    Refused
        If there is none.
    """
    text = text.strip()
    if text in harness.wires:
        return harness.wires[text]
    here = [w for w in harness.wires.values() if any(e.point == text for e in w.ends)]
    here.sort(key=lambda w: all(e.point is not None for e in w.ends))
    if not here:
        raise Refused(f"'{text}' is no wire, and no wire is on it: write W77 or X7.7")
    return here[0]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a result leads to: the edit, and in words what it does beside writing it down."""

    edit: Edit
    words: str


def result_edit(harness: Harness, result: Result, *, joining: bool = True) -> Outcome:
    """Return the one edit that writes a result down, and with `joining` joins or parts what it proves.

    Raises
    ------
    Refused
        If the result cannot be true: the wire itself is on that point.
    """
    wire = harness.wires[result.wire]
    ring = Ring(result.point, result.date, result.note)
    known = [r for r in (wire.rings_to if result.rings else wire.rings_not) if r.point != result.point]
    others = [r for r in (wire.rings_not if result.rings else wire.rings_to) if r.point != result.point]
    to, no = ((*known, ring), tuple(others)) if result.rings else (tuple(others), (*known, ring))
    noted = replace(wire, rings_to=tuple(to), rings_not=tuple(no))
    said = f"{wire.id} {'rings' if result.rings else 'does not ring'} to {result.point}"
    steps, done = [Put("wires", noted)], ""
    if joining and result.rings:
        steps, done = _joined(harness, noted, result.point)
    elif joining:
        steps, done = _parted(harness, noted, result.point)
    return Outcome(Together(tuple(steps), said + (f": {done}" if done else "")), done)


def _joined(harness: Harness, wire: Wire, at: str) -> tuple[list[Any], str]:
    only: list[Any] = [Put("wires", wire)]
    free = [index for index, end in enumerate(wire.ends) if end.point is None]
    if len(free) != 1 or any(end.point == at for end in wire.ends):
        return only, ""
    others = [w for w in harness.wires.values() if w.id != wire.id and any(e.point == at for e in w.ends)]
    stubs = [w for w in others if any(e.point is None for e in w.ends)]
    if len(stubs) == 1:
        why = differ(wire, stubs[0])
        if why:
            return only, f"written down only, {why}"
        return join_steps(harness, wire, stubs[0], at), f"{stubs[0].id} joined to it"
    section = harness.section_of(at.partition(".")[0])
    if section in _ENDS_WITH_OTHERS and not stubs:
        if _leads_there(harness, wire, at):
            return only, "written down only, it leads there by another way that is known"
        return [Put("wires", _ended(wire, free[0], at))], f"its open end is at {at}{_same_metal(harness, at)}"
    if others or section not in _ENDS_HERE:
        return only, "written down only, more than this wire may lie between"
    return [Put("wires", _ended(wire, free[0], at))], f"its open end is at {at}"


def _leads_there(harness: Harness, wire: Wire, at: str) -> bool:
    """Tell whether other wires, splices and mated contacts lead from the known end of a wire to a point."""
    beside = joined_points(_without(harness, wire.id))
    seen = {end.point for end in wire.ends if end.point is not None}
    waiting = list(seen)
    while waiting:
        for point in beside.get(waiting.pop(), ()):
            if point not in seen:
                seen.add(point)
                waiting.append(point)
    return at in seen


def _without(harness: Harness, wire: str) -> Harness:
    found = harness.snapshot()
    found.wires.pop(wire, None)
    return found


def _same_metal(harness: Harness, at: str) -> str:
    """Return which other grounds would ring as well, in words."""
    ground = harness.grounds.get(at)
    if ground is None or ground.place is None:
        return ""
    body = ground.place.partition(".")[0]
    others = [
        g.id for g in harness.grounds.values() if g.id != at and g.place and g.place.partition(".")[0] == body
    ]
    return f"; {', '.join(others)} on the same metal would ring as well" if others else ""


def _ended(wire: Wire, index: int, at: str) -> Wire:
    ends = [wire.ends[0], wire.ends[1]]
    ends[index] = End("point", at)
    return replace(wire, ends=(ends[0], ends[1]))


def join_steps(harness: Harness, wire: Wire, stub: Wire, at: str) -> list[Any]:
    """Return the steps that make two open-ended wires one: the first keeps its id, everything on the second follows."""
    index = next(i for i, end in enumerate(wire.ends) if end.point is None)
    filled = {
        f.name: getattr(stub, f.name)
        for f in fields(Wire)
        if f.name not in _KEPT_APART and not getattr(wire, f.name) and getattr(stub, f.name)
    }
    if area(wire) is not None:
        filled = {k: v for k, v in filled.items() if k not in ("area_mm2", "awg")}
    whole = replace(_ended(wire, index, at), **filled)
    rings: dict[str, Any] = {
        name: tuple({r.point: r for r in (*getattr(stub, name), *getattr(wire, name))}.values())
        for name in ("rings_to", "rings_not")
    }
    whole = replace(whole, **rings)
    names = Names({stub.id: wire.id})
    steps: list[Any] = [Put("wires", whole)]
    for section, key, entity in _others(harness, {wire.id, stub.id}):
        if section == "pages" and stub.id in entity.wires:
            entity = replace(entity, wires={k: v for k, v in entity.wires.items() if k != stub.id})
        new_key = names.address(key) if section == "joints" else key
        new = _once(renamed_entity(entity, names, new_key))
        if new_key != key:
            steps.append(Remove(section, key))
        if new != harness.tables[section].get(new_key):
            steps.append(Put(section, new))
    return [*steps, Remove("wires", stub.id)]


def _once(entity: Any) -> Any:
    """Return an entity whose lists of ids name nothing twice."""
    for name in ("wires", "on", "ids"):
        held = getattr(entity, name, None)
        if isinstance(held, tuple):
            entity = replace(entity, **{name: tuple(dict.fromkeys(held))})
    return entity


def _others(harness: Harness, own: set[str]) -> Iterator[tuple[str, str, Any]]:
    for section in (
        "wires",
        "grounds",
        "multicores",
        "joints",
        "annotations",
        "photos",
        "pages",
        "origins",
        "cases",
    ):
        for key, entity in harness.tables[section].items():
            if not (section == "wires" and key in own):
                yield section, key, entity


def _parted(harness: Harness, wire: Wire, at: str) -> tuple[list[Any], str]:
    index = next((i for i, end in enumerate(wire.ends) if end.point == at), None)
    if index is None or wire.ends[1 - index].point is None:
        return [Put("wires", wire)], ""
    ends = [wire.ends[0], wire.ends[1]]
    ends[index] = End("unknown")
    stub_id = next_id(harness, "W")
    kept = {
        name: getattr(wire, name)
        for name in ("area_mm2", "awg", "material", "colour", "insulation", "circuit", "marked", "made_by")
    }
    stub = Wire(stub_id, (End("point", at), End("unknown")), **kept)
    names = Names({}, {wire_end(wire.id, at): wire_end(stub_id, at), f"{at}/{wire.id}": f"{at}/{stub_id}"})
    steps: list[Any] = [
        Put("wires", stub),
        Put("wires", replace(wire, ends=(ends[0], ends[1]), length_mm=None)),
    ]
    for section, key, entity in _others(harness, {wire.id}):
        if section == "grounds" and key == at:
            entity = replace(
                entity,
                stack=tuple(tuple(stub_id if w == wire.id else w for w in ring) for ring in entity.stack),
            )
        new_key = names.address(key) if section == "joints" else key
        new = renamed_entity(entity, names, new_key)
        if new_key != key:
            steps.append(Remove(section, key))
        if new != harness.tables[section].get(new_key):
            steps.append(Put(section, new))
    return steps, f"parted, its end at {at} is {stub_id} now"
