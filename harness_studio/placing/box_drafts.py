"""Boxes that hold fuses and relays: a row for each fuse, a taller one for a relay; in at the left, out at the right."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Mapping, Sequence

from harness_studio.base.geometry import Box, Point
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part

from .connector_drafts import lay_plug, plug
from .drafts import ROW_MM, Draft, Keys, above, spread, title_lines
from .lettering import LABEL_MM, NOTE_MM, fitted
from .part_drafts import Plugged, lay_terminal, terminals_of
from .part_shapes import shape_of, sides_of
from .symbols import Anchor, Key, Side, Text

WIDTH_MM = 54.0
_RIM_MM = 2.0
_NAME_MM = 10.0
"""Room at either edge for the names of terminals, where a held part has more than two."""
_SYMBOL_MM = 28.0
_FIRST_MM = 3.0

Points = Mapping[str, Sequence[str]]


def box_draft(
    harness: Harness, box: Part, plugged: Mapping[str, Plugged], points: Points, keys: Keys
) -> Draft:
    """Return the draft of a box with all that it holds.

    Parameters
    ----------
    plugged
        For the box and each held part, the halves that are plugged onto it, each with what is mated with it. A socket's
        wires end at the terminals that its cavities name; a connector on the box itself has its face below the rows.
    """
    held = _held(harness, box)
    sockets = [h for part in held for group in plugged.get(part.id, ()) for h in group]
    faces = plugged.get(box.id, ())
    members = (box.id, *(p.id for p in held), *sockets, *(h for g in faces for h in g))
    draft = Draft(box.id, "box", tuple(dict.fromkeys(members)))
    ends = _through_sockets(harness, held, plugged, points, keys)
    rows = [_Row(draft, harness, part, ends, plugged.get(part.id, ()), points) for part in held]
    own = terminals_of(harness, box, (), points.get(box.id, ()))
    own_middles, own_places = spread([len(keys.get(f"{box.id}.{n}", ())) for n in own])
    own_height = _span(own_places)
    height = sum(r.height_mm for r in rows) + own_height + 2 * _RIM_MM
    outline = _frame(max(height, shape_of(box).height_mm))
    top = outline.top_mm + _RIM_MM
    for name, middle, along in zip(own, own_middles, own_places, strict=True):
        shift = top + own_height / 2
        lay_terminal(
            draft,
            f"{box.id}.{name}",
            "left",
            (WIDTH_MM / 2, middle + shift),
            [a + shift for a in along],
            keys,
        )
        at = Point(outline.left_mm + 1.4, middle + shift + LABEL_MM * 0.36)
        draft.texts.append(Text(name, at, LABEL_MM, "start", "inside"))
    top += own_height
    for row in rows:
        row.lay(top)
        top += row.height_mm
    draft.outlines[box.id] = outline
    _lay_faces(draft, harness, faces, points, keys)
    draft.texts += above(draft.outlines[box.id], title_lines(box.id, box.title))
    return draft


def _held(harness: Harness, box: Part) -> list[Part]:
    """Return the parts in a box in order, those of a box within it after it."""
    found: list[Part] = []
    waiting = list(box.ratings.holds)
    while waiting:
        part = harness.parts.get(waiting.pop(0))
        if part is None or part is box or part in found:
            continue
        if part.kind == "box":
            waiting = [*part.ratings.holds, *waiting]
        found.append(part)
    return found


def _through_sockets(
    harness: Harness, held: Sequence[Part], plugged: Mapping[str, Plugged], points: Points, keys: Keys
) -> Keys:
    """Return the wire ends at each terminal, counting those in the cavities of a socket that lead to it."""
    more: dict[str, list[Key]] = {}
    for part in held:
        for group in plugged.get(part.id, ()):
            for half_id in group:
                cavities = harness.halves[half_id].cavities
                for point in points.get(half_id, ()):
                    name = point.rpartition("@")[2].partition(".")[2]
                    known = cavities[name].terminal if name in cavities else None
                    terminal = f"{part.id}.{known or name}"
                    more.setdefault(terminal, list(keys.get(terminal, ()))).extend(keys.get(point, ()))
    return ChainMap(more, keys) if more else keys  # type: ignore[arg-type]


def _span(places: Sequence[Sequence[float]]) -> float:
    return places[-1][-1] - places[0][0] + ROW_MM if places else 0.0


class _Row:
    """One held part: how high its row is, and how it is laid into the draft."""

    def __init__(
        self, draft: Draft, harness: Harness, part: Part, ends: Keys, sockets: Plugged, points: Points
    ) -> None:
        terminals = terminals_of(harness, part, sockets, points.get(part.id, ()))
        for half in (harness.halves[h] for group in sockets for h in group):
            named = [c.terminal or name for name, c in half.cavities.items()]
            wired = [t for t in named if ends.get(f"{part.id}.{t}")]
            terminals += [t for t in dict.fromkeys(wired) if t not in terminals]
        left, right, bottom = sides_of(part, terminals, harness.settings.grounded)
        self.draft, self.part, self.ends = draft, part, ends
        self.sockets = [harness.halves[h] for group in sockets for h in group]
        self.sides: tuple[tuple[Side, Sequence[str]], ...] = (("left", left), ("right", [*right, *bottom]))
        self.spreads = [
            spread([len(ends.get(f"{part.id}.{n}", ())) for n in names]) for _, names in self.sides
        ]
        self.named = max(len(names) for _, names in self.sides) > 1
        self.height_mm = max(ROW_MM, *(_span(places) for _, places in self.spreads))
        if self.named:
            self.height_mm += ROW_MM

    def lay(self, top: float) -> None:
        """Place the part's symbol, its terminals at both edges of the box, and its texts."""
        title = ROW_MM if self.named else 0.0
        middle = top + title + (self.height_mm - title) / 2
        for (side, names), (middles, places) in zip(self.sides, self.spreads, strict=True):
            for name, y, along in zip(names, middles, places, strict=True):
                point = f"{self.part.id}.{name}"
                lay_terminal(
                    self.draft,
                    point,
                    side,
                    (WIDTH_MM / 2, middle + y),
                    [a + middle for a in along],
                    self.ends,
                )
                if self.named:
                    self._name(name, side, middle + y)
        self._lay_symbol(top, middle, title)
        for half in self.sockets:
            for cavity in half.cavity_names():
                known = half.cavities[cavity].terminal if cavity in half.cavities else None
                found = self.draft.anchors.get(f"{self.part.id}.{known or cavity}")
                if found is not None:
                    point = f"{half.id}.{cavity}"
                    self.draft.anchors[point] = Anchor(point, found.at, found.side)

    def _lay_symbol(self, top: float, middle: float, title: float) -> None:
        left = -WIDTH_MM / 2 + (_NAME_MM if self.named else _FIRST_MM)
        width = WIDTH_MM - 2 * _NAME_MM if self.named else _SYMBOL_MM
        height = self.height_mm - title
        self.draft.outlines[self.part.id] = Box(left, middle - height / 2 + 0.5, width, height - 1)
        words = " ".join(w for w in (self.part.id, _rating(self.part)) if w)
        if self.named:
            at = Point(0.0, top + title - 2.0)
            text = Text(fitted(words, NOTE_MM, WIDTH_MM - 4), at, NOTE_MM, "middle", "inside")
        else:
            room = WIDTH_MM - _FIRST_MM - _SYMBOL_MM - 2.0
            at = Point(WIDTH_MM / 2 - 1.6, middle - 0.9)
            text = Text(fitted(words, NOTE_MM, room), at, NOTE_MM, "end", "inside")
        self.draft.texts.append(text)

    def _name(self, name: str, side: Side, y: float) -> None:
        x = WIDTH_MM / 2 - 1.4
        at = Point(-x if side == "left" else x, y - 0.9)
        self.draft.texts.append(Text(name, at, LABEL_MM, "start" if side == "left" else "end", "inside"))


def _rating(part: Part) -> str:
    rated = getattr(part.ratings, "rated_a", None)
    return f"{rated:g} A" if rated is not None else ""


def _frame(height: float) -> Box:
    """Return the box's outline about its middle; an even height keeps its rows on whole mm."""
    half = float(round(height / 2 + 0.49))
    return Box(-WIDTH_MM / 2, -half, WIDTH_MM, 2 * half)


def _lay_faces(draft: Draft, harness: Harness, faces: Plugged, points: Points, keys: Keys) -> None:
    """Add the connectors of the box itself below its rows, inside its outline, with combs at the right."""
    if not faces:
        return
    frame = draft.outlines[draft.id]
    top = frame.bottom_mm
    for group in faces:
        found = plug(harness, group, points, keys)
        width = found.face.extent.width_mm
        edge = frame.right_mm - width
        lay_plug(draft, found, edge, top, "right", keys)
        frame = Box(min(frame.left_mm, edge - _RIM_MM), frame.top_mm, 0, 0)
        top += found.height_mm
        frame = Box(frame.left_mm, frame.top_mm, WIDTH_MM / 2 - frame.left_mm, top + _RIM_MM - frame.top_mm)
    draft.outlines[draft.id] = frame
