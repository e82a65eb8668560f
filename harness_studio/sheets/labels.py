"""Labels on sheets of stickers: both ends of every wire with the text twice, tags of connectors with a QR code."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from harness_studio.base.geometry import Box
from harness_studio.drawing import looks
from harness_studio.drawing.fonts import BOLD, REGULAR
from harness_studio.drawing.strokes import Stroke, Strokes, Text, gather, line
from harness_studio.placing.faces import natural

from . import swatch
from .job import Job
from .label_grids import grid_of
from .leaf import Leaf
from .lettering import LEADING, LEAST_MM, elided, plain, shrunk, width_mm
from .paper import Paper
from .pinout import spot_words
from .qr import qr

WIRE_LABELS, TAGS = "Wire labels", "Tags"
_PAD_MM, _SAFE_MM = 1.6, 4.0
"""Room within a label; and what printers leave free at the edge of the paper."""


def wire_labels(job: Job) -> list[Leaf]:
    """Return a label for each end of every wire."""
    draws = []
    for wire in sorted(job.harness.wires.values(), key=lambda w: natural(w.id)):
        for here, there in (wire.ends, wire.ends[::-1]):
            where = f"{here.point or here} ← {there.point or there}"
            draws.append(_wire_label(wire.id, plain(where), looks.codes(wire)))
    return _pages(job, WIRE_LABELS, draws)


def tags(job: Job) -> list[Leaf]:
    """Return a tag with a QR code for the harness and for each connector half."""
    harness = job.harness
    if not harness.halves:
        return []
    title = plain(harness.settings.title)
    revision = f"revision {plain(job.revision.id)}" if job.revision else ""
    draws = [_tag(title, title, [revision, job.day])]
    for half in sorted(harness.halves.values(), key=lambda h: natural(h.id)):
        mates = ", ".join([*half.mates, *(h.id for h in harness.halves.values() if half.id in h.mates)])
        lines = [plain(half.title or ""), f"mates {mates}" if mates else "", spot_words(harness, half)]
        draws.append(_tag(half.id, half.id, [line for line in lines if line]))
    return _pages(job, TAGS, draws)


Draw = Callable[[Box], Strokes]


def _pages(job: Job, sheet: str, draws: Sequence[Draw]) -> list[Leaf]:
    grid = grid_of(job.label_grid, job.paper)
    boxes = grid.boxes()
    leaves: list[Leaf] = []
    for start in range(0, len(draws), len(boxes)):
        leaf = Leaf(grid.paper, sheet, framed=False, marks=[] if leaves else [(0, sheet)])
        for box, draw in zip(boxes, draws[start : start + len(boxes)], strict=False):
            leaf.add(draw(_safe(box, grid.paper)))
        leaves.append(leaf)
    return leaves


def _safe(box: Box, size: Paper) -> Box:
    """Return what of a label lies away from the paper's edge, where no printer reaches."""
    left, top = max(box.left_mm, _SAFE_MM), max(box.top_mm, _SAFE_MM)
    right = min(box.right_mm, size.width_mm - _SAFE_MM)
    bottom = min(box.bottom_mm, size.height_mm - _SAFE_MM)
    return Box(left, top, right - left, bottom - top)


def _wire_label(name: str, where: str, codes: Sequence[str]) -> Draw:
    """Return a label whose text stands twice, so that it is read from either side when it is wrapped round a wire."""

    def draw(box: Box) -> Strokes:
        half = box.height_mm / 2
        parts: list[Stroke | Strokes | Text] = []
        for top in (box.top_mm, box.top_mm + half):
            parts += _twice(Box(box.left_mm, top, box.width_mm, half), name, where, codes)
        middle = box.top_mm + half
        parts.append(Stroke(line((box.left_mm + 1, middle), (box.right_mm - 1, middle)), "hairline", 0.1))
        return gather(*parts)

    return draw


def _twice(box: Box, name: str, where: str, codes: Sequence[str]) -> Iterator[Strokes | Text]:
    room = box.width_mm - 2 * _PAD_MM
    small = LEAST_MM * LEADING
    size = min(4.2, (box.height_mm - small - 0.5) / LEADING)
    left = box.left_mm + _PAD_MM
    both = size * LEADING + small
    y = box.top_mm + (box.height_mm - both) / 2
    wide = swatch.WIDE_MM if codes else 0.0
    shown, fitting = shrunk(name, size, room - wide - 1.0, BOLD)
    yield Text(left, y + size * LEADING / 2, shown, fitting, BOLD)
    if codes:
        high = min(swatch.HIGH_MM, size)
        at = Box(box.right_mm - _PAD_MM - wide, y + size * LEADING / 2 - high / 2, wide, high)
        yield swatch.swatch(codes, at)
    said, fitting = shrunk(where, LEAST_MM, room)
    yield Text(left, y + size * LEADING + small / 2, said, fitting, REGULAR)


def _tag(text: str, name: str, lines: Sequence[str]) -> Draw:
    """Return a tag: the QR code of a text at the left, the name and lines beside it."""

    def draw(box: Box) -> Strokes:
        side = min(box.height_mm - 0.6, box.width_mm * 0.45)
        top = box.top_mm + (box.height_mm - side) / 2
        left = box.left_mm + side + 1.0
        room = box.right_mm - _PAD_MM - left
        size = min(4.6, (box.height_mm - 1.0) / LEADING / 2)
        shown, fitting = shrunk(name, size, room, BOLD)
        step = LEAST_MM * LEADING
        count = max(0, min(len(lines), int((box.height_mm - 1.0 - size * LEADING) / step)))
        y = box.top_mm + (box.height_mm - size * LEADING - count * step) / 2 + size * LEADING / 2
        parts: list[Stroke | Text] = [qr(text, box.left_mm + 0.3, top, side)]
        parts.append(Text(left, y, shown, fitting, BOLD))
        y += size * LEADING / 2 + step / 2
        for said in lines[:count]:
            if width_mm(said, LEAST_MM) > room:
                said = elided(said, LEAST_MM, room)
            parts.append(Text(left, y, said, LEAST_MM, REGULAR))
            y += step
        return gather(parts)

    return draw
