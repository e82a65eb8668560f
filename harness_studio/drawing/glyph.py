"""What every painter of a part is given, and the lines that lead from terminals to the outline of a symbol."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from PySide6.QtGui import QPainterPath

from harness_studio.base.geometry import Box

from .strokes import Stroke, lines

THIN, LINE, HEAVY = 0.36, 0.55, 0.9
"""Widths of lines in mm."""

Side = Literal["left", "right", "top", "bottom"]


@dataclass(frozen=True, slots=True)
class Pin:
    """Where a terminal leaves a symbol, in mm about the symbol's middle."""

    x: float
    y: float
    side: Side


@dataclass(frozen=True, slots=True)
class Reading:
    """What a symbol shows of the present state.

    Parameters
    ----------
    light
        Light of a lamp or LED against its rated light; None where it is not known.
    needle, clean_needle
        Where a gauge's needle stands, 0 to 1, now and with clean joints.
    """

    light: float | None = None
    needle: float | None = None
    clean_needle: float | None = None


@dataclass(frozen=True, slots=True)
class Subject:
    """One part to be drawn: its kind and ratings, the outline it fills, and where its terminals leave."""

    kind: str
    ratings: Any
    box: Box
    pins: Mapping[str, Pin] = field(default_factory=dict)
    reading: Reading = field(default_factory=Reading)

    @property
    def cx(self) -> float:
        """Middle, across."""
        return self.box.centre.x_mm

    @property
    def cy(self) -> float:
        """Middle, down."""
        return self.box.centre.y_mm

    @property
    def radius(self) -> float:
        """Radius of the circle that fits in."""
        return min(self.box.width_mm, self.box.height_mm) / 2

    @property
    def upright(self) -> bool:
        """Whether the terminals leave at top and bottom rather than left and right."""
        sides = [pin.side for pin in self.pins.values()]
        across = sum(side in ("left", "right") for side in sides)
        return len(sides) - across > across


def round_leads(subject: Subject, radius: float) -> Stroke:
    """Return the lines from each pin to a circle about the middle: straight, or slanting in where they pass it by."""
    path = QPainterPath()
    for pin in subject.pins.values():
        flat = pin.side in ("left", "right")
        off, out = (
            (pin.y - subject.cy, pin.x - subject.cx) if flat else (pin.x - subject.cx, pin.y - subject.cy)
        )
        way = 1 if out > 0 else -1
        near = max(-0.8 * radius, min(0.8 * radius, off))
        rim = way * math.sqrt(radius**2 - near**2)
        corners = (
            [(out, off), (rim, near)]
            if near == off
            else [(out, off), (way * radius * 1.15, off), (rim, near)]
        )
        places = [
            (subject.cx + o, subject.cy + a) if flat else (subject.cx + a, subject.cy + o) for o, a in corners
        ]
        path.moveTo(*places[0])
        for place in places[1:]:
            path.lineTo(*place)
    return Stroke(path, "ink", LINE)


def square_leads(subject: Subject, inner: Box) -> Stroke:
    """Return the lines from each pin straight to a rectangle."""
    pairs = []
    for pin in subject.pins.values():
        end = {
            "left": (inner.left_mm, pin.y),
            "right": (inner.right_mm, pin.y),
            "top": (pin.x, inner.top_mm),
            "bottom": (pin.x, inner.bottom_mm),
        }[pin.side]
        pairs.append((pin.x, pin.y, *end))
    return Stroke(lines(*(p for p in pairs if _long(p))), "ink", LINE)


def _long(pair: tuple[float, float, float, float]) -> bool:
    return abs(pair[0] - pair[2]) + abs(pair[1] - pair[3]) > 0.05


def shrunk(box: Box, share_x: float, share_y: float) -> Box:
    """Return a box about the same middle with a share of the width and height."""
    width, height = box.width_mm * share_x, box.height_mm * share_y
    return Box(box.centre.x_mm - width / 2, box.centre.y_mm - height / 2, width, height)
