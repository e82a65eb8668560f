"""What stands on the page and is drawn: symbols and wires by id, their strokes, and what lies at a place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.pixels import NATURAL_PX_PER_MM
from harness_studio.drawing.strokes import Align, Strokes, Text
from harness_studio.drawing.symbols import (
    NOTHING_MORE,
    Shown,
    beside,
    draw_symbol,
    drawn_of,
    member_at,
    outline_box,
    point_at,
    reading_place,
)
from harness_studio.drawing.wires import WireArt, WireBatch
from harness_studio.model.entities import Page, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing.homes import mated_groups
from harness_studio.placing.onward import Onward
from harness_studio.placing.symbols import Route, Symbol

from .focus import Focus
from .layout import Layout, lay_out, wire_art
from .overlay_numbers import Kept
from .reading_room import free_mm
from .room import Label, Room

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bools = NDArray[np.bool_]
    Floats = NDArray[np.float64]

NO_PAGE = Page("")
_LINK_MM = 1.3
BODY, SPLICE, GROUND, OTHER = range(4)
KINDS = {"body": BODY, "splice": SPLICE, "ground": GROUND}
"""What is drawn alike from afar."""


@dataclass(frozen=True, slots=True)
class Hit:
    """What lies at a place: a symbol (and the thing within it, and the point or joint there), or a wire."""

    kind: Literal["symbol", "wire"]
    id: str
    member: str
    point: str | None = None
    goes_on: tuple[str, str] | None = None
    """On a label that names another page: that page, and the thing there."""


@dataclass(frozen=True, slots=True, eq=False)
class Front:
    """What a focus brings to the front: which symbols, which wires, and how broad each wire is drawn, by number."""

    focus: Focus
    symbols: Bools
    wires: Bools
    widths_px: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """What is made once of a symbol: the box of all of it, the outline of what it is, the texts beside it."""

    symbol: Symbol
    clear: tuple[float, float, float, float]
    outline: Box
    kind: int
    labels: list[Label]
    reading: Text | None


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """A symbol's strokes, and what they were drawn from."""

    symbol: Symbol
    at: At
    of: tuple[object, ...]
    strokes: Strokes


_Art = tuple[Route, Wire, WireArt]


