"""A symbol that stands on a page with everything drawn within it, in millimetres of the page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from harness_studio.base.geometry import Box, Point
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing import symbols as placed
from harness_studio.placing.connector_drafts import TOOTH_MM, cavity_map
from harness_studio.placing.drafts import OUTWARDS
from harness_studio.placing.faces import FaceShape, face_shape, lock_bar
from harness_studio.placing.homes import mated_groups
from harness_studio.placing.links import owner
from harness_studio.placing.placed import box_on_page, side_on_page, to_page
from harness_studio.placing.symbols import Anchor, Symbol

from . import faces, looks, metal
from .glyph import LINE, Pin, Reading, Subject
from .parts import draw_part
from .strokes import Align, Stroke, Strokes, Text, gather, line

CAP_SHARE = 0.33
"""Half the height of a capital over the size of its font: from a baseline to the middle of the line."""
_ALIGN: Mapping[str, Align] = {"start": "left", "middle": "middle", "end": "right"}


@dataclass(frozen=True, slots=True)
class Shown:
    """What a symbol shows beside the harness itself: readings by part, and points whose cavities have a ring."""

    readings: tuple[tuple[str, Reading], ...] = ()
    ringed: frozenset[str] = frozenset()


NOTHING_MORE = Shown()


Groups = Mapping[str, tuple[str, ...]]
"""For each half all halves that are mated with it (`placing.homes.mated_groups`)."""


def draw_symbol(
    harness: Harness, symbol: Symbol, at: At, shown: Shown = NOTHING_MORE, groups: Groups | None = None
) -> Strokes:
    """Return the strokes of a symbol, and the texts that are part of them (cavity numbers, letters).

    Parameters
    ----------
    symbol
        As it lies on the page (`placing.placed.on_page`).
    at
        Where it stands, for what must be turned with it.
    groups
        Mated halves of the harness, where they are known already.
    """
    pieces = [
        *_bodies(harness, symbol),
        *_parts(harness, symbol, shown),
        *_connectors(harness, symbol, at, shown, groups),
        *_grounds(harness, symbol),
        *_legs(harness, symbol),
        *_splices(harness, symbol),
    ]
    return gather(*pieces).joined()


def drawn_of(harness: Harness, symbol: Symbol, groups: Groups) -> tuple[object, ...]:
    """Return all of a harness that the strokes of a symbol are drawn from; while these are the same, so are they."""
    tables = (harness.parts, harness.halves, harness.grounds, harness.splices, harness.bodies)
    wires, halves = harness.wires, harness.halves
    found: list[object] = [table.get(member) for member in symbol.members for table in tables]
    found += [halves.get(other) for member in symbol.members for other in groups.get(member, ())]
    found += [wires.get(wire) for wire, _ in symbol.wire_anchors]
    found += [wires.get(name.partition("/")[2]) for name in symbol.outlines if "/" in name]
    return tuple(found)


def beside(symbol: Symbol) -> tuple[list[Text], list[Text]]:
    """Return the texts that belong to a symbol: (those within its outline, those that stand beside it)."""
    within: list[Text] = []
    outside: list[Text] = []
    for text in symbol.texts:
        if text.text:
            (within if text.role == "inside" else outside).append(text_of(text))
    return within, outside


def text_of(text: placed.Text) -> Text:
    """Return a symbol's text as it is drawn."""
    strong = text.role == "title"
    enlarged = {"title": 2.4, "note": 1.25, "reading": 1.7, "inside": 1.5}[text.role]
    return Text(
        text.at.x_mm,
        text.at.y_mm - text.size_mm * CAP_SHARE,
        text.text,
        text.size_mm,
        600 if strong else 400,
        "ink" if strong else "muted",
        _ALIGN[text.align],
        text.size_mm * enlarged,
        {"title": 1, "note": 7, "reading": 4, "inside": 3}[text.role],
    )


def reading_place(symbol: Symbol) -> Text | None:
    """Return where a symbol's live values are written; None if it has no such place."""
    return next((text_of(text) for text in symbol.texts if text.role == "reading"), None)


