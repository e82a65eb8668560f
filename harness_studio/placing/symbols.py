"""What a symbol occupies on a page: its box, and the anchors where wires leave it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from harness_studio.base.geometry import Box, Point

Side = Literal["left", "right", "top", "bottom"]


@dataclass(frozen=True, slots=True)
class Anchor:
    """Where a wire meets a symbol: the electrical point, its place relative to the symbol's middle, and the side."""

    point: str
    at: Point
    side: Side


@dataclass(frozen=True, slots=True)
class Symbol:
    """One thing that stands on a page and moves as one.

    Parameters
    ----------
    id
        Id of the entity whose position places it (a part, a half, a splice, a ground, a body).
    kind
        What is drawn: 'part', 'connector' (a half, or mated halves with a comb on either side), 'splice', 'ground', 'body',
        'box' (a part that holds others).
    members
        Ids of everything drawn within it, itself first.
    box
        Its extent in mm about its middle, before turning; text beside it is included in `clear`.
    clear
        Extent that routes and other symbols keep out of.
    anchors
        By point address; several wires on one point share the anchor unless `wire_anchors` says otherwise.
    wire_anchors
        By (wire id, point address), where each wire has its own place (rings of a stack, teeth of a comb).
    """

    id: str
    kind: Literal["part", "connector", "splice", "ground", "body", "box"]
    members: tuple[str, ...]
    box: Box
    clear: Box
    anchors: Mapping[str, Anchor]
    wire_anchors: Mapping[tuple[str, str], Anchor]


@dataclass(frozen=True, slots=True)
class Route:
    """A wire's way on a page: corner points in mm, first end first, horizontal and vertical stretches only."""

    wire: str
    points: tuple[Point, ...]
