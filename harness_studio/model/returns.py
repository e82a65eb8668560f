"""Taking a return from one ground and putting it on another, as one step."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from harness_studio.base.errors import EditError

from .edits import Edit, Put, Remove, Together
from .entities import Ground, JointRecord, Wire
from .harness import Harness
from .values import End


def ground_of(harness: Harness, wire: str) -> list[str]:
    """Return the grounds that a wire ends at."""
    found = harness.wires.get(wire)
    return [] if found is None else [e.point for e in found.ends if e.point in harness.grounds and e.point]


def move_return(harness: Harness, wire: str, to: str, start: str | None = None) -> Together:
    """Return the step that takes a wire's ring from its ground and puts it on top of another one's stack.

    What was found at the old ring's contact is forgotten, its crimp keeps its record. The wire is planned to be moved,
    for its length may no longer do.

    Parameters
    ----------
    wire, to
        Ids of the wire and of the ground it goes to.
    start
        The ground it leaves, for a wire between two grounds.

    Raises
    ------
    EditError
        If the wire ends at no ground, at two of them, or at the new one already.
    """
    moved = harness.wires.get(wire)
    if moved is None:
        raise EditError(f"{wire} is no wire of this harness")
    if to not in harness.grounds:
        raise EditError(f"{to} is no ground of this harness")
    at = [start] if start is not None else ground_of(harness, wire)
    if to in ground_of(harness, wire):
        raise EditError(f"{wire} is on {to} already")
    if len(at) != 1 or at[0] not in ground_of(harness, wire):
        raise EditError(
            f"{wire} ends at {'no ground' if not at else ' and '.join(at)}: say which end is to be moved"
        )
    return Together(tuple(_edits(harness, moved, at[0], to)), f"move {wire} from {at[0]} to {to}")


def _edits(harness: Harness, wire: Wire, start: str, to: str) -> Iterator[Edit]:
    first, second = (End("point", to) if e.point == start else e for e in wire.ends)
    ends: tuple[End, End] = (first, second)
    yield Put("wires", replace(wire, ends=ends, plan=wire.plan if wire.plan == "new" else "move"))
    before, after = harness.grounds[start], harness.grounds[to]
    yield Put("grounds", _without(before, wire.id))
    yield Put("grounds", replace(after, stack=(*after.stack, (wire.id,))))
    names = {f"{start}/{wire.id}": f"{to}/{wire.id}", f"{wire.id}@{start}": f"{wire.id}@{to}"}
    for old, new in names.items():
        record: JointRecord | None = harness.joints.get(old)
        if record is not None:
            yield Remove("joints", old)
            if "@" in old:
                yield Put("joints", replace(record, id=new))
    for note in harness.tables["annotations"].values():
        if note.on in names:
            yield Put("annotations", replace(note, on=names[note.on]))
    for page in harness.pages.values():
        if wire.id in page.wires:  # bends of the old way
            yield Put("pages", replace(page, wires={w: b for w, b in page.wires.items() if w != wire.id}))


def _without(ground: Ground, wire: str) -> Ground:
    rings = (tuple(w for w in ring if w != wire) for ring in ground.stack)
    return replace(ground, stack=tuple(ring for ring in rings if ring))
