"""The strokes of the build board: runs, tails, breakouts, splices, and flags with the lines that lead to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainterPathStroker

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Text, circle, line, slab
from harness_studio.placing.build_board.flags import Flag, Put
from harness_studio.placing.build_board.stretch import Stretch
from harness_studio.placing.build_board.tags import RANKS, Tag

from .lettering import LEAST_MM, SMALL_MM, elided, plain, width_mm

RUN_MM, TAIL_MM = 1.4, 0.6
BREAKOUT_MM, SPLICE_MM = 1.5, 1.0
_PAD_MM, _SPACE_MM, _HIGH_MM = 0.7, 0.8, 3.3
_NAME_MM, _WORDS_MM = 34.0, 62.0
"""No name and no words on a flag are longer; the list has them whole."""


def piece(stretch: Stretch, ends: tuple[Point, Point]) -> Stroke:
    """Return a piece of the bundle between two points of the page; dashed where its length or its end is elsewhere."""
    path = line(*((p.x_mm, p.y_mm) for p in ends))
    run = stretch.kind == "run"
    if stretch.known and not stretch.onward:
        return Stroke(path, "frame" if run else "stud", RUN_MM if run else TAIL_MM)
    stroker = QPainterPathStroker()
    stroker.setWidth(RUN_MM * 0.75)
    stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
    stroker.setDashPattern([3.0, 2.0])
    return Stroke(stroker.createStroke(path), None, 0, "frame")


def breakout(at: Point, reach_mm: float = BREAKOUT_MM) -> Stroke:
    """Return the mark of a breakout."""
    return Stroke(circle(at.x_mm, at.y_mm, reach_mm), "ink", 0.45, "paper")


def splice(at: Point, reach_mm: float = SPLICE_MM) -> Stroke:
    """Return the mark of a splice."""
    return Stroke(circle(at.x_mm, at.y_mm, reach_mm), "paper", 0.25, "ink")


def tip(at: Point) -> Stroke:
    """Return the mark of the end of a tail at 1:1, where its contacts are."""
    return Stroke(circle(at.x_mm, at.y_mm, 1.2), "ink", 0.4, "paper")


def cut_mark(at: Point) -> Stroke:
    """Return the mark where a piece is cut and goes on in another strip."""
    return Stroke(line((at.x_mm, at.y_mm - 1.6), (at.x_mm, at.y_mm + 1.6)), "ink", 0.3)


def shown(tag: Tag, size: int) -> tuple[str, str]:
    """Return the strong and the plain words of a flag, no longer than they may be."""
    name, words = tag.words[size]
    return (
        elided(plain(name), SMALL_MM, _NAME_MM, STRONG),
        elided(plain(words), LEAST_MM, _WORDS_MM, REGULAR),
    )


def flag_of(tag: Tag, at: Sequence[Point]) -> Flag:
    """Return what wants a place on the page for a tag that is about these places of it."""
    own = {
        "breakout": BREAKOUT_MM + 0.3,
        "splice": SPLICE_MM + 0.3,
        "run": RUN_MM / 2 + 0.3,
        "bunch": BREAKOUT_MM + 0.3,
        "cut": 0.8,
    }.get(tag.kind, 0.2)
    sizes = tuple((_width(*shown(tag, n), tag.kind), _HIGH_MM) for n in range(len(tag.words)))
    return Flag(tag.key, tuple(at), sizes, own, RANKS[tag.kind], tag.towards)


def _width(name: str, words: str, kind: str) -> float:
    parts = []
    if name:
        parts.append(width_mm(name, SMALL_MM, STRONG) + (2 * _PAD_MM if framed(kind) else 0.0))
    if words:
        parts.append(width_mm(words, LEAST_MM, REGULAR))
    return sum(parts) + _SPACE_MM * (len(parts) - 1)


def framed(kind: str) -> bool:
    """Tell whether the name of such a thing stands in a frame: what hangs at the end of a tail does."""
    return kind in ("connector", "thing", "bunch")


def flag_art(tag: Tag, put: Put) -> Iterator[Stroke | Text]:
    """Yield a flag: connectors have a square frame with a bar, other things a round one, all else none."""
    name, words = shown(tag, put.size)
    box = put.box
    x, y = box.left_mm, box.centre.y_mm
    if name:
        pad = _PAD_MM if framed(tag.kind) else 0.0
        wide = width_mm(name, SMALL_MM, STRONG) + 2 * pad
        frame = Box(x, box.top_mm + 0.15, wide, box.height_mm - 0.3)
        if tag.kind == "connector":
            yield Stroke(slab(frame, 0.1), "ink", 0.25, "paper")
            yield Stroke(line((x + 0.15, frame.top_mm), (x + 0.15, frame.bottom_mm)), "ink", 0.6)
        elif framed(tag.kind):
            yield Stroke(slab(frame, 1.4), "ink", 0.2, "paper")
        yield Text(x + pad, y, name, SMALL_MM, STRONG, "ink")
        x += wide + _SPACE_MM
    if words:
        yield Text(x, y, words, LEAST_MM, REGULAR, "muted" if tag.kind == "run" else "ink")


def leaders(puts: Iterable[Put]) -> Iterator[Stroke]:
    """Yield the lines that lead from places to their flags."""
    for put in puts:
        if put.leader:
            a, b = put.leader
            yield Stroke(line((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)), "ink", 0.12)
