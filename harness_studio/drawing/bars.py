"""Stretches of wires as bars on whole pixels, and what is cut out of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Bars:
    """Stretches that can be seen, in device pixels: left, top, width, height; and what they belong to.

    Level ones come first; those of either direction are in the order of their base colours.
    """

    rects: Floats
    wire: Ints
    level: Bools


def part(bars: Bars, which: Bools | slice) -> Bars:
    """Return some of the bars."""
    return Bars(bars.rects[which], bars.wire[which], bars.level[which])


def grown(bars: Bars, by: int, all_round: bool) -> Floats:
    """Return the bars broader by some pixels on each long side, or all round."""
    rects = bars.rects.copy()
    across = np.where(bars.level, 0, by) if not all_round else by
    down = np.where(bars.level, by, 0) if not all_round else by
    rects[:, 0] -= across
    rects[:, 2] += 2 * across
    rects[:, 1] -= down
    rects[:, 3] += 2 * down
    return rects


def dashes(bars: Bars, width: Ints, thickness: float, dash: float, gap: float) -> Floats:
    """Return dashes along the middle of bars; all lengths are in widths of the wire.

    The pattern is centred in each stretch, so that its ends look alike.
    """
    if not len(bars.wire):
        return bars.rects
    wide = width[bars.wire]
    thin = np.maximum(1, np.rint(wide * thickness))
    thin += (wide - thin) % 2
    length = np.where(bars.level, bars.rects[:, 2], bars.rects[:, 3])
    on, off = np.maximum(3, np.rint(wide * dash)), np.maximum(2, np.rint(wide * gap))
    count = np.maximum(1, np.floor((length + off) / (on + off))).astype(np.int64)
    which = np.repeat(np.arange(len(wide)), count)
    order = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    lead = np.floor((length - (count * (on + off) - off)) / 2)
    start = np.maximum(0, lead[which] + order * (on + off)[which])
    reach = np.minimum(on[which], length[which] - start)
    side = (wide - thin)[which] / 2
    level = bars.level[which]
    out = np.empty((len(which), 4))
    out[:, 0] = bars.rects[which, 0] + np.where(level, start, side)
    out[:, 1] = bars.rects[which, 1] + np.where(level, side, start)
    out[:, 2] = np.where(level, reach, thin[which])
    out[:, 3] = np.where(level, thin[which], reach)
    return out
