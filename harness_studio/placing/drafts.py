"""A symbol in the making: fixed places for terminals, and rows of places that wire ends may still change among."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from harness_studio.base.geometry import Box, Point, around

from .lettering import LINE, NOTE_MM, TITLE_MM, lines, width_mm
from .symbols import Anchor, Key, Side, Symbol, Text

SLOT_MM = 4.0
"""From one wire to the next where several leave side by side."""
ROW_MM = 8.0
"""From one terminal to the next."""
LEAD_MM = 4.0
"""From an outline to the place where a wire meets it."""
CLEAR_MM = 3.0
"""What routes and other symbols keep away from an outline."""
TEXT_MARGIN_MM = 0.8
TITLE_ROOM_MM = 46.0
"""Titles longer than this are broken into two lines."""

Keys = Mapping[str, Sequence[Key]]
"""Ends of lines by point."""


@dataclass(slots=True)
class Row:
    """Places for the wire ends of some points; the ends of one point stay together.

    Parameters
    ----------
    groups
        (point, its wire ends), in the order of the places.
    places
        One for each wire end, in the order in which they are handed out.
    free
        Whether the points may change places with each other (a comb); otherwise only the ends of each point may.
    roots
        Whether the point itself lies where its wires leave (a comb's tooth): its anchor follows them.
    root_shift_mm
        How far the point lies inwards from there.
    unlisted
        Whether this is a ring whose place in the stack nobody has written down.
    """

    groups: list[tuple[str, list[Key]]]
    places: list[tuple[Point, Side]]
    free: bool = False
    roots: bool = False
    root_shift_mm: float = 0.0
    unlisted: bool = False

    def hand_out(self) -> tuple[dict[str, Anchor], dict[Key, Anchor]]:
        """Return the anchors of points and of wire ends that the present order gives."""
        points: dict[str, Anchor] = {}
        ends: dict[Key, Anchor] = {}
        index = 0
        for point, keys in self.groups:
            taken = self.places[index : index + max(1, len(keys))]
            for key, (at, side) in zip(keys, taken, strict=False):
                ends[key] = Anchor(key[1], at, side)
            if self.roots:
                points[point] = Anchor(point, _inwards(taken, self.root_shift_mm), taken[0][1])
            index += len(taken)
        return points, ends


def _inwards(places: Sequence[tuple[Point, Side]], shift_mm: float) -> Point:
    x = sum(p.x_mm for p, _ in places) / len(places)
    y = sum(p.y_mm for p, _ in places) / len(places)
    dx, dy = OUTWARDS[places[0][1]]
    return Point(x - dx * shift_mm, y - dy * shift_mm)


OUTWARDS: Mapping[Side, tuple[int, int]] = {
    "left": (-1, 0),
    "right": (1, 0),
    "top": (0, -1),
    "bottom": (0, 1),
}
"""The direction in which a wire leaves each side."""


@dataclass(slots=True)
class Draft:
    """What will be a `Symbol`, in the frame of its middle."""

    id: str
    kind: Literal["part", "connector", "splice", "ground", "body", "box"]
    members: tuple[str, ...]
    outlines: dict[str, Box] = field(default_factory=dict)
    anchors: dict[str, Anchor] = field(default_factory=dict)
    rows: list[Row] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    margin_mm: float = CLEAR_MM
    extra: list[Box] = field(default_factory=list)

    def extent(self) -> Box:
        """Return the box of all outlines and of all places where wires leave."""
        points = [a.at for a in self.anchors.values()]
        points += [p for row in self.rows for p, _ in row.places]
        xs, ys = [p.x_mm for p in points], [p.y_mm for p in points]
        for box in (*self.outlines.values(), *self.extra):
            xs += (box.left_mm, box.left_mm + box.width_mm)
            ys += (box.top_mm, box.top_mm + box.height_mm)
        left, top = min(xs), min(ys)
        return Box(left, top, max(xs) - left, max(ys) - top)

    def finished(self) -> Symbol:
        """Return the symbol with its wire ends in the present order."""
        anchors, ends = dict(self.anchors), dict[Key, Anchor]()
        for row in self.rows:
            points, handed = row.hand_out()
            anchors.update(points)
            ends.update(handed)
        box = self.extent()
        clear = around([box.grown(self.margin_mm), *(text_box(t) for t in self.texts)])
        assert clear is not None
        return Symbol(
            self.id, self.kind, self.members, box, clear, anchors, ends, self.outlines, tuple(self.texts)
        )


def spread(counts: Iterable[int]) -> tuple[list[float], list[list[float]]]:
    """Spread terminals with so many wires each about zero.

    Returns
    -------
    tuple
        The middle of each terminal, and the places of its wires (one place where it has none), in mm. A terminal with
        one wire takes `ROW_MM`; a further wire takes `SLOT_MM` more.
    """
    heights = [ROW_MM if n <= 1 else SLOT_MM * (n + 1) for n in counts]
    wires = [max(1, n) for n in counts]
    top = -sum(heights) / 2
    middles: list[float] = []
    places: list[list[float]] = []
    for height, n in zip(heights, wires, strict=True):
        middle = top + height / 2
        middles.append(middle)
        places.append([middle + (i - (n - 1) / 2) * SLOT_MM for i in range(n)])
        top += height
    return middles, places


def along_side(side: Side, out_mm: float, along_mm: float) -> Point:
    """Return the point that lies `out_mm` out on a side and `along_mm` along it (downwards or to the right)."""
    dx, dy = OUTWARDS[side]
    return Point(dx * out_mm, along_mm) if dx else Point(along_mm, dy * out_mm)


def text_box(text: Text) -> Box:
    """Return the room that a line of text takes; a reading is given the room of ten digits."""
    width = width_mm(text.text or "0" * 10, text.size_mm)
    left = text.at.x_mm - {"start": 0.0, "middle": width / 2, "end": width}[text.align]
    return Box(left, text.at.y_mm - text.size_mm * 0.8, width, text.size_mm * 1.05).grown(TEXT_MARGIN_MM)


def title_lines(entity_id: str, title: str | None) -> tuple[str, ...]:
    """Return id and title as one or two lines."""
    return lines(f"{entity_id} {title}" if title else entity_id, TITLE_MM, TITLE_ROOM_MM)


LEG_MM = 2.5
"""From the middle of a symbol to a text beside the wire that leaves it downwards."""


def above(box: Box, titles: Sequence[str], gap_mm: float = 2.0) -> list[Text]:
    """Return title lines centred above a box, the last one next to it."""
    x, y = box.centre.x_mm, box.top_mm - gap_mm
    return [
        Text(line, Point(x, y - (len(titles) - 1 - i) * TITLE_MM * LINE), TITLE_MM, "middle", "title")
        for i, line in enumerate(titles)
    ]


def beside_leg(box: Box) -> Text:
    """Return the place for a reading below a box from whose middle a wire leaves downwards: at the right of it."""
    x, y = box.centre.x_mm + LEG_MM, box.bottom_mm + 1.6 + NOTE_MM * 0.8
    return Text("", Point(x, y), NOTE_MM, "start", "reading")


def below(
    box: Box, notes: Sequence[str], role: Literal["note", "reading"], gap_mm: float = 1.6
) -> list[Text]:
    """Return lines centred below a box."""
    x, y = box.centre.x_mm, box.bottom_mm + gap_mm + NOTE_MM * 0.8
    return [
        Text(line, Point(x, y + i * NOTE_MM * LINE), NOTE_MM, "middle", role) for i, line in enumerate(notes)
    ]
