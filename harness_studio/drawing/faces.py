"""A connector as it looks: its face with the cavities filled by their wires, its lock, and the comb of its wires."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtGui import QPainterPath

from harness_studio.base.geometry import Box, Point
from harness_studio.placing.faces import FaceShape

from .glyph import LINE, THIN
from .strokes import Stroke, Strokes, Text, circle, gather, line, lines, slab

_ROUNDING = 0.2
_RANK = 3


@dataclass(frozen=True, slots=True)
class Filling:
    """What sits in a cavity: the codes of its wire (none: colour not known), or only a plug; and its accent ring."""

    codes: tuple[str, ...] = ()
    plug: bool = False
    ringed: bool = False


def cell_boxes(shape: FaceShape, at: Point) -> dict[str, Box]:
    """Return where each cavity of a face lies whose middle is at a place."""
    return {
        c.name: Box(
            c.at.x_mm + at.x_mm - c.size_mm / 2, c.at.y_mm + at.y_mm - c.size_mm / 2, c.size_mm, c.size_mm
        )
        for c in shape.cells
    }


def face(shape: FaceShape, at: Point, filled: Mapping[str, Filling]) -> Strokes:
    """Return a face with its middle at a place: lock, shell and cavities.

    Parameters
    ----------
    filled
        Cavity → what sits in it; a cavity that is not listed is empty and drawn hollow.
    """
    outline = shape.outline.moved(at.x_mm, at.y_mm)
    shell = circle(at.x_mm, at.y_mm, outline.width_mm / 2) if shape.shape == "round" else slab(outline, 2.2)
    parts: list[Strokes | Stroke] = []
    if shape.lock_bar:
        parts.append(Stroke(slab(shape.lock_bar.moved(at.x_mm, at.y_mm), 0.9), None, 0, "frame"))
    parts.append(Stroke(shell, "frame", LINE, "slab"))
    for name, box in cell_boxes(shape, at).items():
        parts.append(_cavity(name, box, filled.get(name)))
    return gather(*parts)


def _cavity(name: str, box: Box, filling: Filling | None) -> Strokes:
    radius = box.width_mm * _ROUNDING
    size = min(box.height_mm * 0.58, box.width_mm * 1.1 / max(1.0, len(name) * 0.62))
    wired = filling is not None and not filling.plug
    if filling is None or not wired:
        cross = lines((box.left_mm, box.top_mm, box.right_mm, box.bottom_mm))
        plug = [Stroke(cross, "metal_edge", THIN)] if filling is not None else []
        hollow = Stroke(slab(box, radius), "metal_edge", THIN, "paper")
        return gather(hollow, plug, _number(name, box, size, "muted", 400))
    if not filling.codes:
        strokes = [Stroke(slab(box, radius), "frame", THIN, "hairline")]
    else:
        base, *tracers = filling.codes
        strokes = [Stroke(slab(box, radius), None, 0, base)]
        strokes += [Stroke(_tracer(box, i, len(tracers)), None, 0, code) for i, code in enumerate(tracers)]
        if len(tracers) > 1:
            strokes.append(Stroke(circle(box.centre.x_mm, box.centre.y_mm, size * 0.55), None, 0, base))
        strokes.append(Stroke(slab(box, radius), f"{base}|", THIN))
    ring = [Stroke(slab(box.grown(0.75), radius + 0.7), "accent", 0.8)] if filling.ringed else []
    ink = f"{filling.codes[0]}!" if filling.codes else "ink"
    return gather(strokes, ring, _number(name, box, size, ink, 700))


def _number(name: str, box: Box, size: float, ink: str, weight: int) -> Text:
    room = box.height_mm * 0.84 if len(name) == 1 else size * 1.3
    return Text(box.centre.x_mm, box.centre.y_mm, name, size, weight, ink, "middle", room, _RANK)


def _tracer(box: Box, index: int, count: int) -> QPainterPath:
    """Return a diagonal band from lower left to upper right, off the middle so that the number stays legible."""
    shift = ((index - (count - 1) / 2) * 0.5 + (0.34 if count == 1 else 0.0)) * box.width_mm
    half = box.width_mm * 0.15
    band = line(
        (box.left_mm + shift - half, box.bottom_mm), (box.left_mm + shift + half, box.bottom_mm),
        (box.right_mm + shift + half, box.top_mm), (box.right_mm + shift - half, box.top_mm), closed=True,
    )  # fmt: skip
    return band.intersected(slab(box, box.width_mm * _ROUNDING))


def comb(teeth: Sequence[tuple[Point, Point, tuple[str, ...]]]) -> Strokes:
    """Return the teeth that wires leave from: each as (root at the face, tip, codes of its wire)."""
    parts = []
    for root, tip, codes in teeth:
        path = line((root.x_mm, root.y_mm), (tip.x_mm, tip.y_mm))
        edge, core = (f"{codes[0]}|", codes[0]) if codes else ("frame", "hairline")
        parts += [Stroke(path, edge, 2.0), Stroke(path, core, 1.45)]
    return gather(parts)
