"""A page as the routes see it: what must be kept clear, and where each line starts and ends."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from harness_studio.base.geometry import Point
from harness_studio.model.entities import Page

from .drafts import OUTWARDS
from .grid import KEEP_MM
from .links import Link, owner
from .placed import side_on_page, to_page
from .sites import Sites
from .symbols import Anchor, Key, Symbol

_TOUCHING_MM = 1.0
_MOST_LOOKED_FOR = 16


@dataclass(frozen=True, slots=True)
class Tip:
    """An end of a line on a page: where it starts, and the place outside of its symbol where it is free to turn."""

    anchor: Anchor
    free: Point

    @property
    def level(self) -> bool:
        """Whether it leaves to the left or right."""
        return self.anchor.side in ("left", "right")


class Scene:
    """The symbols of a page, looked up when they are needed.

    Parameters
    ----------
    known, moved
        What had to be kept clear before, and which symbols are not what they were (see `Sites.brought_up`).
    """

    def __init__(
        self,
        page: Page,
        symbols: Mapping[str, Symbol],
        known: Sites | None = None,
        moved: Collection[str] = (),
    ) -> None:
        self.page = page
        on_it = symbols.keys() <= page.items.keys()
        self.symbols = symbols if on_it else {key: s for key, s in symbols.items() if key in page.items}
        self.sites = (
            Sites(page.items, self.symbols) if known is None else known.brought_up(page, self.symbols, moved)
        )
        self._holder: dict[Key, str] | None = None
        self._looked_for = 0
        self._tips: dict[Key, Tip | None] = {}

    @property
    def holder(self) -> Mapping[Key, str]:
        """Which symbol each line end is at; looked up only when it is needed, for it takes a moment on a large page."""
        if self._holder is None:
            self._holder = {end: key for key, s in self.symbols.items() for end in s.wire_anchors}
        return self._holder

    def _held_by(self, key: Key) -> str | None:
        own = self.symbols.get(owner(key[1]))
        # Most things are drawn by the symbol of their own id; a few others are sooner looked for than all written down.
        if own is not None and key in own.wire_anchors:
            return own.id
        if self._holder is None and self._looked_for < _MOST_LOOKED_FOR:
            self._looked_for += 1
            return next((held for held, symbol in self.symbols.items() if key in symbol.wire_anchors), None)
        return self.holder.get(key)

    def tip(self, key: Key) -> Tip | None:
        """Return where a line's end is on the page, or None if it is not there."""
        if key not in self._tips:
            self._tips[key] = self._tip(key)
        return self._tips[key]

    def _tip(self, key: Key) -> Tip | None:
        holder = self._held_by(key)
        if holder is None:
            return None
        own, at = self.symbols[holder].wire_anchors[key], self.page.items[holder]
        anchor = Anchor(own.point, to_page(own.at, at), side_on_page(own.side, at))
        box, p = self.sites[holder], anchor.at
        if anchor.side in ("left", "right"):
            free = Point(box.left_mm - KEEP_MM if anchor.side == "left" else box.right_mm + KEEP_MM, p.y_mm)
        else:
            free = Point(p.x_mm, box.top_mm - KEEP_MM if anchor.side == "top" else box.bottom_mm + KEEP_MM)
        return Tip(anchor, free)

    def tips(self, line: Link) -> tuple[Tip | None, Tip | None]:
        """Return both ends of a line, as far as they are on the page."""
        first, second = (None if p is None else self.tip((line.id, p)) for p in line.ends)
        return first, second

    def is_drawn(self, line: Link) -> bool:
        """Tell whether a line is drawn here.

        A wire is if one end is on the page; a link that is no wire only if both are, and a stud only if its ground does
        not stand on the bar anyway.
        """
        first, second = self.tips(line)
        if first is None or second is None:
            return line.kind == "wire" and (first is not None or second is not None)
        return line.kind != "stud" or _apart(first.anchor.at, second.anchor.at) > _TOUCHING_MM


def _apart(a: Point, b: Point) -> float:
    return math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm))


def outwards(anchor: Anchor, by_mm: float) -> Point:
    """Return the point `by_mm` out from an anchor."""
    dx, dy = OUTWARDS[anchor.side]
    return anchor.at.moved(dx * by_mm, dy * by_mm)
