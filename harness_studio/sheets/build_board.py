"""Build board: the bundle in true lengths on one sheet at 1:n, and tiled at 1:1 with match marks."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainterPathStroker

from harness_studio.base.geometry import Box, Point, around
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Strokes, Text, circle, gather, line, lines
from harness_studio.placing.faces import face_shape, natural

from .build_board_plan import Plan, Stretch, plan
from .diagram_art import cleared, legible, text_box
from .diagram_page import best_way_up
from .face_art import face_art
from .flow import Flow
from .job import Job
from .leaf import Leaf, Window
from .lettering import LEAST_MM, SMALL_MM, TEXT_MM, plain
from .paper import Paper
from .pinout import fillings
from .poster import OVERLAP_MM, inside, match_marks, name_of, reaching, stroke_box, tiling
from .spreading import spread
from .table import Band, Cell, Column, Row

NAME, FULL = "Build board", "Build board 1:1"
_NICE = (1, 2, 2.5, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100)
_MARGIN_MM = 14.0
"""Room around the bundle for labels and faces on the sheet at 1:n."""
_FACE_MM = (46.0, 40.0)


def one_sheet(job: Job) -> list[Leaf]:
    """Return the build board on one sheet at the largest round scale that fits, and the list of its runs and tails."""
    made = plan(job.harness)
    if not made.stretches:
        return []
    whole = _extent(made)
    paper = best_way_up(job.paper, whole)
    body = paper.body
    room = Box(
        body.left_mm + _MARGIN_MM, body.top_mm + 8.0, body.width_mm - 2 * _MARGIN_MM, body.height_mm - 22.0
    )
    needed = max(whole.width_mm / room.width_mm, whole.height_mm / room.height_mm)
    scale = next((n for n in _NICE if n >= needed), math.ceil(needed))
    strokes, texts = _art(job, made, 1 / scale, faces=False)
    leaf = Leaf(paper, NAME, f"1:{scale:g}", [(0, NAME)])
    dx = room.left_mm + (room.width_mm - whole.width_mm / scale) / 2 - whole.left_mm / scale
    dy = room.top_mm + (room.height_mm - whole.height_mm / scale) / 2 - whole.top_mm / scale
    leaf.windows.append(Window(body, strokes.moved(dx, dy)))
    moved = [replace(t, x_mm=t.x_mm + dx, y_mm=t.y_mm + dy) for t in texts]
    marks = [_about(p, 1 / scale, dx, dy, 1.6) for p in (*made.nodes.values(), *made.things.values())]
    for stretch in made.stretches:
        steps = max(1, math.ceil(stretch.length_mm / scale / 1.5))
        places = [stretch.along(stretch.length_mm * k / steps) for k in range(steps + 1)]
        marks += [_about(p, 1 / scale, dx, dy, 0.9) for p in places]
    kept, leaders, lost = spread(
        moved, marks, Box(body.left_mm, body.top_mm, body.width_mm, body.height_mm - 4.0)
    )
    leaf.add(*leaders, *map(cleared, kept))  # a leader goes behind the texts on its way
    leaf.texts += kept
    said = f"scale 1:{scale:g}; every run straight and in its true length, branch angles free"
    if lost:
        said += f"; {lost} texts have no free place here: see the list"
    leaf.add(Text(body.left_mm, body.bottom_mm - 1.2, said, LEAST_MM, REGULAR, "muted"))
    return [leaf, *_lists(job, made)]


def _about(place: Point, by: float, dx: float, dy: float, reach: float) -> Box:
    """Return what a mark covers on the page."""
    return Box(place.x_mm * by + dx - reach, place.y_mm * by + dy - reach, 2 * reach, 2 * reach)


def full_size(job: Job) -> list[Leaf]:
    """Return the build board at 1:1, tiled; tiles on which nothing lies are left out."""
    made = plan(job.harness)
    if not made.stretches:
        return []
    strokes, texts = _art(job, made, 1.0, faces=True)
    kept, _, _ = legible(texts, [], 1.0)
    ink = around([stroke_box(s) for s in strokes.strokes] + [text_box(t) for t in kept])
    assert ink is not None
    whole = ink.grown(4.0)
    turned = replace(job.paper, width_mm=job.paper.height_mm, height_mm=job.paper.width_mm)
    paper = min((job.paper, turned), key=lambda p: math.prod(tiling(p, whole.width_mm, whole.height_mm)))
    across, down = tiling(paper, whole.width_mm, whole.height_mm)
    leaves: list[Leaf] = []
    for row in range(down):
        for column in range(across):
            tile = _tile(paper, whole, strokes, kept, (column, row), (across, down))
            if tile is not None:
                tile.marks = [(1, tile.subject)] if leaves else [(0, FULL), (1, tile.subject)]
                leaves.append(tile)
    return leaves


def _tile(
    paper: Paper,
    whole: Box,
    strokes: Strokes,
    texts: list[Text],
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


def _extent(made: Plan) -> Box:
    points = [p for s in made.stretches for p in (s.start, s.end)]
    left, top = min(p.x_mm for p in points), min(p.y_mm for p in points)
    wide = max(p.x_mm for p in points) - left
    return Box(left, top, max(wide, 1.0), max(max(p.y_mm for p in points) - top, 1.0))


def _art(job: Job, made: Plan, by: float, *, faces: bool) -> tuple[Strokes, list[Text]]:
    """Return the strokes of the build board at a scale, and its texts, which keep their size."""
    parts: list[Strokes | Stroke] = []
    texts: list[Text] = []
    for stretch in sorted(made.stretches, key=lambda s: s.kind):
        parts.append(_piece(stretch, by))
        texts += _piece_texts(job, stretch, by)
    for node, place in made.nodes.items():
        x, y = place.x_mm * by, place.y_mm * by
        parts.append(Stroke(circle(x, y, 2.0), "ink", 0.5, "paper"))
        found = job.harness.tables["breakouts"].get(node)
        title = f"{node} {plain(found.title)}" if found and found.title else node
        texts.append(Text(x, y - 4.2, title, TEXT_MM, STRONG, "ink", "middle", rank=1))
    for splice, place in made.splices.items():
        x, y = place.x_mm * by, place.y_mm * by
        parts.append(Stroke(circle(x, y, 1.5), None, 0, "ink"))
        spot = job.harness.splices[splice].at
        where = (
            f", {spot.mm:g} mm from {_first(job, spot.run)}"
            if spot and spot.run and spot.mm is not None
            else ""
        )
        texts.append(Text(x, y + 3.6, f"{splice}{where}", SMALL_MM, REGULAR, "ink", "middle", rank=2))
    for thing, place in made.things.items():
        drawn, said = _thing(job, made, thing, Point(place.x_mm * by, place.y_mm * by), faces=faces)
        parts += drawn
        texts += said
    strokes = gather(*parts)
    texts += [replace(t, rank=3) for t in strokes.texts]
    return Strokes(strokes.strokes), sorted(texts, key=lambda t: t.rank)


def _first(job: Job, run: str | None) -> str:
    return job.harness.runs[run].ends[0] if run in job.harness.runs else ""


def _piece(stretch: Stretch, by: float) -> Stroke:
    points = [(p.x_mm * by, p.y_mm * by) for p in (stretch.start, stretch.end)]
    path = line(*points)
    if not stretch.known or stretch.onward:
        stroker = QPainterPathStroker()
        stroker.setWidth(1.2)
        stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
        stroker.setDashPattern([3.0, 2.0])
        return Stroke(stroker.createStroke(path), None, 0, "frame")
    return Stroke(path, "frame" if stretch.kind == "run" else "stud", 1.6 if stretch.kind == "run" else 0.8)


def _piece_texts(job: Job, stretch: Stretch, by: float) -> Iterator[Text]:
    middle = stretch.along(stretch.length_mm / 2)
    x, y = middle.x_mm * by, middle.y_mm * by
    flat = abs(stretch.end.y_mm - stretch.start.y_mm) < abs(stretch.end.x_mm - stretch.start.x_mm)
    if stretch.kind == "run":
        run = job.harness.runs[stretch.id]
        long = f"{stretch.length_mm:g} mm" if stretch.known else "length not known"
        said = ", ".join(filter(None, (stretch.id, long, plain(run.covering or ""))))
        if stretch.onward:
            said += f", goes on at {stretch.onward}"
    else:
        said = f"{stretch.length_mm:g} mm"
        if stretch.length_mm * by < 15.0:
            return
    align = "middle" if flat else "left"
    at = (x, y + 3.0) if flat else (x + 2.0, y)
    yield Text(*at, said, SMALL_MM, REGULAR, "muted", align, rank=4)  # type: ignore[arg-type]


def _thing(
    job: Job, made: Plan, thing: str, at: Point, *, faces: bool
) -> tuple[list[Strokes | Stroke], list[Text]]:
    """Return what stands at the end of a tail: a connector with its face, or a mark; and its title."""
    piece = next(s for s in made.stretches if s.id == thing and s.kind == "tail")
    left = piece.end.x_mm < piece.start.x_mm - 1e-6
    known = thing.partition(" at ")[0]
    title = plain(job.harness.title_of(known))
    half = job.harness.halves.get(known)
    mark = Stroke(circle(at.x_mm, at.y_mm, 1.2), "ink", 0.4, "paper")
    text = Text(
        at.x_mm + (-3 if left else 3),
        at.y_mm,
        title,
        TEXT_MM,
        STRONG,
        "ink",
        "right" if left else "left",
        rank=1,
    )
    if half is None or not faces:
        return [mark], [text]
    used, filled = fillings(job, half)
    shape = face_shape(half, used)
    if not shape.cells:
        return [mark], [text]
    first = min((c.name for c in shape.cells), key=natural)
    art = face_art(shape, filled, first, _FACE_MM, "")
    down = piece.end.y_mm >= piece.start.y_mm
    x = at.x_mm - (art.width_mm + 4 if left else -4)
    y = at.y_mm + (2 if down else -art.height_mm - 2)
    return [mark, art.ink.moved(x, y)], [replace(text, y_mm=at.y_mm - (2.4 if down else -2.4))]


def _lists(job: Job, made: Plan) -> list[Leaf]:
    flow = Flow(job, NAME)
    flow.page()
    flow.leaf.marks.clear()
    flow.heading("Runs, tails and splices")
    columns = [
        Column("Name", grows=0), Column("From"), Column("To"), Column("Length", "right", grows=0), Column("Covering"),
        Column("Laid", grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = [Band("Runs")]
    for run in sorted(job.harness.runs.values(), key=lambda r: natural(r.id)):
        long = f"{run.length_mm:g} mm" if run.length_mm is not None else "not known"
        ends = [_breakout(job, e) for e in run.ends]
        rows.append([Cell(run.id, STRONG), *ends, long, plain(run.covering or ""), Cell(ticks=(False,))])
    tails = [s for s in made.stretches if s.kind == "tail"]
    if tails:
        rows.append(Band("Tails: from the breakout to the contact, the longest wire"))
    for tail in tails:
        node = next((n for n, p in made.nodes.items() if p == tail.start), "")
        title = plain(job.harness.title_of(tail.id.partition(" at ")[0]))
        rows.append(["", _breakout(job, node), title, f"{tail.length_mm:g} mm", "", Cell(ticks=(False,))])
    if made.splices:
        rows.append(Band("Splices: from the first breakout of their run"))
    for splice in made.splices:
        spot = job.harness.splices[splice].at
        assert spot is not None
        where = f"{spot.mm:g} mm" if spot.mm is not None else ""
        start = _first(job, spot.run) if spot.run else spot.breakout or ""
        rows.append(
            [Cell(splice, STRONG), _breakout(job, start), spot.run or "", where, "", Cell(ticks=(False,))]
        )
    flow.table(columns, rows)
    if made.unplaced:
        flow.paragraph(
            f"Not on the build board, since no run is recorded for them: {', '.join(made.unplaced)}.",
            colour="mend",
        )
    return flow.leaves


def _breakout(job: Job, node: str) -> str:
    found = job.harness.tables["breakouts"].get(node)
    return f"{node} {plain(found.title)}" if found and found.title else node