class Scene:
    """One page of a harness, ready to be drawn.

    Parameters
    ----------
    harness
        Only read.
    page
        Which page; `NO_PAGE` shows nothing.
    layout
        What stands on it; found here if it is not given.
    before
        What was shown: what is made of symbols and wires that are still the same is taken over.

    Notes
    -----
    May be made on another thread; it holds nothing of Qt before it is drawn.
    """

    def __init__(
        self, harness: Harness, page: Page, layout: Layout | None = None, before: Scene | None = None
    ) -> None:
        self.harness = harness
        self.page = page
        self.layout: Layout = layout if layout is not None else lay_out(harness, page)
        self.symbols: Mapping[str, Symbol] = self.layout.symbols
        self.ids = list(self.symbols)
        self.number = {key: i for i, key in enumerate(self.ids)}
        self._pieces: Mapping[str, _Piece] = _pieces(self.symbols, before._pieces if before else {})
        self._arts: Mapping[str, _Art] = _arts(harness, self.layout, before._arts if before else {})
        self.wires = WireBatch([art for _, _, art in self._arts.values()])
        self.links = _links(self.layout)
        pieces = self._pieces.values()
        self._boxes = np.array([piece.clear for piece in pieces]).reshape(-1, 4)
        self.outlines = np.array([_row(piece.outline) for piece in pieces]).reshape(-1, 4)
        self.kinds = np.array([piece.kind for piece in pieces], dtype=np.int64)
        self._front: Front | None = None
        self.numbers: Kept | None = None
        """Numbers of an overlay that were found last."""
        self.dial_spot: tuple[object, tuple[float, float] | None] | None = None
        """Where the dial was found to stand last, and what was asked."""
        self.legend_spot: tuple[object, tuple[float, float]] | None = None
        """The same of an overlay's legend."""
        self._strokes: dict[tuple[str, Shown], _Drawn] = {}
        self._kept_strokes: Mapping[tuple[str, Shown], _Drawn] = before._strokes if before else {}
        self._groups = mated_groups(harness)
        self._free: dict[str, tuple[float, float]] = {}
        self.readings = {key: p.reading for key, p in self._pieces.items() if p.reading is not None}
        labels = [label for piece in pieces for label in piece.labels]
        labels += [Label((text,), wire) for wire, text in self.layout.labels]
        labels += [
            Label((onward_text(one),), one.label.wire, f"{one.label.wire} …") for one in self.layout.onward
        ]
        solid = [piece.outline for piece in pieces if piece.kind != BODY]
        self.room = Room(labels, solid)

    @property
    def extent(self) -> Box:
        """The box around everything, or a small one on an empty page."""
        return self.layout.extent or Box(0, 0, 100, 60)

    @property
    def empty(self) -> bool:
        """Whether nothing stands on the page."""
        return not self.symbols

    def strokes(self, symbol_id: str, shown: Shown = NOTHING_MORE) -> Strokes:
        """Return a symbol's strokes; made when first seen, or taken over if all that they show is the same."""
        key = (symbol_id, shown)
        found = self._strokes.get(key)
        if found is None:
            if len(self._strokes) > 6000:
                self._strokes.clear()
            found = self._strokes[key] = self._drawn(symbol_id, shown)
        return found.strokes

    def _drawn(self, symbol_id: str, shown: Shown) -> _Drawn:
        symbol, at = self.symbols[symbol_id], self.layout.at[symbol_id]
        of = drawn_of(self.harness, symbol, self._groups)
        kept = self._kept_strokes.get((symbol_id, shown))
        if kept is not None and kept.symbol is symbol and kept.at == at and _are_same(kept.of, of):
            return kept
        drawn = draw_symbol(self.harness, symbol, at, shown, self._groups)
        within, _ = beside(symbol)
        return _Drawn(symbol, at, of, Strokes(drawn.strokes, (*drawn.texts, *within)))

    def free_for_reading(self, symbol_id: str) -> tuple[float, float]:
        """Return how far a symbol's live values may reach left and right of their place, in mm; found once."""
        found = self._free.get(symbol_id)
        if found is None:
            found = self._free[symbol_id] = free_mm(self, symbol_id, self.readings[symbol_id])
        return found

    def front(self, focus: Focus) -> Front:
        """Return what a focus brings to the front, by number; made once for each focus."""
        if self._front is None or self._front.focus is not focus:
            widths = self.wires.width_mm * NATURAL_PX_PER_MM
            for wire, width in focus.wires.items():
                number = self.wires.number.get(wire)
                if number is not None:
                    widths[number] = width
            self._front = Front(focus, self.flags(focus.symbols), self.wires.flags(set(focus.wires)), widths)
        return self._front

    def flags(self, ids: Iterable[str]) -> Bools:
        """Return which symbols are among the given ids, shape (symbols,)."""
        found = np.zeros(len(self.ids), dtype=bool)
        for key in ids:
            number = self.number.get(key)
            if number is not None:
                found[number] = True
        return found

    def seen(self, box: Box) -> list[str]:
        """Return the ids of the symbols that can be seen in a box."""
        return [self.ids[i] for i in np.flatnonzero(self.are_seen(box))]

    def are_seen(self, box: Box) -> Bools:
        """Return which symbols can be seen in a box, shape (symbols,)."""
        boxes = self._boxes
        keep: Bools = (
            (boxes[:, 0] < box.right_mm) & (boxes[:, 1] < box.bottom_mm)
            & (boxes[:, 0] + boxes[:, 2] > box.left_mm) & (boxes[:, 1] + boxes[:, 3] > box.top_mm)
        )  # fmt: skip
        return keep

    def within(self, box: Box) -> set[str]:
        """Return the ids of the symbols whose outlines lie wholly in a box, and of such wires."""
        o = self.outlines
        inside = (
            (o[:, 0] >= box.left_mm) & (o[:, 1] >= box.top_mm)
            & (o[:, 0] + o[:, 2] <= box.right_mm) & (o[:, 1] + o[:, 3] <= box.bottom_mm)
        )  # fmt: skip
        found = {self.ids[i] for i in np.flatnonzero(inside)} if len(o) else set()
        return found | set(self.wires.within(box.left_mm, box.top_mm, box.right_mm, box.bottom_mm))

    def hit(self, at: Point, within_mm: float) -> Hit | None:
        """Return what lies at a place: what a symbol draws, a label to another page, a wire, a body's bar last."""
        symbol = self._symbol_at(at, within_mm)
        if (
            symbol is not None
            and self.symbols[symbol].kind != "body"
            and any(box.contains(at) for box in self.symbols[symbol].outlines.values())
        ):
            return self._symbol_hit(symbol, at)
        for one in self.layout.onward:
            if one.page is not None and one.thing is not None and one.box.grown(within_mm).contains(at):
                return Hit("wire", one.label.wire, one.label.wire, goes_on=(one.page, one.thing))
        if symbol is not None and self.symbols[symbol].kind != "body":
            return self._symbol_hit(symbol, at)
        wire = self.wires.nearest(at.x_mm, at.y_mm, within_mm)
        if wire is not None:
            return Hit("wire", wire, wire)
        return self._symbol_hit(symbol, at) if symbol is not None else None

    def _symbol_hit(self, symbol_id: str, at: Point) -> Hit:
        symbol = self.symbols[symbol_id]
        member = member_at(symbol, at) or symbol_id
        place = self.layout.at[symbol_id]
        return Hit("symbol", symbol_id, member, point_at(self.harness, symbol, place, at, self._groups))

    def _symbol_at(self, at: Point, within_mm: float) -> str | None:
        if not self.ids:
            return None
        best: tuple[bool, float, str] | None = None
        for key in self.seen(Box(at.x_mm - 1, at.y_mm - 1, 2, 2).grown(within_mm)):
            box = self.symbols[key].box
            grown = box.grown(max(within_mm, 2.5 - min(box.width_mm, box.height_mm) / 2))
            rank = (self.symbols[key].kind == "body", box.width_mm * box.height_mm, key)
            if grown.contains(at) and (best is None or rank < best):
                best = rank
        return best[2] if best else None

    def wires_at(self, ids: Iterable[str]) -> set[str]:
        """Return the wires that end at any of some symbols."""
        return {wire for key in ids for wire, _ in self.symbols[key].wire_anchors}

    def symbol_of(self, thing: str) -> str | None:
        """Return the id of the symbol that draws a thing, if it stands on this page."""
        home = self.layout.home.get(thing)
        return home if home in self.symbols else None

    def place_of(self, thing: str) -> Box | None:
        """Return where a thing or a wire is on this page."""
        home = self.symbol_of(thing)
        if home is not None:
            return self.symbols[home].outlines.get(thing) or outline_box(self.symbols[home])
        route = self.layout.routes.get(thing)
        if route is None:
            return None
        xs, ys = [p.x_mm for p in route.points], [p.y_mm for p in route.points]
        return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))

    def strokes_with_texts(self, symbol_id: str) -> Strokes:
        """Return a symbol's strokes and the texts beside it, for a gesture that carries it."""
        base = self.strokes(symbol_id)
        return Strokes(base.strokes, (*base.texts, *beside(self.symbols[symbol_id])[1]))


