"""Where the labels of wires stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from harness_studio.base.geometry import Point


@dataclass(frozen=True, slots=True)
class Label:
    """A wire's label at one of its ends.

    Parameters
    ----------
    wire, end
        Which wire, and at which of its two ends (0 or 1).
    text
        What it says.
    at
        The baseline's start, middle or end, by `align`.
    size_mm
        Size of the font.
    turn
        Quarter turns; 0 reads level, -1 upwards.
    """

    wire: str
    end: int
    text: str
    at: Point
    size_mm: float
    align: Literal["start", "middle", "end"]
    turn: int = 0
