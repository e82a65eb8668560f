"""Build board at 1:1, tiled with match marks: connectors with their face at the ends of their tails."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainterPathStroker

from harness_studio.base.geometry import Box, around
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Strokes, Text, gather, lines
from harness_studio.placing.build_board.flags import Flag, Put, place
from harness_studio.placing.build_board.plan import Plan, known_as, plan
from harness_studio.placing.build_board.tags import RANKS, Tag, tags
from harness_studio.placing.faces import face_shape, natural

from . import build_board_art as art
from .diagram_art import text_box
from .face_art import FaceArt, face_art
from .job import Job
from .leaf import Leaf, Window
from .lettering import LEAST_MM, SMALL_MM, TEXT_MM, elided, plain, width_mm
from .paper import Paper
from .pinout import fillings
from .poster import OVERLAP_MM, inside, match_marks, name_of, reaching, stroke_box, tiling

FULL = "Build board 1:1"
_FACE_MM = (46.0, 40.0)
_LINE_MM, _MOST_MM = 4.0, 90.0
_ROUND_MM = 120.0
"""Room round the bundle that flags may use."""


@dataclass(frozen=True, slots=True)
class _Sign:
    """What stands beside a place at 1:1: words, and the face of a connector."""

    tag: Tag
    text: str
    weight: int
    size_mm: float
    face: FaceArt | None

    @property
    def size(self) -> tuple[float, float]:
        wide = width_mm(self.text, self.size_mm, self.weight)
        if self.face is None:
            return wide, _LINE_MM
        return max(wide, self.face.width_mm), self.face.height_mm + _LINE_MM + 0.5


def full_size(job: Job) -> list[Leaf]:
    """Return the build board at 1:1, tiled; tiles on which nothing lies are left out."""
    made = plan(job.harness)
    if not made.stretches:
        return []
    strokes, texts = drawing(job, made)
    ink = around([stroke_box(s) for s in strokes.strokes] + [text_box(t) for t in texts])
    assert ink is not None
    whole = ink.grown(4.0)
    turned = replace(job.paper, width_mm=job.paper.height_mm, height_mm=job.paper.width_mm)
    paper = min((job.paper, turned), key=lambda p: math.prod(tiling(p, whole.width_mm, whole.height_mm)))
    across, down = tiling(paper, whole.width_mm, whole.height_mm)
    leaves: list[Leaf] = []
    for row in range(down):
        for column in range(across):
            tile = _tile(paper, whole, strokes, texts, (column, row), (across, down))
            if tile is not None:
                tile.marks = [(1, tile.subject)] if leaves else [(0, FULL), (1, tile.subject)]
                leaves.append(tile)
    return leaves


def drawing(job: Job, made: Plan) -> tuple[Strokes, list[Text]]:
    """Return the strokes of the build board at 1:1 in mm of it, and its texts, none of which lies on another."""
    signs = {tag.key: _sign(job, tag) for tag in tags(job.harness, made)}
    puts = _placed(made, signs)
    parts: list[Strokes | Stroke] = [*art.leaders(puts.values())]
    for stretch in sorted(made.stretches, key=lambda s: s.kind != "tail"):
        parts.append(art.piece(stretch, (stretch.start, stretch.end)))
    parts += [art.breakout(at) for at in made.nodes.values()]
    parts += [art.splice(at) for at in made.splices.values()]
    parts += [art.tip(at) for at in made.things.values()]
    texts: list[Text] = []
    for key, put in puts.items():
        sign, box = signs[key], put.box
        texts.append(
            Text(box.left_mm, box.top_mm + _LINE_MM / 2, sign.text, sign.size_mm, sign.weight, "ink")
        )
        if sign.face is not None and put.size == 0:
            face = sign.face.ink.moved(box.left_mm, box.top_mm + _LINE_MM + 0.5)
            parts.append(Strokes(face.strokes))
            texts += face.texts
    return Strokes(gather(*parts).strokes), texts


def _placed(made: Plan, signs: Mapping[tuple[str, str], _Sign]) -> dict[tuple[str, str], Put]:
    flags = []
    for key, sign in signs.items():
        plain_size = (width_mm(sign.text, sign.size_mm, sign.weight), _LINE_MM)
        sizes = (sign.size, plain_size) if sign.face else (plain_size,)
        gap = 2.0 if sign.tag.kind in ("breakout", "run", "splice") else 0.6
        flags.append(Flag(key, sign.tag.at, sizes, gap, RANKS[sign.tag.kind], sign.tag.towards))
    bars = [((s.start, s.end), 1.0) for s in made.stretches]
    discs = [(at, art.BREAKOUT_MM + 0.4) for at in (*made.nodes.values(), *made.splices.values())]
    puts, _ = place(flags, bars, discs, made.extent.grown(_ROUND_MM))
    return puts


def _sign(job: Job, tag: Tag) -> _Sign:
    strong, words = tag.words[0]
    text = plain(" ".join(filter(None, (strong, words))))
    weight, size = (REGULAR, SMALL_MM) if tag.kind in ("run", "splice") else (STRONG, TEXT_MM)
    return _Sign(tag, elided(text, size, _MOST_MM, weight), weight, size, _face(job, tag))


def _face(job: Job, tag: Tag) -> FaceArt | None:
    half = job.harness.halves.get(known_as(tag.id)) if tag.kind == "connector" else None
    if half is None:
        return None
    used, filled = fillings(job, half)
    shape = face_shape(half, used)
    if not shape.cells:
        return None
    first = min((c.name for c in shape.cells), key=natural)
    return face_art(shape, filled, first, _FACE_MM, "")


def _tile(
    paper: Paper,
    whole: Box,
    strokes: Strokes,
    texts: Sequence[Text],
    at: tuple[int, int],
    count: tuple[int, int],
) -> Leaf | None:
    body = paper.body
    x = whole.left_mm + at[0] * (body.width_mm - OVERLAP_MM)
    y = whole.top_mm + at[1] * (body.height_mm - OVERLAP_MM)
    seen = Box(x, y, body.width_mm, body.height_mm)
    here = [s for s in reaching(strokes, seen).strokes if _reaches(s, seen)]
    said = list(inside(texts, seen, upright=False))
    if not here and not said:
        return None
    leaf = Leaf(paper, FULL, f"{name_of(*at)} of {count[0]} × {count[1]}")
    dx, dy = body.left_mm - x, body.top_mm - y
    leaf.windows.append(Window(body, Strokes(tuple(here)).moved(dx, dy)))
    leaf.texts += [replace(t, x_mm=t.x_mm + dx, y_mm=t.y_mm + dy) for t in said]
    leaf.add(*match_marks(body, at, count))
    left, low = body.right_mm - 102.0, body.bottom_mm + 1.6
    ruler = lines(
        (left, low, left + 100.0, low),
        (left, low - 1, left, low + 1),
        (left + 100, low - 1, left + 100, low + 1),
    )
    leaf.add(Stroke(ruler, "ink", 0.2))
    leaf.add(Text(left - 1.5, low, "100 mm: print without scaling", LEAST_MM, REGULAR, "muted", "right"))
    return leaf


def _reaches(stroke: Stroke, seen: Box) -> bool:
    rect = QRectF(seen.left_mm, seen.top_mm, seen.width_mm, seen.height_mm)
    if stroke.path.elementCount() == 2:
        # A line has no inside; give it its breadth before asking.
        stroker = QPainterPathStroker()
        stroker.setWidth(max(0.1, stroke.width_mm))
        return stroker.createStroke(stroke.path).intersects(rect)
    return stroke.path.boundingRect().intersects(rect)
