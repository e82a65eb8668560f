"""Tiles of a drawing that is larger than the paper: which there are, what lies on each, and their match marks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

from harness_studio.base.geometry import Box
from harness_studio.drawing.fonts import STRONG
from harness_studio.drawing.strokes import Stroke, Strokes, Text, lines

from .diagram_art import text_box
from .lettering import SMALL_MM
from .paper import Paper

OVERLAP_MM = 12.0
"""Strip that neighbours share."""
_MARK_MM = 3.0


def tiling(paper: Paper, wide: float, high: float) -> tuple[int, int]:
    """Return how many columns and rows of tiles cover a drawing, neighbours sharing a strip."""
    body = paper.body
    across = 1 + max(0, math.ceil((wide - body.width_mm) / (body.width_mm - OVERLAP_MM) - 1e-9))
    down = 1 + max(0, math.ceil((high - body.height_mm) / (body.height_mm - OVERLAP_MM) - 1e-9))
    return across, down


def reaching(strokes: Strokes, seen: Box) -> Strokes:
    """Return the strokes that may be seen in a tile, without their texts."""
    return Strokes(tuple(s for s in strokes.strokes if stroke_box(s).meets(seen)))


def stroke_box(stroke: Stroke) -> Box:
    """Return a box that a stroke lies in, with its breadth."""
    rect = stroke.path.controlPointRect()
    half = stroke.width_mm / 2 + 0.1
    return Box(rect.x() - half, rect.y() - half, rect.width() + 2 * half, rect.height() + 2 * half)


def name_of(column: int, row: int) -> str:
    """Return the name of a tile: letters across, numbers down ('A1', 'AB3')."""
    letters = ""
    number = column
    while number >= 0:
        letters = chr(65 + number % 26) + letters
        number = number // 26 - 1
    return f"{letters}{row + 1}"


def inside(texts: Iterable[Text], seen: Box, *, upright: bool) -> Iterator[Text]:
    """Yield the texts that lie wholly in a tile; one that no tile shows whole is moved into that of its middle."""
    for text in texts:
        box = text_box(text, upwards=upright)
        dx = _step(box.left_mm, box.right_mm, seen.left_mm, seen.right_mm)
        dy = _step(box.top_mm, box.bottom_mm, seen.top_mm, seen.bottom_mm)
        whole = not dx and not dy
        elsewhere = box.width_mm <= OVERLAP_MM and box.height_mm <= OVERLAP_MM
        if whole or (seen.contains(box.centre) and not elsewhere):
            yield replace(text, x_mm=text.x_mm + dx, y_mm=text.y_mm + dy)


def _step(low: float, high: float, least: float, most: float) -> float:
    """Return how far a stretch must move to lie within another."""
    if low >= least and high <= most:
        return 0.0
    return least + 0.3 - low if low < least else most - 0.3 - high


def match_marks(body: Box, at: tuple[int, int], count: tuple[int, int]) -> list[Stroke | Text]:
    """Return crosses in the middle of the strips that neighbours share, at the same places of the drawing on both."""
    (column, row), (across, down) = at, count
    half = OVERLAP_MM / 2
    xs = [body.left_mm + half] if column else []
    xs += [body.right_mm - half] if column < across - 1 else []
    ys = [body.top_mm + half] if row else []
    ys += [body.bottom_mm - half] if row < down - 1 else []
    places = [(x, y) for x in xs for y in (body.top_mm + half, body.bottom_mm - half)]
    places += [(x, y) for y in ys for x in (body.left_mm + half, body.right_mm - half)]
    pairs = []
    for x, y in dict.fromkeys(places):
        pairs += [(x - _MARK_MM, y, x + _MARK_MM, y), (x, y - _MARK_MM, x, y + _MARK_MM)]
    found: list[Stroke | Text] = [Stroke(lines(*pairs), "ink", 0.15)] if pairs else []
    if across * down > 1:
        said = f"{name_of(column, row)}: cut at the crosses, lay one on the other"
        found.append(Text(body.left_mm, body.bottom_mm + 1.6, said, SMALL_MM, STRONG, "muted"))
    return found
