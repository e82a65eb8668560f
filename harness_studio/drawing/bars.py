"""Stretches of wires as bars on whole pixels, and what is cut out of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Rects = NDArray[np.int32]
    Bools = NDArray[np.bool_]

_ALL_ROUND = np.array([-1, -1, 1, 1], dtype=np.int32)
_ACROSS = np.array([[-1, 0, 1, 0], [0, -1, 0, 1]], dtype=np.int32)
"""Which way the sides of an upright bar go when it grows broader, and those of a level one."""


@dataclass(frozen=True, slots=True)
class Bars:
    """Stretches that can be seen, in device pixels, and what they belong to.

    Level ones come first; those of either direction are in the order of their base colours.

    Parameters
    ----------
    rects
        Left, top, and the last pixel right and down, shape (bars, 4).
    """

    rects: Rects
    wire: Ints
    level: Bools


def part(bars: Bars, which: Bools | slice) -> Bars:
    """Return some of the bars."""
    return Bars(bars.rects[which], bars.wire[which], bars.level[which])


def grown(bars: Bars, by: int, all_round: bool) -> Rects:
    """Return the bars broader by some pixels on each long side, or all round."""
    sides = _ALL_ROUND if all_round else _ACROSS[bars.level.astype(np.intp)]
    found: Rects = bars.rects + sides * np.int32(by)
    return found


def dashes(bars: Bars, width: Ints, thickness: float, dash: float, gap: float) -> Rects:
    """Return dashes along the middle of bars; all lengths are in widths of the wire.

    The pattern is centred in each stretch, so that its ends look alike.
    """
    if not len(bars.wire):
        return bars.rects
    wide = width[bars.wire]
    thin = np.maximum(1, np.rint(wide * thickness)).astype(np.int64)
    thin += (wide - thin) % 2
    first, last = bars.rects[:, :2], bars.rects[:, 2:]
    length = np.where(bars.level, last[:, 0] - first[:, 0], last[:, 1] - first[:, 1]) + 1
    on, off = np.maximum(3, np.rint(wide * dash)), np.maximum(2, np.rint(wide * gap))
    count = np.maximum(1, np.floor((length + off) / (on + off))).astype(np.int64)
    which = np.repeat(np.arange(len(wide)), count)
    order = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    lead = np.floor((length - (count * (on + off) - off)) / 2)
    start = np.maximum(0, lead[which] + order * (on + off)[which])
    reach = np.minimum(on[which], length[which] - start)
    side, thin = ((wide - thin) // 2)[which], thin[which]
    level = bars.level[which]
    out = np.empty((len(which), 4), dtype=np.int32)
    out[:, 0] = first[which, 0] + np.where(level, start, side)
    out[:, 1] = first[which, 1] + np.where(level, side, start)
    out[:, 2] = out[:, 0] + np.where(level, reach, thin) - 1
    out[:, 3] = out[:, 1] + np.where(level, thin, reach) - 1
    return out
