"""Splices, grounds with their stacks of rings, and the bodies they stand on."""

from __future__ import annotations

import math
from collections.abc import Sequence

from harness_studio.base.geometry import Box, Point
from harness_studio.model.entities import Body, Ground, Splice

from .drafts import ROW_MM, SLOT_MM, Draft, Keys, Row, above, title_lines
from .lettering import LABEL_MM, TITLE_MM, fitted, width_mm
from .symbols import Anchor, Key, Side, Text

DOT_MM = 4.0
_LEG_MM = 6.0
RING_MM = 18.0
_LEFT_RIGHT: tuple[Side, Side] = ("left", "right")
_RING_PITCH_MM = 6.0
_MANY_RINGS = 6
_FOOT_MM = 6.0
"""From the lowest ring to the metal."""
BAR_MM = 8.0
_LEAST_BAR_MM = 60.0
BAR_END_MM = 8.0
"""What is fixed to a bar keeps this far from its ends."""
_SIGN_MM = 4.0
"""The frame-or-chassis sign hangs this far below the bar."""


def splice_draft(splice: Splice, points: Sequence[str], keys: Keys) -> Draft:
    """Return a splice: a dot, with legs in four directions, or to the left and right where there are more.

    Parameters
    ----------
    points
        Addresses at which something ends on it.
    """
    draft = Draft(splice.id, "splice", (splice.id,))
    draft.outlines[splice.id] = Box(-DOT_MM / 2, -DOT_MM / 2, DOT_MM, DOT_MM)
    draft.anchors[splice.id] = Anchor(splice.id, Point(0, 0), "right")
    ends = [k for p in points for k in keys.get(p, ())]
    if ends:
        shares: list[Side] = ["left" if i == 0 else "right" for i in range(len(ends))]
        draft.rows.append(legs(ends, shares))
    reach = _spine(max(1, len(ends) - 1))
    draft.extra.append(Box(-_LEG_MM, -reach, 2 * _LEG_MM, 2 * reach))
    name = fitted(splice.id, LABEL_MM, 40.0)
    draft.texts.append(Text(name, Point(2.2, -reach - 2.2), LABEL_MM, "start", "title"))
    draft.margin_mm = 2.0
    return draft


def _spine(count: int) -> float:
    return max(DOT_MM / 2, (count - 1) / 2 * SLOT_MM)


def legs(ends: Sequence[Key], sides: Sequence[Side]) -> Row:
    """Return the places of a splice's legs: those on one side stand next to each other in the given order."""
    places: list[tuple[Point, Side]] = []
    for i, side in enumerate(sides):
        same = [j for j, other in enumerate(sides) if other == side]
        along = (same.index(i) - (len(same) - 1) / 2) * SLOT_MM
        if side in ("left", "right"):
            places.append((Point(-_LEG_MM if side == "left" else _LEG_MM, along), side))
        else:
            places.append((Point(along, -_LEG_MM if side == "top" else _LEG_MM), side))
    return Row([(end[1], [end]) for end in ends], places)


def ground_rings(ground: Ground, ends: Sequence[Key]) -> tuple[list[list[Key]], list[list[Key]]]:
    """Return the wire ends on each ring: those of the stack, the one next to the metal first, and those not in it.

    A wire that is in no listed ring has a ring of its own, above the others as long as nobody says where it is.
    """
    by_wire = {key[0]: key for key in ends}
    rings = [[by_wire.pop(w) for w in ring if w in by_wire] for ring in ground.stack]
    fixed_to = {key[1].partition("@")[0]: key for key in ends if "@" in key[1]}
    for wire, key in fixed_to.items():
        home = next((ring for ring in rings if any(k[0] == wire for k in ring)), None)
        if home is not None and key[0] in by_wire:
            home.append(by_wire.pop(key[0]))
    return [r for r in rings if r], [[key] for key in by_wire.values()]


