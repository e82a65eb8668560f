"""Wire list, cut list and splice list."""

from __future__ import annotations

from collections import defaultdict

from harness_studio.base.units import show_mohm
from harness_studio.drawing import looks
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.entities import Splice, Wire
from harness_studio.model.values import End
from harness_studio.network.wires import length_mm
from harness_studio.placing.faces import natural
from harness_studio.placing.links import owner

from .flow import Flow
from .job import Job, far_end
from .leaf import Leaf
from .lettering import plain
from .numbers import length
from .pinout import colour_cell, contact_words, dead_words, spot_words
from .table import Band, Cell, Column, Row

STEPS = ("cut", "crimped", "pulled", "fitted")
"""What is done to a wire, in order; each has a box to tick."""


def in_order(job: Job) -> list[Wire]:
    """Return the wires in the natural order of their names."""
    return sorted(job.harness.wires.values(), key=lambda w: natural(w.id))


def wire_list(job: Job) -> list[Leaf]:
    """Return every wire with both ends, circuit by circuit."""
    if not job.harness.wires:
        return []
    flow = Flow(job, "Wire list")
    flow.title("Wire list")
    columns = [
        Column("Wire", grows=0), Column("From", grows=2), Column("To", grows=2), Column("Colour"),
        Column("Size", grows=0), Column("Insulation", grows=0), Column("Length", "right", grows=0), Column("Runs"),
        Column("Marks and notes"),
    ]  # fmt: skip
    groups: dict[str, list[Wire]] = defaultdict(list)
    for wire in in_order(job):
        groups[wire.circuit or ""].append(wire)
    rows: list[Row | Band] = []
    for circuit in sorted(groups, key=lambda c: (not c, natural(c))):
        rows.append(Band(plain(circuit) or "No circuit given"))
        rows += [_wire(job, w) for w in groups[circuit]]
    flow.table(columns, rows)
    return flow.leaves


def end_words(job: Job, end: End) -> str:
    """Return one end of a wire with the title of what is there."""
    if end.point is None:
        return {"cut": "cut off", "unknown": "not known"}.get(end.what, f"'{end.text}'")
    title = job.harness.title_of(owner(end.point)).partition(" ")[2]
    return plain(f"{end.point} {title}")


def _wire(job: Job, wire: Wire) -> Row:
    notes = (
        f"marked {wire.marked}" if wire.marked else "",
        wire.status if wire.status and wire.status != "dead" else "",
        dead_words(wire),
        f"made by {wire.made_by}" if wire.made_by and wire.made_by != "us" else "",
        wire.note,
    )
    return [
        Cell(wire.id, STRONG), end_words(job, wire.ends[0]), end_words(job, wire.ends[1]), colour_cell(wire),
        looks.size_words(wire), wire.insulation or "", length(length_mm(job.harness, wire)), ", ".join(wire.runs),
        plain(" · ".join(filter(None, notes))),
    ]  # fmt: skip


def cut_list(job: Job) -> list[Leaf]:
    """Return what is cut: wires sorted by size and colour with boxes to tick, and the sums."""
    if not job.harness.wires:
        return []
    flow = Flow(job, "Cut list")
    flow.title("Cut list")
    flow.paragraph(
        f"Boxes in order: {', '.join(STEPS)}. Lengths are of the whole wire, tails and slack included."
    )
    flow.gap(1.0)
    columns = [
        Column("Wire", grows=0), Column("Size", grows=0), Column("Colour"), Column("Length", "right", grows=0),
        Column("First end"), Column("Contact, seal"), Column("Second end"), Column("Contact, seal"),
        Column("Done", grows=0),
    ]  # fmt: skip
    ordered = sorted(in_order(job), key=lambda w: (looks.area_mm2(w) or 0.0, w.colour or "~"))
    flow.table(columns, [_cut(job, w) for w in ordered])
    flow.heading("Length by size and colour")
    sums: dict[tuple[str, str], list[float | None]] = defaultdict(list)
    for wire in ordered:
        key = (f"{looks.size_words(wire)} {wire.insulation or ''}".strip(), wire.colour or "")
        sums[key].append(length_mm(job.harness, wire))
    flow.table(
        [
            Column("Wire type"),
            Column("Colour"),
            Column("Wires", "right", grows=0),
            Column("Length", "right"),
            Column(""),
        ],
        [_sum(size, colour, found) for (size, colour), found in sums.items()],
    )
    return flow.leaves


