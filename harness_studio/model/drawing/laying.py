"""Laying a wire, and taking one of its ends elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from harness_studio.base.errors import AddressError, EditError
from harness_studio.base.ids import split_point, split_wire_end
from harness_studio.model.edits import Edit, Put, Together, together
from harness_studio.model.entities import Ground, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.references import check_point
from harness_studio.model.values import End

from .ids import LETTERS, free_ids

OPEN = End("cut")
NOT_KNOWN = End("unknown")


@dataclass(frozen=True, slots=True)
class Pen:
    """Size, colour and insulation that the next wire is laid with."""

    area_mm2: float | None = None
    awg: str | None = None
    colour: str | None = None
    insulation: str | None = None

    def wire(self, wire_id: str, ends: tuple[End, End]) -> Wire:
        """Return a wire of this size and colour."""
        return Wire(
            wire_id,
            ends,
            area_mm2=self.area_mm2,
            awg=self.awg,
            colour=self.colour,
            insulation=self.insulation,
        )


def pen_of(wire: Wire) -> Pen:
    """Return the pen that lays wires like this one."""
    return Pen(wire.area_mm2, wire.awg, wire.colour, wire.insulation)


def check_end(harness: Harness, end: End) -> None:
    """Check that a wire may end there.

    Raises
    ------
    EditError
        With the reason in one sentence.
    """
    if end.point is None:
        return
    try:
        check_point(harness, end.point)
        owner, name = (end.point, None) if split_wire_end(end.point) else split_point(end.point)
    except AddressError as error:
        raise EditError(str(error)) from error
    half = harness.halves.get(owner)
    cavity = half.cavities.get(name) if half is not None and name is not None else None
    if cavity is not None and cavity.plug == "fitted":
        raise EditError(f"{end.point} has a blanking plug fitted: take the plug out before a wire goes in")


def new_wire(harness: Harness, first: End, second: End, pen: Pen) -> Wire:
    """Return a wire with the next free id between two ends.

    Raises
    ------
    EditError
        If it cannot be laid; the message says what and why.
    """
    for end in (first, second):
        check_end(harness, end)
    if first.point is not None and first.point == second.point:
        raise EditError(f"a wire from {first.point} to itself joins nothing: end it on another point")
    if first.point is None and second.point is None:
        raise EditError(
            "a wire with both ends open is nowhere: start it at a cavity, terminal, splice or ground"
        )
    return pen.wire(free_ids(harness).next(LETTERS["wires"]), (first, second))


def lay_edit(harness: Harness, first: End, second: End, pen: Pen) -> tuple[Together, str]:
    """Return the step that lays a wire, and the wire's id.

    Raises
    ------
    EditError
        If it cannot be laid; the message says what and why.
    """
    wire = new_wire(harness, first, second, pen)
    return together([Put("wires", wire)], f"lay {wire.id} from {first} to {second}"), wire.id


def off_stacks(harness: Harness, wire_id: str, point: str | None) -> Iterable[Edit]:
    """Yield the edits that take a wire's ring off the stack of the ground it ended on."""
    ground = harness.grounds.get(point) if point is not None else None
    if ground is not None and any(wire_id in ring for ring in ground.stack):
        yield Put("grounds", without_ring(ground, wire_id))


def without_ring(ground: Ground, wire_id: str) -> Ground:
    """Return a ground without a wire in its stack."""
    rings = (tuple(w for w in ring if w != wire_id) for ring in ground.stack)
    return replace(ground, stack=tuple(ring for ring in rings if ring))


def rewire_edit(harness: Harness, wire_id: str, number: int, end: End) -> Together:
    """Return the step that takes an end of a wire elsewhere; 0 is its first end.

    Raises
    ------
    EditError
        If it cannot end there; the message says what and why.
    """
    wire = harness.wires[wire_id]
    check_end(harness, end)
    other = wire.ends[1 - number]
    if end.point is not None and end.point == other.point:
        raise EditError(f"both ends of {wire_id} would be on {end.point}: end it on another point")
    if end.point is None and other.point is None:
        raise EditError(f"{wire_id} would be open at both ends: remove it instead")
    if end.point is not None and split_wire_end(end.point) and end.point.startswith(f"{wire_id}@"):
        raise EditError(f"{wire_id} cannot end on its own metal")
    edits = [
        Put("wires", with_end(wire, number, end)),
        *off_stacks(harness, wire_id, wire.ends[number].point),
    ]
    return together(edits, f"take {wire_id} from {wire.ends[number]} to {end}")


def with_end(wire: Wire, number: int, end: End) -> Wire:
    """Return a wire with another end; 0 is its first."""
    return replace(wire, ends=(end, wire.ends[1]) if number == 0 else (wire.ends[0], end))
