"""Parts by their kind's shape, with the connectors that are plugged onto them, and boxes with what they hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from harness_studio.base.geometry import Box, Point
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part

from .connector_drafts import PLUG_TITLE_MM, lay_plug, plug, row_at
from .drafts import (
    LEAD_MM,
    ROW_MM,
    Draft,
    Keys,
    above,
    along_side,
    below,
    beside_leg,
    spread,
    title_lines,
)
from .lettering import LABEL_MM
from .part_shapes import Shape, shape_of, sides_of
from .symbols import Anchor, Side, Text

_NAME_IN_MM = 1.4
_GAP_TO_FACE_MM = 4.0

Plugged = Sequence[tuple[str, ...]]
"""Groups of mated halves that are plugged onto one part."""


def terminals_of(harness: Harness, part: Part, plugged: Plugged, points: Sequence[str]) -> list[str]:
    """Return the names of a part's terminals; where any name may be one, those that something ends at."""
    names = dict.fromkeys(part.terminals() or ())
    if part.terminals() is None:
        for group in plugged:
            for half_id in group:
                if harness.halves[half_id].part == part.id:
                    cavities = harness.halves[half_id].cavities.values()
                    names.update(dict.fromkeys(c.terminal for c in cavities if c.terminal))
        if part.kind == "box":
            buses = [p.partition(".") for bus in part.ratings.buses for p in bus]
            names.update(dict.fromkeys(name for owner, _, name in buses if owner == part.id))
    names.update(dict.fromkeys(p.rpartition("@")[2].partition(".")[2] for p in points))
    if part.mount:
        names[part.mount.terminal] = None
    return [n for n in names if n]


def part_draft(
    harness: Harness, part: Part, plugged: Plugged, points: Mapping[str, Sequence[str]], keys: Keys
) -> Draft:
    """Return the draft of a part that stands by itself.

    Parameters
    ----------
    plugged
        Halves that are plugged onto it, each with what is mated with it. Their faces and combs stand at its left, and
        the terminals that no wire ends at directly are turned to them.
    points
        Addresses with wire ends, by owner.
    """
    members = dict.fromkeys([part.id, *(h for group in plugged for h in group)])
    draft = Draft(part.id, "part", tuple(members))
    shape = shape_of(part)
    terminals = terminals_of(harness, part, plugged, points.get(part.id, ()))
    left, right, bottom = sides_of(part, terminals, harness.settings.grounded)
    if plugged:
        wired = [t for t in (*left, *right) if keys.get(f"{part.id}.{t}")]
        covered = [t for t in (*left, *right) if t not in wired]
        left, right = [], wired
    else:
        covered = []
    outline = _outline(shape, part.id, left, right, covered, keys)
    draft.outlines[part.id] = outline
    _lay_sides(draft, shape, outline, part.id, (left, right, bottom), keys)
    if plugged:
        _lay_plugged(draft, harness, part.id, plugged, points, keys, covered)
    _name_inside(draft, shape, outline, part.id, (left, right))
    room = draft.extent()
    draft.texts += above(
        Box(outline.left_mm, room.top_mm, outline.width_mm, 0), title_lines(part.id, part.title)
    )
    draft.texts += below(outline, [""], "reading") if not bottom else [beside_leg(outline)]
    return draft


def _outline(
    shape: Shape, part_id: str, left: Sequence[str], right: Sequence[str], covered: Sequence[str], keys: Keys
) -> Box:
    needed = max(_height(part_id, left, keys), _height(part_id, right, keys), 3.0 * len(covered))
    extra = 2.0 if shape.round or not shape.leads else 0.0
    height = max(shape.height_mm, needed + (0 if needed <= ROW_MM else extra))
    width = height if shape.round and height > shape.height_mm else shape.width_mm
    return Box(-width / 2, -height / 2, width, height)


def _counts(part_id: str, names: Sequence[str], keys: Keys) -> list[int]:
    return [len(keys.get(f"{part_id}.{n}", ())) for n in names]


def _height(part_id: str, names: Sequence[str], keys: Keys) -> float:
    if not names:
        return 0.0
    _, places = spread(_counts(part_id, names, keys))
    return places[-1][-1] - places[0][0] + ROW_MM / 2


def _lay_sides(
    draft: Draft, shape: Shape, outline: Box, part_id: str, sides: tuple[Sequence[str], ...], keys: Keys
) -> None:
    """Place the terminals of each side, and the ends of the wires on each."""
    lead = LEAD_MM if shape.leads else 0.0
    names: tuple[Side, ...] = ("left", "right", "bottom")
    for side, terminals in zip(names, sides, strict=True):
        half = outline.height_mm / 2 if side == "bottom" else outline.width_mm / 2
        middles, places = spread(_counts(part_id, terminals, keys))
        for terminal, middle, along in zip(terminals, middles, places, strict=True):
            lay_terminal(draft, f"{part_id}.{terminal}", side, (half + lead, middle), along, keys)


def lay_terminal(
    draft: Draft, point: str, side: Side, at: tuple[float, float], along: Sequence[float], keys: Keys
) -> None:
    """Add a terminal's anchor at (out, along) and the places of its wires; several of these lie a leg further out."""
    out, middle = at
    draft.anchors[point] = Anchor(point, along_side(side, out, middle), side)
    ends = keys.get(point, ())
    if ends:
        draft.rows.append(row_at(point, ends, side, out + (LEAD_MM if len(ends) > 1 else 0.0), along))


def _lay_plugged(
    draft: Draft,
    harness: Harness,
    part_id: str,
    plugged: Plugged,
    points: Mapping[str, Sequence[str]],
    keys: Keys,
    covered: Sequence[str],
) -> None:
    """Add faces and combs at the left of a part, and turn its covered terminals to them."""
    outline = draft.outlines[part_id]
    plugs = [plug(harness, group, points, keys) for group in plugged]
    edge = outline.left_mm - _GAP_TO_FACE_MM
    top = -2.0 * round((sum(p.height_mm for p in plugs) + PLUG_TITLE_MM) / 4)
    for found in plugs:
        lay_plug(draft, found, edge, top, "left", keys)
        top += found.height_mm
    step = min(ROW_MM, (outline.height_mm - 2) / max(1, len(covered)))
    for i, terminal in enumerate(covered):
        y = (i - (len(covered) - 1) / 2) * step
        draft.anchors[f"{part_id}.{terminal}"] = Anchor(f"{part_id}.{terminal}", Point(edge, y), "left")


def _name_inside(
    draft: Draft, shape: Shape, outline: Box, part_id: str, sides: tuple[Sequence[str], Sequence[str]]
) -> None:
    """Write the names of the terminals at the inner edges, where the kind asks for it."""
    if not shape.names:
        return
    for names, side in zip(sides, ("left", "right"), strict=True):
        for name in names:
            y = draft.anchors[f"{part_id}.{name}"].at.y_mm + LABEL_MM * 0.36
            if side == "left":
                draft.texts.append(
                    Text(name, Point(outline.left_mm + _NAME_IN_MM, y), LABEL_MM, "start", "inside")
                )
            else:
                draft.texts.append(
                    Text(name, Point(outline.right_mm - _NAME_IN_MM, y), LABEL_MM, "end", "inside")
                )
