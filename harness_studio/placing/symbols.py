"""What a symbol occupies on a page: its box, its texts, and the anchors where wires leave it.

Millimetres, y downwards. One millimetre is about three pixels in a window of ordinary width.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from harness_studio.base.geometry import Box, Point

Side = Literal["left", "right", "top", "bottom"]
Key = tuple[str, str]
"""(id of a wire or link, address of the point where it ends): one end of something that is drawn as a line."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """Where a wire meets a symbol: the electrical point, its place relative to the symbol's middle, and the side."""

    point: str
    at: Point
    side: Side


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text that belongs to a symbol.

    Parameters
    ----------
    text
        What it says; empty for a 'reading', whose place is kept free for a live value.
    at
        Its baseline's start, middle or end, by `align`.
    size_mm
        Size of the font (its em).
    role
        'title' is semibold ink, 'note' muted, 'reading' a live value, 'inside' a name within the outline.
    """

    text: str
    at: Point
    size_mm: float
    align: Literal["start", "middle", "end"]
    role: Literal["title", "note", "reading", "inside"]


@dataclass(frozen=True, slots=True)
class Symbol:
    """One thing that stands on a page and moves as one.

    Parameters
    ----------
    id
        Id of the entity whose position places it (a part, a half, a splice, a ground, a body).
    kind
        What is drawn: 'part', 'connector' (a half, or mated halves with a comb on either side), 'splice', 'ground',
        'body', 'box' (a part that holds others).
    members
        Ids of everything drawn within it, itself first.
    box
        Its extent in mm about its middle, before turning; text beside it is included in `clear`. The middle is the
        centre of a part's own outline, of a connector's face, of a splice's dot and of a body's bar. A ground is placed
        by its foot: its box lies above it, so that it goes on standing on its body when a ring is added.
    clear
        Extent that routes and other symbols keep out of.
    anchors
        By point address: the electrical place itself, also for points where no wire ends. Routes do not start here but
        at `wire_anchors`; where the two differ, a short straight leg in the wire's colour joins them (legs of a splice,
        two wires on one terminal).
    wire_anchors
        By (wire id, point address), for every wire end that is drawn: each has a place of its own (teeth of a comb,
        rings of a stack). Links that are no wires are here too, see `Route`.
    outlines
        Extent of each thing within the symbol, by id (parts, halves' faces), by 'comb:' and the half's id (the teeth),
        and by the joint's address for the rings of a stack, for example 'GP2/W40'.
    texts
        Lines of text, placed so that they stay clear of the wires that leave the symbol.
    """

    id: str
    kind: Literal["part", "connector", "splice", "ground", "body", "box"]
    members: tuple[str, ...]
    box: Box
    clear: Box
    anchors: Mapping[str, Anchor]
    wire_anchors: Mapping[Key, Anchor]
    outlines: Mapping[str, Box] = field(default_factory=dict)
    texts: tuple[Text, ...] = ()


@dataclass(frozen=True, slots=True)
class Route:
    """A wire's way on a page: corner points in mm, first end first, horizontal and vertical stretches only.

    Parameters
    ----------
    wire
        Id of the wire. For a link that is no wire: the bond's id, the joint's address of a case that is fixed to a body
        ('B1.31@shell.bed_rear'), or the ground's id for its stud, where the ground does not stand on its body's bar.
    kind
        What `wire` names; only 'wire' is in the harness's wires.
    open_ends
        Which of its two ends does not arrive at a symbol of this page: an open end, or one that goes on elsewhere.
    """

    wire: str
    points: tuple[Point, ...]
    kind: Literal["wire", "bond", "mount", "stud"] = "wire"
    open_ends: tuple[bool, bool] = (False, False)
