"""The ways of a page as one table, so that those that come near some place are found without looking at each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, fields
from types import MappingProxyType

import numpy as np

from harness_studio.base.geometry import Box

from .sites import Sites
from .stretches import Bools, Floats, Ints, Stretches, held_stretches, table_of
from .symbols import Route


@dataclass(frozen=True, slots=True)
class _Rows:
    """Every stretch of some ways. Arrays of one length.

    Parameters
    ----------
    way, number
        Which stretch of which way.
    upright
        Whether it runs up and down.
    sides
        (left, right, top, bottom).
    beyond
        The coordinate across of the next corner beyond its lesser and beyond its greater end; its own where it ends.
    """

    way: Ints
    number: Ints
    upright: Bools
    sides: Floats
    beyond: Floats


class Laid(dict[str, Route]):
    """Ways by wire or link, as they come from laying them; nobody changes them after that.

    Parameters
    ----------
    routes
        The ways.
    sites
        What had to be kept clear when they were laid, to be brought up to date when some are laid anew.
    """

    def __init__(
        self, routes: Mapping[str, Route] | Iterable[tuple[str, Route]] = (), sites: Sites | None = None
    ) -> None:
        super().__init__(routes)
        self.sites = sites
        self._kept: tuple[Mapping[str, int], _Rows] | None = None

    def _table(self) -> tuple[Mapping[str, int], _Rows]:
        if self._kept is None:
            number_of = {key: number for number, key in enumerate(self)}
            self._kept = number_of, _rows(self.values(), np.arange(len(self)))
        return self._kept

    def in_order(self, some: Iterable[str]) -> list[str]:
        """Return some of the ids in the order of the ways."""
        return sorted(some, key=self._table()[0].__getitem__)

    def crossing(self, boxes: Sequence[Box]) -> set[str]:
        """Return the ids of the ways that run through any of some boxes."""
        _, rows = self._table()
        keys = list(self)
        return {keys[number] for number in np.unique(rows.way[_in_any(rows, boxes)]).tolist()}

    def beside(
        self, boxes: Sequence[Box], but: Set[str], marks: Mapping[str, int] = MappingProxyType({})
    ) -> dict[bool, Stretches]:
        """Return the level (False) and upright (True) stretches that run through any of some boxes.

        Parameters
        ----------
        but
            Ids of ways that do not count.
        marks
            Which of them share a run with what is laid beside them.
        """
        number_of, rows = self._table()
        near = np.flatnonzero(_in_any(rows, boxes))
        near = near[~np.isin(rows.way[near], [number_of[key] for key in but if key in number_of])]
        # A way's stretches come one after the other, in the order of the ways.
        near = near[np.lexsort((rows.number[near], rows.way[near]))]
        mark = np.zeros(len(number_of), np.int64)
        for key, bits in marks.items():
            if key in number_of:
                mark[number_of[key]] = bits
        found: dict[bool, Stretches] = {}
        for upright in (False, True):
            some = near[rows.upright[near] == upright]
            left, right, top, bottom = rows.sides[some].T
            across = (left, top, bottom) if upright else (top, left, right)
            found[upright] = held_stretches(
                rows.way[some], rows.number[some], *across, rows.beyond[some], mark[rows.way[some]]
            )
        return found

    def changed(
        self, gone: Set[str], fresh: Mapping[str, Route], order: Iterable[str], sites: Sites | None = None
    ) -> Laid:
        """Return these ways without some and with others.

        Parameters
        ----------
        gone
            Ids that have no way any more.
        fresh
            Ways that are new or other ones now.
        order
            All ids in their order, and maybe more: the table is made anew only where that has changed.
        sites
            What must be kept clear now.
        """
        if gone or fresh.keys() - self.keys():
            some = self.keys() - gone | fresh.keys()
            return Laid(
                ((key, fresh[key] if key in fresh else self[key]) for key in order if key in some), sites
            )
        found, (number_of, rows) = Laid(self, sites), self._table()
        found.update(fresh)
        changed = np.array([number_of[key] for key in fresh], np.int64)
        kept = ~np.isin(rows.way, changed)
        new = _rows(fresh.values(), changed)
        both = {
            f.name: np.concatenate((getattr(rows, f.name)[kept], getattr(new, f.name))) for f in fields(_Rows)
        }
        found._kept = number_of, _Rows(**both)
        return found


def _in_any(rows: _Rows, boxes: Sequence[Box]) -> Bools:
    """Tell for each stretch whether it runs through any of some boxes."""
    left, right, top, bottom = rows.sides.T
    found = np.zeros(len(left), bool)
    for box_left, box_right, box_top, box_bottom in table_of(boxes).tolist():
        found |= (left < box_right) & (right > box_left) & (top < box_bottom) & (bottom > box_top)
    return found


def _rows(routes: Iterable[Route], numbers: Ints) -> _Rows:
    """Return the stretches of some ways that have these numbers."""
    ways = [route.points for route in routes]
    x = np.array([p.x_mm for points in ways for p in points], float)
    y = np.array([p.y_mm for points in ways for p in points], float)
    sizes = np.array([len(points) for points in ways], np.int64)
    ends = np.cumsum(sizes)
    way, first = np.repeat(np.arange(len(sizes)), sizes), np.repeat(ends - sizes, sizes)
    a = np.arange(len(x))
    last = np.repeat(ends, sizes) - 1
    a = a[a < last]
    way, first, last = way[a], first[a], last[a]
    b, before, after = a + 1, np.maximum(a - 1, first), np.minimum(a + 2, last)
    upright = np.abs(x[b] - x[a]) < np.abs(y[b] - y[a])
    sides = np.stack(
        (np.minimum(x[a], x[b]), np.maximum(x[a], x[b]), np.minimum(y[a], y[b]), np.maximum(y[a], y[b])), 1
    )
    backwards = np.where(upright, y[a] > y[b], x[a] > x[b])
    low, high = np.where(backwards, after, before), np.where(backwards, before, after)
    beyond = np.stack((np.where(upright, x[low], y[low]), np.where(upright, x[high], y[high])), 1)
    return _Rows(numbers[way], a - first, upright, sides, beyond)
