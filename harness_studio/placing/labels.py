"""Where the labels of wires stand: at both ends, beside the wire and on nothing else; without room there is none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from harness_studio.base.geometry import Box, Point
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import End

from .drafts import text_box
from .homes import homes
from .lettering import LABEL_MM, width_mm
from .links import owner
from .placed import on_page
from .symbols import Route, Symbol

_OFF_MM = 1.7
"""From a wire to its label."""
_FROM_END_MM = 2.0
_HALF_WIRE_MM = 0.8
_SHORT_MM = 56.0
"""A way shorter than this has one label."""
_STEPS_MM = (0.0, 8.0, 16.0, 28.0)
_CELL_MM = 24.0
Align = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Label:
    """A wire's label at one of its ends.

    Parameters
    ----------
    wire, end
        Which wire, and at which of its two ends (0 or 1).
    text
        What it says.
    at
        The baseline's start, middle or end, by `align`.
    size_mm
        Size of the font.
    turn
        Quarter turns clockwise: 0 reads level, -1 upwards.
    onward
        Whether it stands at an end that goes on elsewhere, and tells where.
    """

    wire: str
    end: int
    text: str
    at: Point
    size_mm: float
    align: Align
    turn: int = 0
    onward: bool = False


def labels(
    harness: Harness, page: Page, symbols: Mapping[str, Symbol], routes: Mapping[str, Route]
) -> list[Label]:
    """Return the labels of all wires of a page.

    Every wire has its id at both ends, once where these are near each other. An end that is open, or goes on elsewhere,
    says where it goes on, and on which page.
    """
    taken = _Taken()
    for key, symbol in symbols.items():
        if key in page.items:
            there = on_page(symbol, page.items[key])
            taken.add(there.box)
            for text in there.texts:
                taken.add(text_box(text))
    for route in routes.values():
        for a, b in pairwise(route.points):
            taken.add(_stretch_box(a, b))
    titles = _pages_of(harness, page)
    order = {p.title or p.id: str(number) for number, p in enumerate(harness.pages.values(), 1)}
    elsewhere = titles, {thing: order[title] for thing, title in titles.items()}
    found: list[Label] = []
    for route in routes.values():
        if route.kind != "wire" or route.wire not in harness.wires:
            continue
        for end in (0, 1):
            if route.open_ends[end]:
                found.append(_onward(harness, route, end, elsewhere, taken))
        ends = [end for end in (0, 1) if not route.open_ends[end]]
        if len(ends) == 2 and _length(route) < _SHORT_MM:
            ends = ends[:1]
        own: list[Label] = []
        for end in ends:
            label = next(_free(route, end, taken), None)
            if label is not None and all(_apart(label.at, other.at) > _SHORT_MM / 2 for other in own):
                taken.add(label_box(label))
                own.append(label)
        found += own
    return found


def label_box(label: Label) -> Box:
    """Return the room a label takes."""
    width, height = width_mm(label.text, label.size_mm), label.size_mm
    if label.turn % 2:
        top = label.at.y_mm - {"start": width, "middle": width / 2, "end": 0.0}[label.align]
        return Box(label.at.x_mm - height * 0.75, top, height * 0.95, width)
    left = label.at.x_mm - {"start": 0.0, "middle": width / 2, "end": width}[label.align]
    return Box(left, label.at.y_mm - height * 0.75, width, height * 0.95)


class _Taken:
    """Boxes that labels keep off, found by place."""

    def __init__(self) -> None:
        self.cells: dict[tuple[int, int], list[Box]] = {}

    def _cells(self, box: Box) -> Iterator[tuple[int, int]]:
        for column in range(int(box.left_mm // _CELL_MM), int(box.right_mm // _CELL_MM) + 1):
            for row in range(int(box.top_mm // _CELL_MM), int(box.bottom_mm // _CELL_MM) + 1):
                yield column, row

    def add(self, box: Box) -> None:
        for cell in self._cells(box):
            self.cells.setdefault(cell, []).append(box)

    def meets(self, box: Box) -> bool:
        return any(other.meets(box) for cell in self._cells(box) for other in self.cells.get(cell, ()))


def _stretch_box(a: Point, b: Point) -> Box:
    left, top = min(a.x_mm, b.x_mm), min(a.y_mm, b.y_mm)
    return Box(left, top, abs(a.x_mm - b.x_mm), abs(a.y_mm - b.y_mm)).grown(_HALF_WIRE_MM)


def _length(route: Route) -> float:
    return sum(_apart(a, b) for a, b in pairwise(route.points))


def _apart(a: Point, b: Point) -> float:
    return abs(a.x_mm - b.x_mm) + abs(a.y_mm - b.y_mm)


def _free(route: Route, end: int, taken: _Taken) -> Iterator[Label]:
    """Yield places for the label of one end that are free, the one nearest to the end first."""
    points = route.points if end == 0 else route.points[::-1]
    width = width_mm(route.wire, LABEL_MM)
    for a, b in list(pairwise(points))[:3]:
        for label in _along(route.wire, end, a, b, width):
            if not taken.meets(label_box(label)):
                yield label


def _along(wire: str, end: int, a: Point, b: Point, width: float) -> Iterator[Label]:
    """Yield the places along one stretch, from its start on."""
    length = _apart(a, b)
    level = abs(a.y_mm - b.y_mm) < 1e-6
    for step in _STEPS_MM:
        start = _FROM_END_MM + step
        if level and start + width > length:
            return
        if not level and start + LABEL_MM > length:
            return
        if level:
            onwards = 1 if b.x_mm > a.x_mm else -1
            align: Align = "start" if onwards > 0 else "end"
            x = a.x_mm + onwards * start
            yield Label(wire, end, wire, Point(x, a.y_mm - _OFF_MM), LABEL_MM, align)
            yield Label(wire, end, wire, Point(x, a.y_mm + _OFF_MM + LABEL_MM * 0.65), LABEL_MM, align)
            continue
        onwards = 1 if b.y_mm > a.y_mm else -1
        y = a.y_mm + onwards * (start + LABEL_MM * 0.5) + LABEL_MM * 0.35
        yield Label(wire, end, wire, Point(a.x_mm + _OFF_MM + 0.4, y), LABEL_MM, "start")
        yield Label(wire, end, wire, Point(a.x_mm - _OFF_MM - 0.4, y), LABEL_MM, "end")
        if start + width <= length:
            y = a.y_mm + onwards * start
            align = "end" if onwards > 0 else "start"
            yield Label(wire, end, wire, Point(a.x_mm - _OFF_MM, y), LABEL_MM, align, -1)
            yield Label(wire, end, wire, Point(a.x_mm + _OFF_MM + LABEL_MM * 0.75, y), LABEL_MM, align, -1)


def _pages_of(harness: Harness, page: Page) -> dict[str, str]:
    """Return for each thing that is drawn on another page the first such page's title."""
    found: dict[str, str] = {}
    for other in harness.pages.values():
        if other.id != page.id:
            for thing in homes(harness, other):
                found.setdefault(thing, other.title or other.id)
    return found