def _bodies(harness: Harness, symbol: Symbol) -> Iterator[Strokes]:
    for member in symbol.members:
        if member in harness.bodies and member in symbol.outlines:
            yield metal.body_bar(symbol.outlines[member])


def _splices(harness: Harness, symbol: Symbol) -> Iterator[Strokes]:
    for member in symbol.members:
        if member in harness.splices and member in symbol.outlines:
            yield metal.splice(symbol.outlines[member])


def _grounds(harness: Harness, symbol: Symbol) -> Iterator[Strokes]:
    for member in symbol.members:
        if member in harness.grounds and member in symbol.outlines:
            rings = [
                metal.RingArt(box, _codes(harness, joint.partition("/")[2]))
                for joint, box in symbol.outlines.items()
                if joint.startswith(f"{member}/")
            ]
            yield metal.stack(rings, symbol.outlines[member])


def _codes(harness: Harness, wire_id: str) -> tuple[str, ...]:
    wire = harness.wires.get(wire_id)
    return looks.codes(wire) if wire else ()


def _parts(harness: Harness, symbol: Symbol, shown: Shown) -> Iterator[Strokes]:
    parts = [harness.parts[m] for m in symbol.members if m in harness.parts and m in symbol.outlines]
    readings = dict(shown.readings)
    # A box lies under what it holds.
    for part in sorted(parts, key=lambda p: p.kind != "box"):
        pins = {
            name: Pin(anchor.at.x_mm, anchor.at.y_mm, anchor.side)
            for name, anchor in _anchors_of(symbol, part.id)
        }
        reading = readings.get(part.id, Reading())
        yield draw_part(Subject(part.kind, part.ratings, symbol.outlines[part.id], pins, reading))


def _anchors_of(symbol: Symbol, owner_id: str) -> Iterator[tuple[str, Anchor]]:
    for point, anchor in symbol.anchors.items():
        of, _, name = point.partition(".")
        if of == owner_id and "@" not in point:
            yield name, anchor


def _connectors(
    harness: Harness, symbol: Symbol, at: At, shown: Shown, groups: Groups | None
) -> Iterator[Strokes]:
    halves = [m for m in symbol.members if m in harness.halves]
    if not halves:
        return
    teeth = []
    combs = {h for h in halves if f"comb:{h}" in symbol.outlines}
    for (wire_id, point), anchor in symbol.wire_anchors.items():
        if owner(point) in combs:
            dx, dy = OUTWARDS[anchor.side]
            root = anchor.at.moved(-dx * TOOTH_MM, -dy * TOOTH_MM)
            teeth.append((root, anchor.at, _codes(harness, wire_id)))
    yield faces.comb(teeth)
    groups = mated_groups(harness) if groups is None else groups
    for half_id in halves:
        if half_id in symbol.outlines:
            shape, fillings = face_of(harness, symbol, at, groups[half_id], half_id, shown.ringed)
            yield faces.face(shape, symbol.outlines[half_id].centre, fillings)


def face_of(
    harness: Harness,
    symbol: Symbol,
    at: At,
    group: tuple[str, ...],
    half_id: str,
    ringed: frozenset[str] = frozenset(),
) -> tuple[FaceShape, dict[str, faces.Filling]]:
    """Return the face that a symbol shows for mated halves, and what sits in its cavities.

    Parameters
    ----------
    group
        The mated halves; `half_id` is the one whose face is shown.
    """
    half = harness.halves[half_id]
    fillings: dict[str, faces.Filling] = {
        name: faces.Filling(plug=True) for name, cavity in half.cavities.items() if cavity.plug == "fitted"
    }
    used: dict[str, None] = {}
    for member in (half_id, *(m for m in group if m != half_id)):
        to = cavity_map(half, harness.halves[member]) if member != half_id else {}
        for wire_id, point in symbol.wire_anchors:
            if owner(point) != member:
                continue
            own = point.rpartition("@")[2].partition(".")[2]
            name = to.get(own, own)
            used[name] = None
            known = fillings.get(name)
            if known is None or known.plug:
                fillings[name] = faces.Filling(_codes(harness, wire_id))
            if point in ringed or f"{member}.{own}" in ringed:
                fillings[name] = replace(fillings[name], ringed=True)
    return _turned(face_shape(half, list(used)), at), fillings


