"""Joining sheet: two harnesses brought together, point by point, with what is to be done and a box to tick."""

from __future__ import annotations

from harness_studio.drawing import looks
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.entities import Wire
from harness_studio.placing.links import owner

from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .pinout import colour_cell
from .table import Band, Cell, Column, Row
from .wire_list import end_words, in_order

SHEET = "Joining sheet"
HERE = "this harness"
_TODO = {
    "keep": "keep as it is", "extend": "extend", "move": "move to the new place", "remove": "take out",
    "new": "new wire", None: "",
}  # fmt: skip


def joining(job: Job) -> list[Leaf]:
    """Return the points where harnesses meet and the wires that are planned otherwise than kept."""
    harness = job.harness
    origin = {i: o.id for o in harness.tables["origins"].values() for i in o.ids}
    across: list[Wire] = []
    planned: list[Wire] = []
    for wire in in_order(job):
        # Metal belongs to the vehicle: a ring on it joins no two harnesses.
        owners = {owner(e.point) for e in wire.ends if e.point} - harness.bodies.keys()
        ends = {origin.get(one, HERE) for one in owners}
        if origin and len(ends) > 1:
            across.append(wire)
        elif wire.plan:
            planned.append(wire)
    mates = _mates(job, origin)
    if not (across or planned or mates):
        return []
    flow = Flow(job, SHEET)
    flow.title(SHEET)
    if origin:
        flow.facts([("harnesses", ", ".join([HERE, *dict.fromkeys(origin.values())]))])
    columns = [
        Column("From", grows=2), Column("Of"), Column("To", grows=2), Column("Of"), Column("Wire", grows=0),
        Column("Colour"), Column("Size", grows=0), Column("What to do"), Column("Done", grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = []
    if mates:
        rows += [Band("Connectors that plug together"), *mates]
    for title, wires in (("Wires from one to the other", across), ("Wires with a plan", planned)):
        if wires:
            rows.append(Band(title))
            rows += [_wire(job, w, origin) for w in wires]
    flow.table(columns, rows)
    return flow.leaves


def _wire(job: Job, wire: Wire, origin: dict[str, str]) -> Row:
    cells: list[Cell | str] = []
    for end in wire.ends:
        cells += [end_words(job, end), origin.get(owner(end.point), HERE) if end.point else ""]
    todo = ", ".join(filter(None, (_TODO.get(wire.plan, ""), plain(wire.note or ""))))
    return [
        *cells,
        Cell(wire.id, STRONG),
        colour_cell(wire),
        looks.size_words(wire),
        todo,
        Cell(ticks=(False,)),
    ]


def _mates(job: Job, origin: dict[str, str]) -> list[Row]:
    rows: list[Row] = []
    for half in job.harness.halves.values():
        for other in half.mates:
            ours, theirs = origin.get(half.id, HERE), origin.get(other, HERE)
            if origin and ours != theirs:
                first, second = (plain(job.harness.title_of(h)) for h in (half.id, other))
                rows.append([first, ours, second, theirs, "", "", "", "plug together", Cell(ticks=(False,))])
    return rows