def _onward(
    harness: Harness, route: Route, end: int, elsewhere: Sequence[Mapping[str, str]], taken: _Taken
) -> Label:
    """Return the label at an end that is open or goes on elsewhere.

    It names the page by its title where that has room, else by its number among the pages.
    """
    for named in elsewhere:
        text = f"{route.wire}: {where(harness.wires[route.wire].ends[end], named)}"
        label = onward_label(route, end, text)
        if not taken.meets(label_box(label)):
            break
    taken.add(label_box(label))
    return label


def onward_label(route: Route, end: int, text: str) -> Label:
    """Return a label beyond an end, in the wire's direction."""
    points: Sequence[Point] = route.points if end == 1 else route.points[::-1]
    before, last = points[-2], points[-1]
    dx, dy = last.x_mm - before.x_mm, last.y_mm - before.y_mm
    if abs(dx) >= abs(dy):
        align: Align = "start" if dx >= 0 else "end"
        at = last.moved(1.6 if dx >= 0 else -1.6, LABEL_MM * 0.35)
    else:
        align = "middle"
        at = last.moved(0.0, LABEL_MM if dy > 0 else -1.2)
    return Label(route.wire, end, text, at, LABEL_MM, align, 0, True)


def where(end: End, elsewhere: Mapping[str, str]) -> str:
    """Return where an end is, with the page that its thing stands on."""
    if end.what == "words":
        return end.text
    if end.point is None:
        return {"cut": "cut", "unknown": "end not known"}[end.what]
    title = elsewhere.get(owner(end.point))
    return f"{end.point}, page {title}" if title else end.point