def _turned(shape: FaceShape, at: At) -> FaceShape:
    """Return a face turned and mirrored with its symbol; the numbers in it stay upright."""
    if not at.turn % 360 and not at.mirror:
        return shape
    how = At(0.0, 0.0, at.turn, at.mirror)
    outline = box_on_page(shape.outline, how)
    lock = side_on_page(shape.lock, how) if shape.lock else None
    cells = tuple(replace(c, at=to_page(c.at, how)) for c in shape.cells)
    return replace(shape, cells=cells, outline=outline, lock=lock, lock_bar=lock_bar(outline, lock))


def point_at(
    harness: Harness, symbol: Symbol, at: At, here: Point, groups: Groups | None = None
) -> str | None:
    """Return the point or joint of a symbol that lies at a place of the page.

    A ring of a stack is its joint ('GP2/W40'), a cavity of a face its half's ('X7.3'), a terminal its part's.
    """
    for name, box in symbol.outlines.items():
        if "/" in name and box.contains(here):
            return name
    if groups is None:
        groups = mated_groups(harness) if any(m in harness.halves for m in symbol.members) else {}
    for half_id in symbol.members:
        if half_id in harness.halves and half_id in symbol.outlines:
            shape, _ = face_of(harness, symbol, at, groups[half_id], half_id)
            for name, box in faces.cell_boxes(shape, symbol.outlines[half_id].centre).items():
                if box.contains(here):
                    return f"{half_id}.{name}"
    near = [
        (abs(a.at.x_mm - here.x_mm) + abs(a.at.y_mm - here.y_mm), point)
        for point, a in symbol.anchors.items()
    ]
    distance, point = min(near, default=(9.0, ""))
    return point if distance <= 2.0 else None


def member_at(symbol: Symbol, here: Point) -> str | None:
    """Return the innermost thing of a symbol whose outline holds a place of the page."""
    found = [
        (box.width_mm * box.height_mm, name)
        for name, box in symbol.outlines.items()
        if "/" not in name and ":" not in name and box.grown(1.0).contains(here)
    ]
    return min(found)[1] if found else None


def _legs(harness: Harness, symbol: Symbol) -> Iterator[Strokes]:
    """Yield the legs from a point to where its wires leave, in their colours."""
    combs = {m for m in symbol.members if f"comb:{m}" in symbol.outlines}
    metal_of = {
        m for m in symbol.members if m in harness.grounds or m in harness.bodies
    }  # a stud, a bar: no legs
    strokes: list[Stroke] = []
    for (wire_id, point), anchor in symbol.wire_anchors.items():
        root = symbol.anchors.get(point) or symbol.anchors.get(point.rpartition("@")[2])
        if root is None or owner(point) in combs or owner(point) in metal_of:
            continue
        if abs(root.at.x_mm - anchor.at.x_mm) + abs(root.at.y_mm - anchor.at.y_mm) < 0.2:
            continue
        path = line((root.at.x_mm, root.at.y_mm), (anchor.at.x_mm, anchor.at.y_mm))
        wire = harness.wires.get(wire_id)
        codes = looks.codes(wire) if wire else ()
        width = looks.width_mm(wire) if wire else LINE
        edge, core = (f"{codes[0]}|", codes[0]) if codes else (None, "muted")
        if edge:
            strokes.append(Stroke(path, edge, width + 0.6))
        strokes.append(Stroke(path, core, width if codes else width / 2))
    if strokes:
        yield Strokes(tuple(strokes))


def outline_box(symbol: Symbol) -> Box:
    """Return the box of what a symbol is, without its leads and combs: what a selection rings."""
    return symbol.outlines.get(symbol.id) or next(
        (box for name, box in symbol.outlines.items() if ":" not in name and "/" not in name), symbol.box
    )
