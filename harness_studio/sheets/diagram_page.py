"""The diagram on one page, and as a poster of several pages that are glued together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

from harness_studio.base.geometry import Box
from harness_studio.drawing.fonts import REGULAR
from harness_studio.drawing.strokes import Stroke, Text, gather

from .diagram_art import LABEL_RANK, Drawing, cleared, drawings, legible
from .face_art import scaled
from .job import Job
from .leaf import Leaf, Window
from .lettering import LEAST_MM, plain
from .note_art import NOTE_RANK
from .paper import Paper
from .poster import OVERLAP_MM, inside, match_marks, name_of, reaching, tiling

DIAGRAM, POSTER = "Diagram", "Diagram, poster"
_LARGEST = 1.2
_POSTER_SCALE = 0.75
"""Labels of 3.4 mm on the diagram are then about 7 pt."""


def best_way_up(paper: Paper, extent: Box) -> Paper:
    """Return the paper turned so that a drawing is largest on it."""
    turned = replace(paper, width_mm=paper.height_mm, height_mm=paper.width_mm)
    return max((paper, turned), key=lambda p: _fit(p, extent))


def _fit(paper: Paper, extent: Box) -> float:
    return min(paper.body.width_mm / extent.width_mm, (paper.body.height_mm - 5.0) / extent.height_mm)


def _pages(job: Job) -> list[Drawing]:
    if not job.drawn:
        job.drawn.extend(drawings(job.harness))
    return job.drawn


def diagram(job: Job) -> list[Leaf]:
    """Return each page of the diagram on one sheet of paper, as large as it fits."""
    leaves: list[Leaf] = []
    for drawing in _pages(job):
        paper = best_way_up(job.paper, drawing.extent)
        leaf = Leaf(paper, DIAGRAM, plain(drawing.name), [(1, plain(drawing.name))])
        if not leaves:
            leaf.marks.insert(0, (0, DIAGRAM))
        body, by = paper.body, min(_LARGEST, _fit(paper, drawing.extent))
        level, upwards, lost = legible(drawing.texts, drawing.upwards, by)
        dx = body.left_mm + (body.width_mm - drawing.extent.width_mm * by) / 2 - drawing.extent.left_mm * by
        dy = body.top_mm - drawing.extent.top_mm * by
        ink = gather(drawing.strokes, *_frames(drawing, level))
        leaf.windows.append(Window(body, scaled(ink, by).moved(dx, dy)))
        put(leaf, level, upwards, dx, dy)
        said = f"drawn at {by * 100:.0f} % of its size"
        if lost:
            said += f"; {lost} texts have no legible place at this size: see the poster or a larger paper"
        leaf.add(Text(body.left_mm, body.bottom_mm - 1.2, said, LEAST_MM, REGULAR, "muted"))
        leaves.append(leaf)
    return leaves


def _frames(drawing: Drawing, kept: Iterable[Text]) -> Iterator[Stroke]:
    """Yield the frames and leaders of the notes whose lines are all there; an empty frame says nothing."""
    said = {text.text for text in kept if text.rank == NOTE_RANK}
    for card in drawing.cards:
        if all(text.text in said for text in card.texts):
            yield from card.strokes


def put(leaf: Leaf, level: Iterable[Text], upwards: Iterable[Text], dx: float, dy: float) -> None:
    """Put texts on a page; a wire that lies below a wire's label is interrupted for it."""
    for texts, out, upright in ((level, leaf.texts, False), (upwards, leaf.upwards, True)):
        for text in texts:
            made = replace(text, x_mm=text.x_mm + dx, y_mm=text.y_mm + dy)
            out.append(made)
            if text.rank == LABEL_RANK:
                leaf.add(cleared(made, upwards=upright))


def poster(job: Job) -> list[Leaf]:
    """Return each page of the diagram tiled at a legible scale, with overlap and match marks; no empty tiles."""
    leaves: list[Leaf] = []
    for drawing in _pages(job):
        made = _tiles(job, drawing)
        if not leaves:
            made[0].marks.insert(0, (0, POSTER))
        leaves += made
    return leaves


def _tiles(job: Job, drawing: Drawing) -> list[Leaf]:
    by = _POSTER_SCALE
    wide, high = drawing.extent.width_mm * by, drawing.extent.height_mm * by
    turned = replace(job.paper, width_mm=job.paper.height_mm, height_mm=job.paper.width_mm)
    paper = min((job.paper, turned), key=lambda p: math.prod(tiling(p, wide, high)))
    across, down = tiling(paper, wide, high)
    body = paper.body
    level, upwards, _ = legible(drawing.texts, drawing.upwards, by)
    ink = scaled(gather(drawing.strokes, *_frames(drawing, level)), by)
    left, top = drawing.extent.left_mm * by, drawing.extent.top_mm * by
    leaves = []
    for row in range(down):
        for column in range(across):
            x = left + column * (body.width_mm - OVERLAP_MM)
            y = top + row * (body.height_mm - OVERLAP_MM)
            seen = Box(x, y, body.width_mm, body.height_mm)
            here = reaching(ink, seen)
            if not here.strokes:
                continue
            name = name_of(column, row)
            said = f"{plain(drawing.name)}, {name} of {across} × {down}"
            leaf = Leaf(paper, POSTER, said, [(1, said)])
            dx, dy = body.left_mm - x, body.top_mm - y
            leaf.windows.append(Window(body, here.moved(dx, dy)))
            shown = inside(level, seen, upright=False), inside(upwards, seen, upright=True)
            put(leaf, *shown, dx, dy)
            leaf.add(*match_marks(body, (column, row), (across, down)))
            leaves.append(leaf)
    return leaves
