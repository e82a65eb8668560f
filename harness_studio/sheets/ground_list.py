"""Ground list: each ground's stack as it lies on its stud, who returns there, and room for a reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.base.geometry import Box
from harness_studio.base.units import show_mohm
from harness_studio.drawing import looks, metal
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Strokes, Text, gather, line
from harness_studio.model.entities import Ground
from harness_studio.placing.faces import natural

from . import swatch
from .flow import Flow
from .job import Job, far_end
from .leaf import Leaf
from .lettering import LEADING, TEXT_MM, plain, wrapped
from .numbers import NONE, amperes, millivolts, per_cent, volts
from .sharing import Sharer, sharers, shares_at
from .table import Cell, Column, Row

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares

SHEET = "Ground list"
_RING_WIDE_MM, _STUD_MM = 22.0, 7.0
_LABELS_MM = 34.0
"""From here on the labels of the rings stand."""


def ground_list(job: Job) -> list[Leaf]:
    """Return the pages of all grounds; several fit on a page."""
    grounds = sorted(job.harness.grounds.values(), key=lambda g: natural(g.id))
    found = shares_at(job, [g.id for g in grounds])
    flow = Flow(job, SHEET)
    for ground in grounds:
        _one(flow, job, ground, found[ground.id])
    return flow.leaves


def _one(flow: Flow, job: Job, ground: Ground, found: tuple[Shares | None, ...]) -> None:
    picture, height = _stack(job, ground, flow.body.width_mm)
    flow.leaf  # noqa: B018
    flow.need(min(height + 42.0, flow.body.height_mm * 0.7))
    if flow.y > flow.body.top_mm + 0.01:
        flow.gap(5.0)
        rule = line((0, 0), (flow.body.width_mm, 0))
        flow.put(gather(Stroke(rule, "hairline", 0.3)), 2.0)
    title = plain(job.harness.title_of(ground.id))
    flow.mark(title)
    flow.heading(title, keep_mm=height)
    flow.facts(_facts(job, ground))
    if ground.note:
        flow.paragraph(ground.note)
    flow.gap(1.0)
    flow.put(picture, height)
    for note in job.annotations_on(ground.id):
        flow.item(f"{note.on}: {plain(note.text)}", sign="▸")
    _returns(flow, job, found)
    flow.line_to_fill(("reading, mV", 3), ("at, A", 2), ("mode", 4))
    flow.line_to_fill(("cleaned on", 3), ("torque, N·m", 3), ("by", 3))


def _facts(job: Job, ground: Ground) -> list[tuple[str, str]]:
    zone = job.harness.zones.get(ground.zone) if ground.zone else None
    record = job.harness.joints.get(ground.id)
    as_found = ""
    if record:
        said = show_mohm(record.mohm / 1000) if record.mohm is not None else ""
        as_found = ", ".join(filter(None, (said, record.note or "", str(record.seen or ""))))
    return [
        ("on", f"{ground.place}" if ground.place else "no body recorded"),
        ("where", plain(zone.title or zone.id) if zone else ""),
        ("stud", ground.stud or ""),
        ("reach", ground.reach or ""),
        ("made by", ground.made_by or ""),
        ("as found", as_found),
        ("cleaned on", str(ground.cleaned or "not recorded")),
        ("known as", ground.known_as or ""),
    ]


def _stack(job: Job, ground: Ground, width: float) -> tuple[Strokes, float]:
    """Return the stack as a drawing with a line of text at the level of each ring, and its height."""
    rings = [list(ring) for ring in ground.stack]
    listed = {w for ring in rings for w in ring}
    loose = [w for w in job.ends.get(ground.id, ()) if w not in listed]
    rings += [[w] for w in loose]
    labels = [_ring_lines(job, ground, ring, width) for ring in rings]
    step = TEXT_MM * LEADING
    y = 3.0
    places: list[float] = []
    for found in reversed(labels):
        high = max(5.4, len(found) * step + 1.4)
        places.insert(0, y + min(2.7, high / 2))
        y += high
    stud_foot = y + _STUD_MM
    art = [
        metal.RingArt(Box(4.0, level - 2.2, _RING_WIDE_MM, 4.4), looks.codes(job.harness.wires[ring[0]]))
        for level, ring in zip(places, rings, strict=True)
        if ring and ring[0] in job.harness.wires
    ]
    parts: list[Strokes | Stroke | Text] = [metal.body_bar(Box(0.0, stud_foot, 30.0, 3.4))]
    parts.append(metal.stack(art, Box(4.0, 0.5, _RING_WIDE_MM, stud_foot - 0.5)))
    for number, (level, ring, found) in enumerate(zip(places, rings, labels, strict=True), 1):
        parts += _label(job, number, ring, found, level, on_stack=ring[0] not in loose if ring else True)
    if not rings:
        parts.append(Text(_LABELS_MM, 4.0, "no wire is recorded on this ground", TEXT_MM, REGULAR, "muted"))
    body = f"{ground.place}: metal of the body" if ground.place else "body not recorded"
    parts.append(Text(_LABELS_MM, stud_foot + 1.7, body, TEXT_MM, REGULAR, "muted"))
    return gather(*parts), stud_foot + 8.0


def _ring_lines(job: Job, ground: Ground, ring: list[str], width: float) -> list[str]:
    said = []
    for wire_id in ring:
        wire = job.harness.wires.get(wire_id)
        if wire is None:
            said.append(f"{wire_id}: no such wire")
            continue
        found = f"found as {wire.as_found.colour}" if wire.as_found and wire.as_found.colour else ""
        facts = (
            looks.colour_words(wire),
            looks.size_words(wire),
            found,
            f"from {far_end(job.harness, wire, ground.id)}",
        )
        said.append(f"{wire_id}: " + ", ".join(filter(None, facts)))
    lines = [one for text in said for one in wrapped(text, TEXT_MM, width - _LABELS_MM - 17.0)]
    return lines or ["empty ring"]


def _label(
    job: Job, number: int, ring: list[str], lines: list[str], level: float, *, on_stack: bool
) -> list[Strokes | Stroke | Text]:
    parts: list[Strokes | Stroke | Text] = []
    parts.append(Stroke(line((27.0, level), (_LABELS_MM - 1.2, level)), "hairline", 0.25))
    parts.append(Text(_LABELS_MM, level, str(number) if on_stack else "?", TEXT_MM, STRONG, "ink"))
    wire = job.harness.wires.get(ring[0]) if ring else None
    if wire:
        box = Box(_LABELS_MM + 5.0, level - swatch.HIGH_MM / 2, swatch.WIDE_MM, swatch.HIGH_MM)
        parts.append(swatch.swatch(looks.codes(wire), box))
    for k, one in enumerate(lines):
        parts.append(Text(_LABELS_MM + 14.5, level + k * TEXT_MM * LEADING, one, TEXT_MM, REGULAR, "ink"))
    return parts


def _returns(flow: Flow, job: Job, found: tuple[Shares | None, ...]) -> None:
    rises = [
        f"{plain(m.title)}: {volts(s.rise_v)} rise, {amperes(abs(s.joint_amperes))} through the stud,"
        f" {millivolts(abs(s.drop_v) * 1e3)} lost at it"
        for m, s in zip(job.modes, found, strict=True)
        if s is not None
    ]
    for said in rises:
        flow.item(said)
    loads = [s for s in sharers(found) if s.listed and not _resting_source(job, s)]
    if not loads:
        flow.paragraph("No load returns here in the modes shown.", colour="muted")
        return
    columns = [Column("Returns here", grows=2), Column("Circuit"), Column("Way", grows=0)]
    columns += [Column(f"{plain(m.title)}: share, A", "right", grows=0) for m in job.modes]
    flow.table(columns, [_load(job, s) for s in loads])


def _resting_source(job: Job, sharer: Sharer) -> bool:
    """Tell whether this is a battery or generator that takes nothing in any of the modes."""
    kind = job.harness.parts[sharer.part].kind if sharer.part in job.harness.parts else ""
    still = all(r is None or abs(r.amperes) < 1e-6 for r in sharer.rows)
    return kind in ("battery", "alternator", "dynamo") and still


def _load(job: Job, sharer: Sharer) -> Row:
    name = sharer.element.partition("/")[2] if sharer.element else ""
    title = job.harness.title_of(sharer.part) + (f", {name}" if name else "")
    way = {"only": "only way", "main": "main way"}.get(sharer.way, sharer.way)
    cells: list[Cell | str] = [Cell(plain(title), STRONG), sharer.circuit or "", way]
    for row in sharer.rows:
        if row is None:
            cells.append(NONE)
        else:
            cells.append(f"{per_cent(abs(row.share))} · {amperes(abs(row.share * row.amperes))}")
    return cells
