"""The diagram on one page, and as a poster of several pages that are glued together."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from harness_studio.base.geometry import Box
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Text, lines

from .diagram_art import Drawing, drawings, legible, text_box
from .face_art import scaled
from .job import Job
from .leaf import Leaf, Window
from .lettering import LEAST_MM, SMALL_MM, plain
from .paper import Paper

DIAGRAM, POSTER = "Diagram", "Diagram, poster"
_LARGEST = 1.2
_POSTER_SCALE = 0.75
"""Labels of 3.4 mm on the diagram are then about 7 pt."""
_OVERLAP_MM = 12.0
_MARK_MM = 3.0


def best_way_up(paper: Paper, extent: Box) -> Paper:
    """Return the paper turned so that a drawing is largest on it."""
    turned = replace(paper, width_mm=paper.height_mm, height_mm=paper.width_mm)
    return max((paper, turned), key=lambda p: _fit(p, extent))


def _fit(paper: Paper, extent: Box) -> float:
    return min(paper.body.width_mm / extent.width_mm, (paper.body.height_mm - 5.0) / extent.height_mm)


def diagram(job: Job) -> list[Leaf]:
    """Return each page of the diagram on one sheet of paper, as large as it fits."""
    leaves: list[Leaf] = []
    for drawing in drawings(job.harness):
        paper = best_way_up(job.paper, drawing.extent)
        leaf = Leaf(paper, DIAGRAM, plain(drawing.title), [(1, plain(drawing.title))])
        if not leaves:
            leaf.marks.insert(0, (0, DIAGRAM))
        body, by = paper.body, min(_LARGEST, _fit(paper, drawing.extent))
        level, upwards, lost = legible(drawing.texts, drawing.upwards, by)
        dx = body.left_mm + (body.width_mm - drawing.extent.width_mm * by) / 2 - drawing.extent.left_mm * by
        dy = body.top_mm - drawing.extent.top_mm * by
        leaf.windows.append(Window(body, scaled(drawing.strokes, by).moved(dx, dy)))
        leaf.texts += [replace(t, x_mm=t.x_mm + dx, y_mm=t.y_mm + dy) for t in level]
        leaf.upwards += [replace(t, x_mm=t.x_mm + dx, y_mm=t.y_mm + dy) for t in upwards]
        said = f"drawn at {by * 100:.0f} % of its size"
        if lost:
            said += f"; {lost} texts have no legible place at this size: see the poster or a larger paper"
        leaf.add(Text(body.left_mm, body.bottom_mm - 1.2, said, LEAST_MM, REGULAR, "muted"))
        leaves.append(leaf)
    return leaves


def poster(job: Job) -> list[Leaf]:
    """Return each page of the diagram tiled at a legible scale, with overlap and match marks."""
    leaves: list[Leaf] = []
    for drawing in drawings(job.harness):
        made = _tiles(job, drawing)
        if not leaves:
            made[0].marks.insert(0, (0, POSTER))
        leaves += made
    return leaves


def tiling(paper: Paper, wide: float, high: float) -> tuple[int, int]:
    """Return how many columns and rows of tiles cover a drawing, neighbours sharing a strip."""
    body = paper.body
    across = 1 + max(0, math.ceil((wide - body.width_mm) / (body.width_mm - _OVERLAP_MM) - 1e-9))
    down = 1 + max(0, math.ceil((high - body.height_mm) / (body.height_mm - _OVERLAP_MM) - 1e-9))
    return across, down


def _tiles(job: Job, drawing: Drawing) -> list[Leaf]:
    by = _POSTER_SCALE
    wide, high = drawing.extent.width_mm * by, drawing.extent.height_mm * by
    turned = replace(job.paper, width_mm=job.paper.height_mm, height_mm=job.paper.width_mm)
    paper = min((job.paper, turned), key=lambda p: math.prod(tiling(p, wide, high)))
    across, down = tiling(paper, wide, high)
    body = paper.body
    ink = scaled(drawing.strokes, by)
    level, upwards, _ = legible(drawing.texts, drawing.upwards, by)
    left, top = drawing.extent.left_mm * by, drawing.extent.top_mm * by
    leaves = []
    for row in range(down):
        for column in range(across):
            x = left + column * (body.width_mm - _OVERLAP_MM)
            y = top + row * (body.height_mm - _OVERLAP_MM)
            name = f"{chr(65 + column % 26)}{row + 1}"
            said = f"{plain(drawing.title)}, {name} of {across} × {down}"
            leaf = Leaf(paper, POSTER, said, [(1, said)])
            dx, dy = body.left_mm - x, body.top_mm - y
            leaf.windows.append(Window(body, ink.moved(dx, dy)))
            seen = Box(x, y, body.width_mm, body.height_mm)
            leaf.texts += [
                replace(t, x_mm=t.x_mm + dx, y_mm=t.y_mm + dy) for t in _inside(level, seen, False)
            ]
            leaf.upwards += [
                replace(t, x_mm=t.x_mm + dx, y_mm=t.y_mm + dy) for t in _inside(upwards, seen, True)
            ]
            leaf.add(*_match_marks(body, column, row, across, down))
            leaves.append(leaf)
    return leaves


def _inside(texts: list[Text], seen: Box, upright: bool) -> Iterator[Text]:
    """Yield the texts that lie wholly in a tile, and those with their middle in it moved in."""
    for text in texts:
        box = text_box(text, upwards=upright)
        if box.left_mm >= seen.left_mm and box.right_mm <= seen.right_mm:
            dx = 0.0
        else:
            dx = max(0.0, seen.left_mm + 0.3 - box.left_mm) or min(0.0, seen.right_mm - 0.3 - box.right_mm)
        if box.top_mm >= seen.top_mm and box.bottom_mm <= seen.bottom_mm:
            dy = 0.0
        else:
            dy = max(0.0, seen.top_mm + 0.3 - box.top_mm) or min(0.0, seen.bottom_mm - 0.3 - box.bottom_mm)
        if (not dx and not dy) or (seen.contains(box.centre) and not _whole_elsewhere(box, dx, dy)):
            yield replace(text, x_mm=text.x_mm + dx, y_mm=text.y_mm + dy)


def _whole_elsewhere(box: Box, dx: float, dy: float) -> bool:
    """Tell whether a neighbouring tile shows the text whole: what sticks out fits in the shared strip."""
    return box.width_mm <= _OVERLAP_MM and box.height_mm <= _OVERLAP_MM and bool(dx or dy)


def _match_marks(body: Box, column: int, row: int, across: int, down: int) -> list[Stroke | Text]:
    """Return crosses in the middle of the strips that neighbours share, at the same places of the drawing on both."""
    half = _OVERLAP_MM / 2
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
        name = f"{chr(65 + column % 26)}{row + 1}: cut at the crosses, lay one on the other"
        found.append(Text(body.left_mm, body.bottom_mm + 1.6, name, SMALL_MM, STRONG, "muted"))
    return found
