"""What must be kept clear on a page, kept from one laying to the next: only what has changed is worked out again."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

import numpy as np

from harness_studio.base.geometry import Box
from harness_studio.model.entities import Page
from harness_studio.model.values import At

from .placed import on_page
from .stretches import Floats, table_of
from .symbols import Symbol

STEP_MM = 2.0
"""What must be kept clear is rounded outwards to this, so that lines beside symbols fall together."""


class Sites:
    """What must be kept clear of other wires around each symbol of a page.

    Parameters
    ----------
    items
        Where the symbols stand.
    symbols
        Those of the page, by id.
    """

    def __init__(self, items: Mapping[str, At], symbols: Mapping[str, Symbol]) -> None:
        self._clear = {key: _clear(symbol, items[key]) for key, symbol in symbols.items()}
        self._at = {key: items[key] for key in symbols}
        self._number_of = {key: number for number, key in enumerate(self._clear)}
        self._table = table_of(list(self._clear.values()))

    def __getitem__(self, symbol_id: str) -> Box:
        return self._clear[symbol_id]

    def within(self, area: Box | None = None) -> Floats:
        """Return all boxes, as `stretches.table_of` gives them, or those that come into an area."""
        if area is None:
            return self._table
        left, right, top, bottom = self._table.T
        near = (
            (left < area.right_mm) & (right > area.left_mm) & (top < area.bottom_mm) & (bottom > area.top_mm)
        )
        return np.asarray(self._table[near], float)

    def brought_up(self, page: Page, symbols: Mapping[str, Symbol], moved: Collection[str]) -> Sites:
        """Return what must be kept clear now.

        Parameters
        ----------
        moved
            Ids of all symbols that are not what they were, and maybe more. Those that stand elsewhere are found anyway.
        """
        if symbols.keys() != self._clear.keys():
            return Sites(page.items, symbols)
        items, was = page.items, self._at
        changed = {key for key in moved if key in symbols}
        changed.update(key for key, at in was.items() if items[key] is not at)
        if not changed:
            return self
        found = Sites({}, {})
        found._clear, found._at, found._number_of = dict(self._clear), dict(was), self._number_of
        for key in changed:
            found._at[key] = items[key]
            found._clear[key] = _clear(symbols[key], items[key])
        found._table = self._table.copy()
        found._table[[self._number_of[key] for key in changed]] = table_of(
            [found._clear[key] for key in changed]
        )
        return found


def _clear(symbol: Symbol, at: At) -> Box:
    """Return what must be kept clear around a symbol, on the page."""
    as_drawn = not at.turn and not at.mirror
    return rounded_out(symbol.clear.moved(at.x_mm, at.y_mm) if as_drawn else on_page(symbol, at).clear)


def rounded_out(box: Box) -> Box:
    """Return the box with its edges moved outwards to whole steps."""
    left, top = (STEP_MM * math.floor(v / STEP_MM + 1e-9) for v in (box.left_mm, box.top_mm))
    right, bottom = (STEP_MM * math.ceil(v / STEP_MM - 1e-9) for v in (box.right_mm, box.bottom_mm))
    return Box(left, top, right - left, bottom - top)
