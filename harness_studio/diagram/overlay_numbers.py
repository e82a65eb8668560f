"""Which numbers of an overlay are written, and where: found by arrays, and kept while nothing changes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np

from harness_studio.drawing import texts
from harness_studio.drawing.strokes import Text

from .overlays import Overlay

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from harness_studio.drawing.pixels import Pixels

    from .scene import Scene

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Ends = tuple[Floats, Floats, Floats, Floats]
    Edges = tuple[float, float, float, float]

LEAST_STRETCH_PX = 26.0
MOST_NUMBERS, MOST_TRIED = 80, 160
NUMBER_PX = 11.0
_PARTS = (0.5, 0.3, 0.7)
_BODY = 0


@dataclass(frozen=True, slots=True)
class Number:
    """A number and where its middle stands, in device pixels."""

    text: Text
    x: float
    y: float


@dataclass(slots=True, eq=False)
class Kept:
    """What was found for one overlay, scene and view."""

    overlay: Overlay
    at: Pixels
    numbers: list[Number]


def numbers(
    scene: Scene, at: Pixels, overlay: Overlay, ends: Ends, wire: Ints, kept: Kept | None, legend: Edges
) -> Kept:
    """Return the numbers: each wire's at its longest stretch that can be seen, the greatest first, none over another.

    They keep off symbols, their titles and readings, the legend, and one another.

    Parameters
    ----------
    legend
        Its left, top, right and bottom edge in device pixels.
    """
    if kept is not None and kept.overlay is overlay and kept.at == at:
        return kept
    x0, y0, x1, y1 = ends
    length = np.hypot(x1 - x0, y1 - y0)
    longest = _longest(length, wire, LEAST_STRETCH_PX * at.ratio)
    value = np.abs(np.nan_to_num(overlay.values[wire[longest]]))
    tried = longest[np.argsort(-value, kind="stable")]
    worded = ((i, words) for i in tried.tolist() if (words := overlay.words[wire[i]]))
    some = [
        (i, Text(0.0, 0.0, words, 3.7, 600, "ink", "middle", 5.0, 0))
        for i, words in islice(worded, MOST_TRIED)
    ]
    if not some:
        return Kept(overlay, at, [])
    which = np.array([i for i, _ in some])
    extents = np.array([texts.extent_px(text, NUMBER_PX * at.ratio) for _, text in some])
    along, down = (x1 - x0)[which], (y1 - y0)[which]
    parts = np.array(_PARTS)
    x = x0[which][:, None] + along[:, None] * parts
    y = y0[which][:, None] + down[:, None] * parts
    whole = (np.abs(along) > np.abs(down)) & (extents[:, 2] > length[which] - 12 * at.ratio)
    boxes = _boxes(x, y, extents)
    free = np.repeat(~whole, len(_PARTS))  # where it would not hide the whole stretch
    taken = np.concatenate([_symbols(scene, at), _titles(scene, at), [legend]])
    free &= ~_meet(boxes, taken).any(axis=1)
    clear_of = ~_meet(boxes, boxes)
    found: list[Number] = []
    for row, (_, text) in enumerate(some):
        for column in range(len(_PARTS)):
            if free[row * len(_PARTS) + column]:
                free &= clear_of[row * len(_PARTS) + column]
                found.append(Number(text, float(x[row, column]), float(y[row, column])))
                break
        if len(found) >= MOST_NUMBERS:
            break
    return Kept(overlay, at, found)


def _boxes(x: Floats, y: Floats, extents: Floats) -> Floats:
    """Return the boxes of texts at their places (texts, places): left, top, right, bottom of each, a row each."""
    left, top, width, height = (extents[:, n, None] for n in range(4))
    sides = (x + left - 2, y + top, x + left + width + 2, y + top + height)
    return np.stack(sides, axis=-1).reshape(-1, 4)


def _meet(first: Floats, second: Floats) -> NDArray[np.bool_]:
    """Tell which of some boxes meet which of others: (first, second)."""
    left, top, right, bottom = np.ascontiguousarray(first.T)[:, :, None]
    other = np.ascontiguousarray(second.T)[:, None, :]
    found: NDArray[np.bool_] = (other[0] < right) & (other[1] < bottom) & (other[2] > left) & (other[3] > top)
    return found


def _longest(length: Floats, wire: Ints, least: float) -> Ints:
    """Return the number of each wire's longest stretch, of those that are long enough."""
    long = np.flatnonzero(length >= least)
    order = long[np.lexsort((length[long], wire[long]))]
    if not len(order):
        return order
    last = np.append(wire[order][1:] != wire[order][:-1], True)
    return order[last]


def _symbols(scene: Scene, at: Pixels) -> Floats:
    """Return the boxes of the symbols that are seen, bodies aside: left, top, right, bottom in device pixels."""
    mm = scene.outlines[scene.are_seen(at.seen()) & (scene.kinds != _BODY)]
    left, top = mm[:, 0] * at.scale + at.dx, mm[:, 1] * at.scale + at.dy
    return np.column_stack([left, top, left + mm[:, 2] * at.scale, top + mm[:, 3] * at.scale])


def _titles(scene: Scene, at: Pixels) -> Floats:
    """Return where the titles of symbols, their readings and what is written within them stand."""
    room, natural = scene.room, at.scale / at.ratio
    found = []
    for number in room.shown(at.zoom, at.seen()):
        if room.owners[number] in scene.symbols:
            text = room.texts[number]
            px = texts.pixel_size(text, natural)
            if px is not None:
                y = at.y(room.y_mm(number, px / (text.size_mm * natural)))
                found.append(_box(text, at.x(text.x_mm), y, px * at.ratio))
    for key in scene.seen(at.seen()):
        if key in scene.readings:
            text = scene.readings[key]
            px = texts.pixel_size(text, natural)
            if px is not None:
                found.append(_box(text, at.x(text.x_mm), at.y(text.y_mm), px * at.ratio))
    return np.array(found, dtype=np.float64).reshape(-1, 4)


def _box(text: Text, x: float, y: float, px: float) -> tuple[float, float, float, float]:
    left, top, width, height = texts.extent_px(text, px)
    return x + left, y + top, x + left + width, y + top + height