def _are_same(was: tuple[object, ...], now: tuple[object, ...]) -> bool:
    return len(was) == len(now) and all(a is b for a, b in zip(was, now, strict=True))


def _pieces(symbols: Mapping[str, Symbol], kept: Mapping[str, _Piece]) -> dict[str, _Piece]:
    found: dict[str, _Piece] = {}
    for key, symbol in symbols.items():
        piece = kept.get(key)
        if piece is None or piece.symbol is not symbol:
            kind = KINDS.get(symbol.kind, OTHER)
            piece = _Piece(
                symbol, _row(symbol.clear), outline_box(symbol), kind, _labels(symbol), reading_place(symbol)
            )
        found[key] = piece
    return found


def _arts(harness: Harness, layout: Layout, kept: Mapping[str, _Art]) -> dict[str, _Art]:
    """Return how each wire of a page is drawn, with what that was made of."""
    found: dict[str, _Art] = {}
    for route in layout.routes.values():
        wire = harness.wires.get(route.wire) if route.kind == "wire" else None
        if wire is not None:
            was = kept.get(route.wire)
            if was is None or was[0] is not route or was[1] is not wire:
                was = route, wire, wire_art(harness, route)
            found[route.wire] = was
    return found


def _labels(symbol: Symbol) -> list[Label]:
    """Return the texts beside a symbol: its title as one, with its id as the short form, and each note."""
    outside = beside(symbol)[1]
    title = tuple(text for text in outside if text.weight > 400)
    found = [Label((text,), symbol.id) for text in outside if text.weight <= 400]
    if title:
        short = title[0].text.split(": ")[0].partition(" ")[0] if symbol.kind != "connector" else symbol.id
        within = symbol.box.width_mm - 16 if symbol.kind == "body" else None
        found.insert(
            0, Label(title, symbol.id, short if short != title[0].text or len(title) > 1 else None, within)
        )
    return found


def onward_text(one: Onward) -> Text:
    """Return the label of an end that goes on elsewhere; one that can be followed has the colour of links."""
    align: Align = {"start": "left", "middle": "middle", "end": "right"}[one.label.align]  # type: ignore[assignment]
    x = {"left": one.box.left_mm, "middle": one.box.centre.x_mm, "right": one.box.right_mm}[align]
    colour = "accent" if one.page is not None else "muted"
    return Text(x, one.box.centre.y_mm, one.label.text, one.label.size_mm, 400, colour, align, 5.5, 3)


def _row(box: Box) -> tuple[float, float, float, float]:
    return box.left_mm, box.top_mm, box.width_mm, box.height_mm


def _links(layout: Layout) -> WireBatch:
    """Return the lines that are no wires: cases and studs that stand away from their body, and stray bonds."""
    return WireBatch(
        [
            WireArt(
                key,
                tuple((p.x_mm, p.y_mm) for p in route.points),
                ("stud",),
                _LINK_MM / (2 if route.kind == "bond" else 1),
            )
            for key, route in layout.routes.items()
            if route.kind != "wire"
        ]
    )
