"""Notes on a printed page of the diagram: a card with the words, and a leader to what they are about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from PySide6.QtGui import QPainterPath

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.strokes import Stroke, Text, line
from harness_studio.model.entities import Annotation
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner
from harness_studio.placing.symbols import Route, Symbol

from .lettering import LEADING, width_mm, wrapped

SIZE_MM, WIDEST_MM, PAD_MM = 3.4, 62.0, 1.6
NOTE_RANK = -1
"""Notes have their place before all other texts."""


@dataclass(frozen=True, slots=True)
class Card:
    """A note: its frame and leader, its lines of text, and its room."""

    strokes: tuple[Stroke, ...]
    texts: tuple[Text, ...]
    box: Box


def notes_on(harness: Harness, placed: Mapping[str, Symbol], ways: Mapping[str, Route]) -> Iterator[Card]:
    """Yield a card for each note on something of a page."""
    for note in harness.tables["annotations"].values():
        at = _place(note, placed, ways)
        if at is not None:
            yield _card(note, at)


def _place(note: Annotation, placed: Mapping[str, Symbol], ways: Mapping[str, Route]) -> Point | None:
    thing = owner(note.on)
    for symbol in placed.values():
        if note.on in symbol.anchors:
            return symbol.anchors[note.on].at
        if thing in symbol.members:
            box = symbol.outlines.get(thing)
            return (box or symbol.box).centre
    wire = note.on.partition("@")[0]
    if wire in ways and ways[wire].points:
        points = ways[wire].points
        return points[len(points) // 2]
    return None


def _card(note: Annotation, at: Point) -> Card:
    lines = wrapped(note.text, SIZE_MM, WIDEST_MM)
    wide = max(width_mm(text, SIZE_MM) for text in lines) + 2 * PAD_MM
    high = len(lines) * SIZE_MM * LEADING + 2 * PAD_MM
    dx, dy = note.offset_mm
    corner = at.moved(dx, dy)
    left = corner.x_mm if dx >= 0 else corner.x_mm - wide
    top = corner.y_mm if dy >= 0 else corner.y_mm - high
    path = QPainterPath()
    path.addRoundedRect(left, top, wide, high, 1.0, 1.0)
    strokes = [
        Stroke(line((at.x_mm, at.y_mm), (corner.x_mm, corner.y_mm)), "accent", 0.4),
        Stroke(path, "accent", 0.4, "paper"),
    ]
    first = top + PAD_MM + SIZE_MM * LEADING / 2
    texts = [
        Text(
            left + PAD_MM, first + n * SIZE_MM * LEADING, text, SIZE_MM, room_mm=SIZE_MM * 1.1, rank=NOTE_RANK
        )
        for n, text in enumerate(lines)
    ]
    return Card(tuple(strokes), tuple(texts), Box(left, top, wide, high))