def ground_draft(ground: Ground, points: Sequence[str], keys: Keys) -> Draft:
    """Return a ground by its foot: its stud, and on it one ellipse for each ring; wires leave rings left and right."""
    draft = Draft(ground.id, "ground", (ground.id,))
    stud = (ground.id, ground.id)
    listed, unlisted = ground_rings(ground, [k for p in points for k in keys.get(p, ()) if k != stud])
    y = -_FOOT_MM
    low_mm = _RING_PITCH_MM if len(unlisted) <= _MANY_RINGS else SLOT_MM
    for rings, pitch in ((listed, _RING_PITCH_MM), (unlisted, low_mm)):
        for ring in rings:
            rows = math.ceil(len(ring) / 2)
            height = pitch + (rows - 1) * SLOT_MM
            draft.outlines[f"{ground.id}/{ring[0][0]}"] = Box(-RING_MM / 2, y - height, RING_MM, height)
            levels = [y - height / 2 - (rows - 1) / 2 * SLOT_MM + i * SLOT_MM for i in range(rows)]
            places = [(_ring_end(side, level), side) for level in levels for side in _LEFT_RIGHT]
            groups = [(k[1], [k]) for k in ring]
            draft.rows.append(Row(groups, places[: len(ring)], free=True, unlisted=rings is unlisted))
            y -= height
    top = min(y, -_FOOT_MM - _RING_PITCH_MM) - 2.0
    draft.outlines[ground.id] = Box(-RING_MM / 2, top, RING_MM, -top)
    draft.anchors[ground.id] = Anchor(ground.id, Point(0, 0), "bottom")
    if ground.place:
        draft.rows.append(Row([(ground.id, [stud])], [(Point(0, 0), "bottom")]))
    draft.texts += above(draft.outlines[ground.id], title_lines(ground.id, ground.title), 1.6)
    return draft


def _ring_end(side: Side, level: float) -> Point:
    return Point(RING_MM / 2 * (-1 if side == "left" else 1), level)


def body_draft(body: Body, points: Sequence[str], keys: Keys, standing: int) -> Draft:
    """Return a body as a broad bar with room for everything that is fixed to it, evenly spread.

    Parameters
    ----------
    points
        Its places at which something ends.
    standing
        How many grounds stand on it.
    """
    draft = Draft(body.id, "body", (body.id,))
    ends = [k for p in points for k in keys.get(p, ())]
    half = max(
        least_bar_mm(body) / 2, (ROW_MM * (len(ends) - standing) + 2 * RING_MM * standing) / 2 + BAR_END_MM
    )
    step = (2 * half - 2 * BAR_END_MM) / max(1, len(ends))
    spots: list[Spot] = [
        (key, Point(-half + BAR_END_MM + (i + 0.5) * step, -BAR_MM / 2), "top") for i, key in enumerate(ends)
    ]
    lay_bar(draft, body, -half, half, spots)
    return draft


def least_bar_mm(body: Body) -> float:
    """Return the least length of a body's bar: its title and the sign at its end."""
    return 2.0 * math.ceil(max(_LEAST_BAR_MM, width_mm(_bar_title(body), TITLE_MM) + 24.0) / 2)


def _bar_title(body: Body) -> str:
    return f"{body.id}: {body.title}" if body.title else body.id


Spot = tuple[Key, Point, Side]
"""An end, its place on a bar, and the side where it leaves."""


def lay_bar(draft: Draft, body: Body, left: float, right: float, spots: Sequence[Spot]) -> None:
    """Lay a body's bar from `left` to `right` of its middle, with the ends of what is fixed to it."""
    draft.outlines[body.id] = Box(left, -BAR_MM / 2, right - left, BAR_MM)
    draft.extra = [Box(left, -BAR_MM / 2, right - left, BAR_MM + _SIGN_MM)]
    by_place: dict[str, list[Spot]] = {}
    for spot in spots:
        by_place.setdefault(spot[0][1], []).append(spot)
    draft.rows = [
        Row([(place, [key for key, _, _ in some])], [(at, side) for _, at, side in some])
        for place, some in by_place.items()
    ]
    for place in body.places_mohm:
        point = f"{body.id}.{place}"
        some = by_place.get(point, [])
        draft.anchors[point] = Anchor(
            point, some[0][1] if some else Point((left + right) / 2, -BAR_MM / 2), "top"
        )
    title = fitted(_bar_title(body), TITLE_MM, right - left - 8.0)
    draft.texts = [Text(title, Point(left + 4.0, TITLE_MM * 0.36), TITLE_MM, "start", "title")]
