"""What readings are where something turns between two points of the grid of added resistances.

Where a relay falls off or a unit gives up at some resistance between two points, readings jump there. Up to it they go
on as they did before, and after it they come from where they are going; which of both holds at a resistance between the
two nobody can tell, so both are weighed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from .changes import GRID_OHM
from .predict import Solved
from .screening import Work

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

STEEPEST = GRID_OHM[1] / GRID_OHM[0]
"""Times that a resistance grows from one point of the grid to the next."""
LOOSE_PART = 0.15
"""Spread of a change beside a turn, as a part of it: near where a load of constant power gives up its volts fall ever
faster, and no curve through points far off follows that."""


def turns_after(at_work: Sequence[Work], solved: Sequence[Solved], first: Ints) -> Bools:
    """Tell after which points of the grid something turns, (variants, grid - 1).

    `first` (variants,) are groups of the variants. The step to the open joint is left out: nothing lies between.
    """
    import numpy as np

    found = np.zeros((len(first), len(GRID_OHM) - 1), dtype=bool)
    for work, known in zip(at_work, solved, strict=True):
        keys, site = work.at.sites.keys, work.of_group[first]
        by_site: dict[tuple[int, int], dict[int, frozenset[tuple[str, str]]]] = {}
        for (*key, step), states in known.states.items():
            if states:
                by_site.setdefault((key[0], key[1]), {})[step] = states
        for number in np.unique(site).tolist():
            mine = by_site.get(keys[number])
            if mine:
                row = [mine.get(step, frozenset()) for step in range(len(GRID_OHM))]
                differs = np.array([a != b for a, b in pairwise(row)], dtype=bool)
                found[site == number] |= differs
    found[:, -1] = False
    return found


def beside_turns(
    predicted: Floats, clean: Floats, turns: Bools, steps: Floats
) -> Iterator[tuple[int, Ints, Floats, Floats]]:
    """Yield for rows in which something turns between two points of the grid what they predict on both sides of it.

    Yields row, points of the fine grid between the two, predictions while it has not yet turned, and once it has: both
    (points, readings). Predictions before go on as the change of a straight circuit with a resistance grows, R/(R + r)
    (Thévenin); those after run straight in the logarithm of the resistance.
    """
    import numpy as np

    ohm = np.array(GRID_OHM)
    for row, left in zip(*(n.tolist() for n in np.nonzero(turns)), strict=True):
        places = np.flatnonzero((steps > left) & (steps < left + 1.0))
        part = (steps[places] - left)[:, None]
        here = predicted[row, left] - clean
        before = predicted[row, left - 1] - clean if left and not turns[row, left - 1] else here
        now = (ohm[left] * STEEPEST**part) if left else ohm[left] * np.ones_like(part)
        grown = _grown(before, here, ohm[max(left - 1, 0)], ohm[left], now)
        yet = clean + here * grown
        there = predicted[row, left + 1]
        follows = left + 2 < len(ohm) - 1 and not turns[row, left + 1]
        slope = predicted[row, left + 2] - there if follows else np.zeros_like(there)
        yield row, places, yet, there - (1.0 - part) * slope


def _grown(before: Floats, here: Floats, before_ohm: float, here_ohm: float, now_ohm: Floats) -> Floats:
    """Return by what a change grows up to `now_ohm` (points, 1), as it did from `before_ohm` to `here_ohm`."""
    import numpy as np

    with np.errstate(divide="ignore", invalid="ignore"):
        times = np.nan_to_num(here / before, nan=1.0, posinf=1.0, neginf=1.0)
        ratio = here_ohm / before_ohm
        source = here_ohm * (times - 1.0) / (ratio - times)
        grown = (now_ohm / here_ohm) * (here_ohm + source) / (now_ohm + source)
    sound = (times > 1.0) & (times < ratio)
    with np.errstate(divide="ignore", invalid="ignore"):
        bent = (now_ohm / here_ohm) ** (np.log(np.maximum(times, 1.0)) / np.log(ratio))
    steep = np.where(times >= ratio, bent, 1.0)
    found: Floats = np.where(sound, np.nan_to_num(grown, nan=1.0, posinf=1.0), steep)
    return found
