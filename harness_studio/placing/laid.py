"""The ways of a page as one table, so that those that come near some place are found without looking at each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass

import numpy as np

from harness_studio.base.geometry import Box

from .stretches import Floats, Ints, table_of
from .symbols import Route


@dataclass(frozen=True, slots=True)
class _Table:
    """Every stretch of some ways: the number of its way, and its (left, right, top, bottom)."""

    number_of: Mapping[str, int]
    numbers: Ints
    sides: Floats


class Laid(dict[str, Route]):
    """Ways by wire or link, as they come from laying them; nobody changes them after that."""

    _kept: _Table | None = None

    def _table(self) -> _Table:
        if self._kept is None:
            number_of = {key: number for number, key in enumerate(self)}
            self._kept = _Table(number_of, *_stretches(self.values()))
        return self._kept

    def in_order(self, some: Iterable[str]) -> list[str]:
        """Return some of the ids in the order of the ways."""
        return sorted(some, key=self._table().number_of.__getitem__)

    def crossing(self, boxes: Sequence[Box]) -> set[str]:
        """Return the ids of the ways that run through any of some boxes."""
        table, keys = self._table(), list(self)
        left, right, top, bottom = table.sides.T
        found: set[str] = set()
        for box_left, box_right, box_top, box_bottom in table_of(boxes).tolist():
            through = (left < box_right) & (right > box_left) & (top < box_bottom) & (bottom > box_top)
            found.update(keys[number] for number in table.numbers[through].tolist())
        return found

    def changed(self, gone: Set[str], fresh: Mapping[str, Route], order: Iterable[str]) -> Laid:
        """Return these ways without some and with others.

        Parameters
        ----------
        gone
            Ids that have no way any more.
        fresh
            Ways that are new or other ones now.
        order
            All ids in their order, and maybe more: the table is made anew only where that has changed.
        """
        if gone or fresh.keys() - self.keys():
            some = self.keys() - gone | fresh.keys()
            return Laid((key, fresh[key] if key in fresh else self[key]) for key in order if key in some)
        found, table = Laid(self), self._table()
        found.update(fresh)
        changed = [table.number_of[key] for key in fresh]
        kept = ~np.isin(table.numbers, changed)
        numbers, sides = _stretches(fresh.values())
        found._kept = _Table(
            table.number_of,
            np.concatenate((table.numbers[kept], np.array(changed, np.int64)[numbers])),
            np.concatenate((table.sides[kept], sides)),
        )
        return found


def _stretches(routes: Iterable[Route]) -> tuple[Ints, Floats]:
    """Return for each stretch of some ways the number of its way and its (left, right, top, bottom)."""
    numbers: list[int] = []
    rows: list[tuple[float, float, float, float]] = []
    for number, route in enumerate(routes):
        x, y = route.points[0].x_mm, route.points[0].y_mm
        for p in route.points[1:]:
            last_x, last_y, x, y = x, y, p.x_mm, p.y_mm
            numbers.append(number)
            rows.append((min(x, last_x), max(x, last_x), min(y, last_y), max(y, last_y)))
    return np.array(numbers, np.int64), np.array(rows, float).reshape(-1, 4)
