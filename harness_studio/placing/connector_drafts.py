"""Connectors: the face in the middle, and combs of teeth where the wires leave."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from harness_studio.base.geometry import Box, Point
from harness_studio.model.entities import Half
from harness_studio.model.harness import Harness

from .drafts import SLOT_MM, Draft, Keys, Row, above, along_side, below, title_lines
from .faces import FaceShape, face_shape
from .lettering import NOTE_MM
from .symbols import Anchor, Key, Side, Text

TOOTH_MM = 6.0
PLUG_TITLE_MM = 6.0


def _sides_of(face: FaceShape) -> Box:
    """Return the box whose left and right edges teeth start from: a lock on one of these sides stands out."""
    extent = face.extent
    return Box(extent.left_mm, face.outline.top_mm, extent.width_mm, face.outline.height_mm)


def used_cavities(half_id: str, points: Iterable[str]) -> list[str]:
    """Return the names of a half's cavities among points; `W40@X7.3` is the metal in cavity 3."""
    names = dict.fromkeys(p.rpartition("@")[2].partition(".")[2] for p in points)
    return [n for n in names if n]


def comb(
    draft: Draft, half_ids: Sequence[str], points: Sequence[str], keys: Keys, face: Box, side: Side
) -> None:
    """Add a comb with a tooth for each wire end at some points, on one side of a face.

    Parameters
    ----------
    points
        In the order in which they stand until far ends are known.
    face
        Where the face lies in the draft; the teeth stand about its middle.
    """
    wired = [p for p in points if keys.get(p)]
    count = sum(len(keys[p]) for p in wired)
    if not count:
        return
    middle = face.centre.y_mm
    edge = face.left_mm if side == "left" else face.right_mm
    tip = edge + (-TOOTH_MM if side == "left" else TOOTH_MM)
    top = middle - (count - 1) / 2 * SLOT_MM
    places: list[tuple[Point, Side]] = [(Point(tip, top + i * SLOT_MM), side) for i in range(count)]
    draft.rows.append(Row([(p, list(keys[p])) for p in wired], places, True, True, TOOTH_MM))
    teeth = Box(min(edge, tip), top - SLOT_MM / 2, TOOTH_MM, count * SLOT_MM)
    draft.outlines.update({f"comb:{half_id}": teeth for half_id in half_ids})


def unused_anchors(
    draft: Draft, half: Half, face: FaceShape, at: Point, side: Side, to: Mapping[str, str]
) -> None:
    """Add anchors in the face for all cavities of a half; a comb's tooth takes the place of a used one.

    Parameters
    ----------
    to
        Own cavity → the face's cavity, where they differ.
    """
    for name in half.cavity_names():
        cell = face.cell(to.get(name, name))
        if cell is not None:
            point = f"{half.id}.{name}"
            draft.anchors.setdefault(point, Anchor(point, cell.at.moved(at.x_mm, at.y_mm), side))


def cavity_map(shown: Half, other: Half) -> dict[str, str]:
    """Return other's cavity → the cavity of the shown half that it meets, where the names differ."""
    pairs = shown.mates.get(other.id)
    if pairs:
        return {theirs: own for own, theirs in pairs.items()}
    pairs = other.mates.get(shown.id)
    return dict(pairs) if pairs else {}


def connector_draft(
    harness: Harness, home: str, group: Sequence[str], points: Mapping[str, Sequence[str]], keys: Keys
) -> Draft:
    """Return the draft of one half or of mated halves.

    Parameters
    ----------
    home
        The half whose position places the symbol.
    group
        The mated halves, the one that states the mating first.
    points
        Addresses with wire ends, by owner.

    Notes
    -----
    The first half's wires are at the left, all others' at the right; a single half has its comb at the right.
    """
    halves = [harness.halves[h] for h in group]
    shown = next((h for h in halves if h.face and h.face.names()), halves[0])
    draft = Draft(home, "connector", (home, *(h for h in group if h != home)))
    face = face_shape(shown, _cavities_seen(shown, halves, points))
    draft.outlines[shown.id] = face.outline
    if face.lock_bar:
        draft.extra.append(face.lock_bar)
    left = halves[:1] if len(halves) > 1 else []
    right = halves[1:] if len(halves) > 1 else halves
    sides: tuple[tuple[list[Half], Side], ...] = ((left, "left"), (right, "right"))
    for some, side in sides:
        comb(
            draft,
            [h.id for h in some],
            _in_face_order(some, face, shown, points),
            keys,
            _sides_of(face),
            side,
        )
        for half in some:
            unused_anchors(draft, half, face, Point(0, 0), side, cavity_map(shown, half))
    room = draft.extent()
    ids = " · ".join(h.id for h in halves)
    draft.texts += above(room, title_lines(ids, next((h.title for h in halves if h.title), None)))
    draft.texts += below(room, [_view_note(face)], "note")
    return draft


