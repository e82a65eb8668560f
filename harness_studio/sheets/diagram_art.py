"""A page of the diagram from the model: symbols, wires and their labels, in millimetres of the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath, QPainterPathStroker

from harness_studio.base.geometry import Box, Point, around
from harness_studio.drawing import looks
from harness_studio.drawing.strokes import Stroke, Strokes, Text, gather
from harness_studio.drawing.symbols import CAP_SHARE, beside, draw_symbol
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.arrange import arrange
from harness_studio.placing.labels import labels
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import on_page
from harness_studio.placing.routes import routes
from harness_studio.placing.symbols import Route

from .lettering import LEAST_MM, width_mm
from .note_art import Card, notes_on

_BEND_MM = 2.2
_EDGE_MM = 0.45
_LINK_MM = 1.1
LABEL_RANK = 6
"""Rank of a wire's label among texts that want the same place."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A page of the diagram: strokes, and texts that are put in by rank where there is room.

    `number` is which of several pages it is; `upwards` are texts that read upwards; `cards` are notes, whose frames are
    drawn where their texts can be read.
    """

    title: str
    number: int | None
    strokes: Strokes
    texts: tuple[Text, ...]
    upwards: tuple[Text, ...]
    extent: Box
    cards: tuple[Card, ...] = ()

    @property
    def name(self) -> str:
        """Number and title, as labels name a page."""
        return self.title if self.number is None else f"{self.number} {self.title}"


def drawings(harness: Harness) -> list[Drawing]:
    """Return every page of the diagram; an arranged one where the harness has none."""
    pages = [page for page in harness.pages.values() if page.items]
    if not pages:
        items = arrange(harness)
        pages = [Page("all", "Everything, arranged", items)] if items else []
    order = {page: number for number, page in enumerate(harness.pages, 1)} if len(harness.pages) > 1 else {}
    return [_drawing(harness, page, order.get(page.id)) for page in pages]


def _drawing(harness: Harness, page: Page, number: int | None) -> Drawing:
    own = symbols(harness, page)
    ways = routes(harness, page, own)
    placed = {key: on_page(symbol, page.items[key]) for key, symbol in own.items() if key in page.items}
    texts: list[Text] = []
    parts: list[Strokes | Stroke] = []
    # Bodies and links lie below, wires above them, symbols on top.
    wires = [w for route in ways.values() for w in _wire(harness, route)]
    drawn = [(s.kind, draw_symbol(harness, s, page.items[key])) for key, s in placed.items()]
    parts += [ink for kind, ink in drawn if kind == "body"]
    parts += wires
    parts += [ink for kind, ink in drawn if kind != "body"]
    for symbol in placed.values():
        within, outside = beside(symbol)
        texts += within + outside
    strokes = gather(*parts)
    texts += strokes.texts
    cards = list(notes_on(harness, placed, ways))
    texts += [text for card in cards for text in card.texts]
    level, upwards = _labels(harness, page, own, ways)
    boxes = (
        [card.box for card in cards]
        + [s.clear for s in placed.values()]
        + [_box(r.points) for r in ways.values() if r.points]
    )
    extent = around([*boxes, *(text_box(t) for t in texts)]) or Box(0, 0, 10, 10)
    ordered = sorted([*texts, *level], key=lambda t: t.rank)
    return Drawing(
        page.title or page.id,
        number,
        Strokes(strokes.strokes),
        tuple(ordered),
        tuple(upwards),
        extent.grown(2.0),
        tuple(cards),
    )


def _labels(harness: Harness, page: Page, own: object, ways: object) -> tuple[list[Text], list[Text]]:
    level: list[Text] = []
    upwards: list[Text] = []
    for label in labels(harness, page, own, ways):  # type: ignore[arg-type]
        align = {"start": "left", "middle": "middle", "end": "right"}[label.align]
        lift = label.size_mm * CAP_SHARE
        x, y = (label.at.x_mm - lift, label.at.y_mm) if label.turn else (label.at.x_mm, label.at.y_mm - lift)
        made = Text(x, y, label.text, label.size_mm, 400, "ink", align, label.size_mm * 1.25, LABEL_RANK)  # type: ignore[arg-type]
        (upwards if label.turn else level).append(made)
    return level, upwards


def _box(points: Sequence[Point]) -> Box:
    xs, ys = [p.x_mm for p in points], [p.y_mm for p in points]
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def _wire(harness: Harness, route: Route) -> Iterator[Stroke]:
    path = _way(route.points)
    wire = harness.wires.get(route.wire)
    if wire is None:
        yield Stroke(path, "stud", _LINK_MM / (2 if route.kind == "bond" else 1))
        return
    wide = looks.width_mm(wire)
    base, *tracers = looks.codes(wire) or ("hairline",)
    edge = "frame" if base == "hairline" else f"{base}|"
    yield Stroke(path, edge, wide + _EDGE_MM)
    yield Stroke(path, base, wide)
    for number, code in enumerate(tracers):
        yield Stroke(_dashes(path, wide * 0.42, 5.0, number, len(tracers)), None, 0, code)


def _way(points: Sequence[Point]) -> QPainterPath:
    """Return the path of a route with its corners rounded."""
    path = QPainterPath(QPointF(points[0].x_mm, points[0].y_mm))
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        reach = min(_BEND_MM, _apart(before, here) / 2, _apart(here, after) / 2)
        path.lineTo(_towards(here, before, reach))
        path.quadTo(QPointF(here.x_mm, here.y_mm), _towards(here, after, reach))
    path.lineTo(points[-1].x_mm, points[-1].y_mm)
    return path


def _apart(a: Point, b: Point) -> float:
    return abs(a.x_mm - b.x_mm) + abs(a.y_mm - b.y_mm)


def _towards(here: Point, there: Point, by: float) -> QPointF:
    length = ((there.x_mm - here.x_mm) ** 2 + (there.y_mm - here.y_mm) ** 2) ** 0.5 or 1.0
    share = min(1.0, by / length)
    return QPointF(here.x_mm + (there.x_mm - here.x_mm) * share, here.y_mm + (there.y_mm - here.y_mm) * share)


def _dashes(path: QPainterPath, thick: float, long: float, number: int, count: int) -> QPainterPath:
    stroker = QPainterPathStroker()
    stroker.setWidth(thick)
    stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
    pitch = long * 1.6 * count
    stroker.setDashPattern([long / thick, (pitch - long) / thick])
    stroker.setDashOffset((pitch - long * 1.6 * number) % pitch / thick)
    return stroker.createStroke(path)


def text_box(text: Text, *, upwards: bool = False) -> Box:
    """Return the box that the letters of a text fill."""
    wide, high = width_mm(text.text, text.size_mm, text.weight), text.size_mm * 0.95
    back = {"left": 0.0, "middle": wide / 2, "right": wide}[text.align]
    if upwards:
        return Box(text.x_mm - high / 2, text.y_mm - wide + back, high, wide)
    return Box(text.x_mm - back, text.y_mm - high / 2, wide, high)


def cleared(text: Text, *, upwards: bool = False) -> Stroke:
    """Return what clears the paper behind a text: the height of its capitals, and a little to either side."""
    box, lower = text_box(text, upwards=upwards), text.size_mm * 0.12
    dx, dy = (lower, -0.3) if upwards else (-0.3, lower)
    path = QPainterPath()
    path.addRect(box.left_mm + dx, box.top_mm + dy, box.width_mm - 2 * dx, box.height_mm - 2 * dy)
    return Stroke(path, None, 0.0, "paper")


def legible(texts: Sequence[Text], upwards: Sequence[Text], by: float) -> tuple[list[Text], list[Text], int]:
    """Return the texts that can be read in a drawing that is scaled, each on a free place, and how many are left out.

    A text is enlarged up to the room it has; one that would still be smaller than the least size is left out, and
    one that would lie on another, too. What comes first has its place first.
    """
    taken: list[Box] = []
    kept: tuple[list[Text], list[Text]] = ([], [])
    lost = 0
    for group, out, upright in ((texts, kept[0], False), (upwards, kept[1], True)):
        for text in group:
            size = max(text.size_mm * by, min(LEAST_MM, text.room_mm * by))
            if size < LEAST_MM - 1e-6:
                lost += 1
                continue
            made = replace(text, x_mm=text.x_mm * by, y_mm=text.y_mm * by, size_mm=size)
            box = text_box(made, upwards=upright)
            if any(box.meets(other) for other in taken):
                lost += 1
                continue
            taken.append(box)
            out.append(made)
    return kept[0], kept[1], lost
