"""Pinout sheet: each connector half with its face in both views and a table of its cavities."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QImage

from harness_studio.drawing import faces, looks
from harness_studio.drawing.fonts import STRONG
from harness_studio.drawing.strokes import Strokes, gather
from harness_studio.model.entities import Half, Splice, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import Cavity, Contact
from harness_studio.placing.connector_drafts import used_cavities
from harness_studio.placing.faces import face_shape, natural, seen_from_behind
from harness_studio.placing.links import owner

from .face_art import FaceArt, face_art, led_notes
from .flow import Flow
from .job import Job, far_end
from .leaf import Leaf
from .lettering import plain
from .numbers import volts
from .table import Cell, Column, Row

SHEET = "Pinout"
_FACE_HIGH_MM = 62.0


def pinout(job: Job) -> list[Leaf]:
    """Return the pages of all connectors, or of those wanted, each from a new page on."""
    flow = Flow(job, SHEET)
    for half in sorted(job.harness.halves.values(), key=lambda h: natural(h.id)):
        if not job.halves or half.id in job.halves:
            _one(flow, job, half)
    return flow.leaves


def _one(flow: Flow, job: Job, half: Half) -> None:
    flow.page(job.harness.title_of(half.id))
    flow.title(plain(job.harness.title_of(half.id)))
    flow.facts(facts_of(job.harness, half))
    if half.note:
        flow.paragraph(half.note)
    flow.gap(2.0)
    _faces(flow, job, half)
    flow.table(*_table(job, half))
    _photos(flow, job, half)


def facts_of(harness: Harness, half: Half) -> list[tuple[str, str]]:
    """Return what is known about a half as pairs of name and value."""
    zone = harness.zones.get(half.zone) if half.zone else None
    where = plain(zone.title or zone.id) if zone else ""
    mates = [*half.mates, *(h.id for h in harness.halves.values() if half.id in h.mates)]
    contact = half.contact
    return [
        ("where", ", ".join(filter(None, (where, spot_words(harness, half))))),
        ("mates", ", ".join(dict.fromkeys(mates))),
        ("plugs onto", harness.title_of(half.part) if half.part else ""),
        ("holds", f"{half.gender}s" if half.gender else ""),
        ("", "sealed" if half.sealed else "not sealed"),
        ("contact", contact_words(contact) if contact else ""),
        ("part number", half.part_number or ""),
        ("reach", half.reach or ""),
        ("made by", half.made_by or ""),
        ("known as", half.known_as or ""),
    ]


def spot_words(harness: Harness, thing: Half | Splice) -> str:
    """Return where along the harness a thing sits."""
    spot = thing.at
    if spot is None:
        return ""
    if spot.breakout:
        found = harness.tables["breakouts"].get(spot.breakout)
        return f"at {found.title or spot.breakout}" if found else f"at {spot.breakout}"
    return f"{spot.mm or 0:.0f} mm along {spot.run}" if spot.run else ""


def contact_words(contact: Contact) -> str:
    """Return a contact in words: '2.8 mm tin, 15 A'."""
    said = [
        f"{contact.tab_mm:g} mm" if contact.tab_mm else "",
        contact.plating or "",
        f"{contact.rated_a:g} A" if contact.rated_a else "",
        contact.part_number or "",
    ]
    return " ".join(filter(None, said))


def fillings(job: Job, half: Half) -> tuple[list[str], dict[str, faces.Filling]]:
    """Return the cavities that wires end in, and what sits in each cavity."""
    points = [p for p in job.ends if owner(p) == half.id]
    used = used_cavities(half.id, points)
    filled = {name: faces.Filling(plug=True) for name, c in half.cavities.items() if c.plug == "fitted"}
    for name in used:
        wire = job.harness.wires[job.ends[f"{half.id}.{name}"][0]]
        filled[name] = faces.Filling(looks.codes(wire))
    return used, filled


def _faces(flow: Flow, job: Job, half: Half) -> None:
    used, filled = fillings(job, half)
    shape = face_shape(half, used)
    if not shape.cells:
        flow.paragraph("No cavity of this connector is known yet.")
        return
    flipped = seen_from_behind(shape)
    first = min((c.name for c in shape.cells), key=natural)
    remark = "" if shape.known else "arrangement not recorded: a plain grid"
    width = flow.body.width_mm
    beside = max(shape.extent.width_mm, 1.0) * 0.9 <= width / 2 - 8
    wide = width / 2 - 2 if beside else width
    high = _FACE_HIGH_MM if beside else min(_FACE_HIGH_MM, flow.body.height_mm / 3)
    arts = [face_art(s, filled, first, (wide, high), remark) for s in (shape, flipped)]
    notes = [
        (arts[0].cells.get(n.on.partition(".")[2]), f"{n.on}: {plain(n.text)}")
        for n in job.annotations_on(half.id)
    ]
    if beside:
        height = max(a.height_mm for a in arts)
        ink = gather(arts[0].ink, arts[1].ink.moved(width / 2 + 2, 0))
        more, extra = _notes(notes, arts[0], width)
        flow.put(gather(ink, more), height + extra)
    else:
        more, extra = _notes(notes, arts[0], width)
        flow.put(gather(arts[0].ink, more), arts[0].height_mm + extra)
        flow.put(arts[1].ink, arts[1].height_mm)
    flow.gap(2.0)


def _notes(notes: Sequence[tuple[object, str]], art: FaceArt, width: float) -> tuple[Strokes, float]:
    return led_notes(notes, art, 0.0, width) if notes else (Strokes(), 0.0)  # type: ignore[arg-type]


def _table(job: Job, half: Half) -> tuple[list[Column], list[Row]]:
    modes = job.modes
    columns = [
        Column("Cavity", grows=0), Column("Function"), Column("Wire", grows=0), Column("Colour"),
        Column("Size", grows=0), Column("Contact"), Column("Seal"), Column("Far end", grows=2),
        *(Column(f"{plain(m.title)}, V", "right", grows=0) for m in modes),
        Column("Reading", room_mm=16.0, grows=0),
    ]  # fmt: skip
    rows: list[Row] = []
    used, _ = fillings(job, half)
    names = [*half.cavity_names()]
    names += [n for n in used if n not in names]
    for name in sorted(names, key=natural):
        point = f"{half.id}.{name}"
        cavity = half.cavities.get(name, Cavity())
        expected = [volts(m.volt(point)) for m in modes]
        wires = [job.harness.wires[w] for w in job.ends.get(point, ())]
        if not wires:
            rows.append(_empty(name, cavity, len(modes)))
        for number, wire in enumerate(wires):
            first = number == 0
            said = expected if first else [""] * len(expected)
            rows.append([*_cavity_cells(job, half, name if first else "", cavity, wire, point), *said, ""])
    return columns, rows


def _empty(name: str, cavity: Cavity, modes: int) -> Row:
    plug = {"fitted": "plug fitted", "missing": "plug missing"}.get(cavity.plug or "", "empty")
    function = " · ".join(filter(None, (cavity.function, plug, cavity.note)))
    seal = cavity.seal or ""
    return [
        Cell(name, STRONG),
        Cell(plain(function), colour="muted"),
        "",
        "",
        "",
        "",
        seal,
        "",
        *[""] * modes,
        "",
    ]


def _cavity_cells(
    job: Job, half: Half, name: str, cavity: Cavity, wire: Wire, point: str
) -> list[Cell | str]:
    contact = cavity.contact or half.contact
    function = cavity.function or wire.circuit or ""
    notes = " · ".join(filter(None, (function, cavity.note if name else "", wire.note, dead_words(wire))))
    return [
        Cell(name, STRONG),
        Cell(plain(notes)),
        Cell(wire.id, STRONG),
        colour_cell(wire),
        looks.size_words(wire),
        contact_words(contact) if contact else "",
        cavity.seal or "",
        far_end(job.harness, wire, point),
    ]


def dead_words(wire: Wire) -> str:
    """Return what must be known about a wire that is not as it should be."""
    said = ["dead wire"] if wire.status == "dead" else []
    found = wire.as_found
    if found and found.colour and found.colour != wire.colour:
        said.append(f"found as {found.colour}")
    return ", ".join(said)


def colour_cell(wire: Wire) -> Cell:
    """Return the cell of a wire's colour: swatch, words and code."""
    return Cell(looks.colour_words(wire), codes=looks.codes(wire))


def _photos(flow: Flow, job: Job, half: Half) -> None:
    for photo in job.photos_of(half.id):
        path = job.folder / photo.file if job.folder else None
        image = QImage(str(path)) if path and path.is_file() else QImage()
        if image.isNull():
            flow.paragraph(f"Photo {plain(photo.file)} is not there or cannot be read.", colour="mend")
            continue
        flow.need(60.0)
        flow.picture(image, flow.body.width_mm, min(90.0, flow.room_mm - 8.0))
        flow.paragraph(f"{plain(photo.file)}{': ' + photo.note if photo.note else ''}", colour="muted")