def _cut(job: Job, wire: Wire) -> Row:
    ends: list[str] = []
    for end in wire.ends:
        ends += [
            end.point or {"cut": "cut off", "unknown": "not known"}.get(end.what, end.text),
            _fittings(job, end),
        ]
    ticks = tuple(step in wire.done for step in STEPS)
    return [
        Cell(wire.id, STRONG), looks.size_words(wire), colour_cell(wire), length(length_mm(job.harness, wire)),
        *ends, Cell(ticks=ticks),
    ]  # fmt: skip


def _fittings(job: Job, end: End) -> str:
    """Return what is fitted to one end of a wire: contact and seal, ring, or splice."""
    if end.point is None:
        return ""
    of, _, name = end.point.partition(".")
    half = job.harness.halves.get(of)
    if half:
        cavity = half.cavities.get(name)
        contact = (cavity.contact if cavity else None) or half.contact
        return ", ".join(
            filter(None, (contact_words(contact) if contact else "", (cavity.seal if cavity else "") or ""))
        )
    ground = job.harness.grounds.get(of)
    if ground:
        return f"ring {ground.stud}" if ground.stud else "ring"
    return "splice" if of in job.harness.splices else ""


def _sum(size: str, colour: str, found: list[float | None]) -> Row:
    known = sum(v for v in found if v is not None)
    lost = sum(v is None for v in found)
    dummy = Wire("", (End("cut"), End("cut")), colour=colour or None)
    more = f"and {lost} of unknown length" if lost else ""
    return [Cell(size, STRONG), colour_cell(dummy), str(len(found)), f"{known / 1000:.2f} m", more]


def splice_list(job: Job) -> list[Leaf]:
    """Return every splice with its place, method and wires."""
    if not job.harness.splices:
        return []
    flow = Flow(job, "Splice list")
    flow.title("Splice list")
    columns = [
        Column("Splice", grows=0), Column("Where", grows=2), Column("Method", grows=0), Column("Sleeve"),
        Column("Wire", grows=0), Column("Colour"), Column("Size", grows=0), Column("Goes to", grows=2),
        Column("Done", grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = []
    for splice in sorted(job.harness.splices.values(), key=lambda s: natural(s.id)):
        rows += _splice(job, splice)
    flow.table(columns, rows)
    return flow.leaves


def _splice(job: Job, splice: Splice) -> list[Row]:
    zone = job.harness.zones.get(splice.zone) if splice.zone else None
    where = (
        splice.title,
        zone.title or zone.id if zone else "",
        spot_words(job.harness, splice),
        splice.note,
    )
    record = job.harness.joints.get(splice.id)
    found = f"as found {show_mohm(record.mohm / 1000)}" if record and record.mohm is not None else ""
    own: list[Cell | str] = [
        Cell(splice.id, STRONG), plain(", ".join(filter(None, (*where, found)))),
        splice.method or "not known", splice.sleeve or "",
    ]  # fmt: skip
    rows: list[Row] = []
    for number, wire_id in enumerate(job.ends.get(splice.id, ())):
        wire = job.harness.wires[wire_id]
        first: list[Cell | str] = own if number == 0 else ["", "", "", ""]
        ticks = Cell(ticks=(False,))
        to = plain(far_end(job.harness, wire, splice.id))
        rows.append([*first, Cell(wire.id, STRONG), colour_cell(wire), looks.size_words(wire), to, ticks])
    return rows or [[*own, "", "", "", "no wire ends here", ""]]