_VIEWS = {"mating": "mating face", "wire entry": "wire side"}
_LOCKS = {"top": "lock up", "bottom": "lock down", "left": "lock left", "right": "lock right"}


def _view_note(face: FaceShape) -> str:
    if not face.known:
        return "face not known"
    return _VIEWS[face.view] + (f", {_LOCKS[face.lock]}" if face.lock else "")


def _cavities_seen(shown: Half, halves: Sequence[Half], points: Mapping[str, Sequence[str]]) -> list[str]:
    """Return the cavities of the shown half that are in use on any side, by its own names."""
    seen: dict[str, None] = {}
    for half in halves:
        to = cavity_map(shown, half)
        names = used_cavities(half.id, points.get(half.id, ()))
        if not (shown.face and shown.face.names()):
            names += [n for n in half.cavity_names() if n not in names]
        seen.update(dict.fromkeys(to.get(n, n) for n in names))
    return list(seen)


def _in_face_order(
    halves: Sequence[Half], face: FaceShape, shown: Half, points: Mapping[str, Sequence[str]]
) -> list[str]:
    """Return the points of some halves in the reading order of the face."""
    rank = {c.name: i for i, c in enumerate(face.cells)}
    found: list[tuple[int, int, str]] = []
    for half in halves:
        to = cavity_map(shown, half)
        for number, point in enumerate(points.get(half.id, ())):
            name = point.rpartition("@")[2].partition(".")[2]
            found.append((rank.get(to.get(name, name), len(rank)), number, point))
    return [point for _, _, point in sorted(found)]


@dataclass(frozen=True, slots=True)
class Plug:
    """A half that is plugged onto a part, with what is mated with it: its face, and the points of its one comb.

    `height_mm` is the height of the taller of face and comb, with a line of text above.
    """

    halves: tuple[Half, ...]
    shown: Half
    face: FaceShape
    points: tuple[str, ...]
    height_mm: float


def plug(harness: Harness, group: Sequence[str], points: Mapping[str, Sequence[str]], keys: Keys) -> Plug:
    """Measure a plugged half (`group`: it and what is mated with it)."""
    halves = tuple(harness.halves[h] for h in group)
    shown = next((h for h in halves if h.face and h.face.names()), halves[0])
    face = face_shape(shown, _cavities_seen(shown, halves, points))
    in_order = _in_face_order(halves, face, shown, points)
    wires = sum(len(keys.get(p, ())) for p in in_order)
    height = max(face.extent.height_mm, wires * SLOT_MM) + PLUG_TITLE_MM
    return Plug(halves, shown, face, tuple(in_order), 2.0 * math.ceil(height / 2))


def lay_plug(draft: Draft, found: Plug, edge_mm: float, top_mm: float, side: Side, keys: Keys) -> None:
    """Add a plugged half's face, comb and name to a draft.

    Parameters
    ----------
    edge_mm
        Where the edge of the face lies that is away from the comb.
    top_mm
        Upper end of the room it takes.
    side
        On which side the comb is.
    """
    half = found.face.extent.width_mm / 2
    room = found.height_mm - PLUG_TITLE_MM
    y = 2.0 * round((top_mm + PLUG_TITLE_MM + room / 2) / 2)
    at = Point(edge_mm + (-half if side == "left" else half), y)
    draft.outlines[found.shown.id] = found.face.outline.moved(at.x_mm, at.y_mm)
    if found.face.lock_bar:
        draft.extra.append(found.face.lock_bar.moved(at.x_mm, at.y_mm))
    sides = _sides_of(found.face).moved(at.x_mm, at.y_mm)
    comb(draft, [h.id for h in found.halves], found.points, keys, sides, side)
    for member in found.halves:
        unused_anchors(draft, member, found.face, at, side, cavity_map(found.shown, member))
    ids = " · ".join(h.id for h in found.halves)
    draft.texts.append(Text(ids, Point(at.x_mm, top_mm + NOTE_MM), NOTE_MM, "middle", "note"))


def spread_places(side: Side, out_mm: float, along: Sequence[float]) -> list[tuple[Point, Side]]:
    """Return places on one side, `out_mm` out."""
    return [(along_side(side, out_mm, a), side) for a in along]


def row_at(point: str, ends: Sequence[Key], side: Side, out_mm: float, along: Sequence[float]) -> Row:
    """Return the places of one terminal's wires on one side."""
    return Row([(point, list(ends))], spread_places(side, out_mm, along))
