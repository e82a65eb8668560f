"""Wires of one run keep together: where others of it run already, a wire goes at less cost.

The runs of a harness are its physical bundles (`runs` of a wire). On a page wires of one run have their ends in several
places; they are drawn together as far as that takes no long way round, and each leaves the others where it must.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

import numpy as np

from harness_studio.model.harness import Harness

from .stretches import Floats, Ints

SAVED = 0.12
"""What part of its length a stretch costs less where a wire of the same run is there already."""
MOST_RUNS = 60
"""Each run of a page has a bit of a mark; those with fewest wires have none on a page with more runs than this."""
_LINES = 4
"""Of the lines that wires of the run follow, only those where most of it runs are looked at beside the freest."""

Corner = tuple[int, int]


def marks_of(harness: Harness, line_ids: Iterable[str], beside: Iterable[str] = ()) -> dict[str, int]:
    """Return the marks of lines that follow a run: two share a run if their marks share a bit.

    Parameters
    ----------
    line_ids
        Lines whose runs count.
    beside
        More lines that may share those runs.
    """
    wires = harness.wires
    runs = {key: wires[key].runs for key in line_ids if key in wires and wires[key].runs}
    if not runs:
        return {}
    count = Counter(run for some in runs.values() for run in set(some))
    bit = {run: 1 << number for number, (run, _) in enumerate(count.most_common(MOST_RUNS))}
    runs.update((key, wires[key].runs) for key in beside if key in wires and wires[key].runs)
    return {key: sum(bit[run] for run in set(some) if run in bit) for key, some in runs.items()}


class Spines:
    """The stretches of a grid along which wires of each run are laid, as they are laid."""

    def __init__(self) -> None:
        self._rows = np.zeros((64, 6), np.int64)
        self._count = 0

    def add(self, number: int, mark: int, corners: Sequence[Corner]) -> None:
        """Write down a wire that runs over these corners (row, column); a number that is there already is replaced."""
        if not mark:
            return
        rows = [
            (number, mark, int(c0 == c1), c0 if c0 == c1 else r0, *sorted((r0, r1) if c0 == c1 else (c0, c1)))
            for (r0, c0), (r1, c1) in pairwise(corners)
            if (r0, c0) != (r1, c1)
        ]
        self._take_out(number)
        self.extend(np.array(rows, np.int64).reshape(-1, 6))

    def extend(self, rows: Ints) -> None:
        """Add stretches: wire's number, mark, 1 if upright, line, first and last place on it, one row each."""
        count = self._count + len(rows)
        while count > len(self._rows):
            self._rows = np.concatenate((self._rows, np.zeros_like(self._rows)))
        self._rows[self._count : count] = rows
        self._count = count

    def _take_out(self, number: int) -> None:
        kept = self._rows[: self._count][self._rows[: self._count, 0] != number]
        self._rows[: len(kept)], self._count = kept, len(kept)

    def beside(self, number: int, mark: int) -> Follow | None:
        """Return where other wires run that share a run with one of this mark; None if there are none."""
        rows = self._rows[: self._count]
        some = rows[((rows[:, 1] & mark) != 0) & (rows[:, 0] != number)] if mark else rows[:0]
        if not len(some):
            return None
        return Follow({upright: some[some[:, 2] == upright, 3:] for upright in (False, True)})


class Follow:
    """Stretches that a wire may follow.

    Parameters
    ----------
    stretches
        Level (False) and upright (True) ones: line, first and last place on it, one row each.
    """

    def __init__(self, stretches: Mapping[bool, Ints]) -> None:
        self._stretches = stretches

    def lines(self, upright: bool, part: tuple[int, int], along: tuple[int, int]) -> Sequence[int]:
        """Return the lines between two where most of them run, between two places along these."""
        line, first, last = self._stretches[upright].T
        shared = np.minimum(last, along[1]) - np.maximum(first, along[0])
        some = (shared > 0) & (line >= part[0]) & (line <= part[1])
        if not some.any():
            return ()
        found, which = np.unique(line[some], return_inverse=True)
        most = np.argsort(-np.bincount(which, shared[some]), kind="stable")[:_LINES]
        return [int(n) for n in found[most]]

    def cheaper(self, upright: bool, costs: Floats, lines: Ints, places: Ints, at_mm: Floats) -> None:
        """Take off what is saved from the costs (lines, places) of coming along lines.

        Parameters
        ----------
        at_mm
            Where the places are.
        """
        line, first, last = self._stretches[upright].T
        row = lines.searchsorted(line)
        row[row == len(lines)] = 0
        start, end = places.searchsorted(first), places.searchsorted(last, "right") - 1
        some = (lines[row] == line) & (start < end)
        if not some.any():
            return
        count = np.zeros(costs.shape, np.int64)
        np.add.at(count, (row[some], start[some]), 1)
        np.add.at(count, (row[some], end[some]), -1)
        followed = np.cumsum(count, axis=1)[:, :-1] > 0
        costs[:, 1:] -= SAVED * np.cumsum(followed * np.diff(at_mm), axis=1)
