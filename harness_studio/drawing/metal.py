"""Grounds, bodies and splices: rings on their stud, the bar that carries return current, the dot where wires meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from harness_studio.base.geometry import Box

from .glyph import LINE, THIN
from .strokes import Stroke, Strokes, circle, ellipse, gather, lines, slab

SPLICE_RADIUS_MM = 1.7


@dataclass(frozen=True, slots=True)
class RingArt:
    """One ring of a stack: where it lies, and the codes of its wires' colours (none: not known)."""

    box: Box
    codes: tuple[str, ...] = ()


def stack(rings: Sequence[RingArt], box: Box) -> Strokes:
    """Return a stud with its rings, drawn from the metal upwards.

    Parameters
    ----------
    rings
        The one next to the metal first.
    box
        The symbol's extent; the stud reaches down to its foot.
    """
    top = min((r.box.top_mm for r in rings), default=box.top_mm)
    x = rings[0].box.centre.x_mm if rings else box.centre.x_mm
    width = 2.3
    stud = Stroke(slab(Box(x - width / 2, top, width, max(0.1, box.bottom_mm - top)), 0.5), None, 0, "stud")
    parts: list[Stroke | Strokes] = [stud]
    for ring in rings:
        parts.append(_ring(ring))
    if not rings:
        parts.append(Stroke(circle(x, box.top_mm + width, width), "frame", LINE, "paper"))
    return gather(*parts)


def _ring(ring: RingArt) -> Strokes:
    middle = ring.box.centre
    wide, high = ring.box.width_mm / 2, max(0.9, min(ring.box.height_mm / 2, ring.box.width_mm * 0.16))
    code = ring.codes[0] if ring.codes else "hairline"
    edge = f"{code}|" if ring.codes else "frame"
    rim = ellipse(middle.x_mm, middle.y_mm, wide, high)
    hole = ellipse(middle.x_mm, middle.y_mm, wide * 0.2, high * 0.36)
    return gather(Stroke(rim, edge, THIN, code), Stroke(hole, edge, THIN * 0.7, "washer"))


def body_bar(box: Box) -> Strokes:
    """Return a body: a broad bar with the frame-or-chassis symbol of IEC 60617 at its right end."""
    step, count = 2.6, 4
    start = box.right_mm - 2.0 - step * count
    foot = [
        (start + step * (k + 1), box.bottom_mm, start + step * (k + 1) - 1.9, box.bottom_mm + 2.8)
        for k in range(count)
    ]
    return gather(
        Stroke(lines(*foot), "stud", LINE),
        Stroke(slab(box, 1.2), "metal_edge", THIN, "metal"),
    )


def splice(box: Box) -> Strokes:
    """Return the dot of a splice."""
    return gather(Stroke(circle(box.centre.x_mm, box.centre.y_mm, SPLICE_RADIUS_MM), None, 0, "ink"))
