"""From a harness and one of its pages to everything that stands on it, in millimetres of the page."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from harness_studio.base.geometry import Box, Point, around
from harness_studio.drawing import looks
from harness_studio.drawing.strokes import Text
from harness_studio.drawing.wires import WireArt
from harness_studio.model.entities import Page, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing.homes import homes
from harness_studio.placing.links import owner
from harness_studio.placing.onward import Onward, onward
from harness_studio.placing.outlines import symbols
from harness_studio.placing.pace import Tell, silent, within
from harness_studio.placing.placed import on_page
from harness_studio.placing.routes import quick, reroute, routes
from harness_studio.placing.symbols import Route, Symbol

from .elbows import elbows, followed
from .wire_labels import wire_labels

MOST_TOUCHED = 0.5
"""Where more of a page has changed than this, all of it is laid out anew."""


@dataclass(frozen=True, slots=True)
class Layout:
    """What stands on a page.

    Parameters
    ----------
    own
        Symbols by id in their own frame, as `placing` gives them.
    symbols
        The same as they lie on the page.
    at
        Where each stands.
    home
        Id of the symbol that draws each thing.
    routes
        By wire, and by link that is no wire.
    labels
        Wires' ids, each with where it is written.
    onward
        Where wires go on that end open or leave the page.
    wires
        The wires as they were.
    extent
        The box around everything; None for an empty page.
    bends
        Bend points of wires that the user made, as they were.
    """

    page: str
    own: Mapping[str, Symbol]
    symbols: Mapping[str, Symbol]
    at: Mapping[str, At]
    home: Mapping[str, str]
    routes: Mapping[str, Route]
    labels: Sequence[tuple[str, Text]]
    wires: Mapping[str, Wire]
    extent: Box | None
    onward: Sequence[Onward] = ()
    bends: Mapping[str, Sequence[tuple[float, float]]] = field(default_factory=dict)


def lay_out(harness: Harness, page: Page, before: Layout | None = None, tell: Tell = silent) -> Layout:
    """Return what stands on a page.

    Parameters
    ----------
    before
        What stood there: wires that nothing has changed for keep their way.
    tell
        Hears how far the laying of a whole page is; may stop it.
    """
    own = symbols(harness, page)
    if before is not None and before.page == page.id and before.routes:
        touched = _touched(harness, page, own, before)
        if len(touched) <= len(own) * MOST_TOUCHED:
            own = {key: symbol if key in touched else before.own[key] for key, symbol in own.items()}
            placed = _placed(own, page, {key: before.symbols[key] for key in own if key not in touched})
            return _put_together(
                harness, page, own, placed, reroute(harness, page, own, touched, before.routes)
            )
    ways = routes(harness, page, own, within(tell, 0.05, 0.9))
    return _put_together(harness, page, own, _placed(own, page), ways)


def forgotten(before: Layout, wires: Collection[str]) -> Layout:
    """Return a layout after which some wires are laid anew."""
    return replace(before, wires={k: w for k, w in before.wires.items() if k not in wires})


def meanwhile(harness: Harness, page: Page, before: Layout) -> Layout:
    """Return what to show of a large page until it is laid out anew: what was there, with moved symbols moved.

    Wires of moved symbols, and wires that are new or end elsewhere now, run in simple corners; a symbol that is new
    stands there without room for its wires.
    """
    own = {key: symbol for key, symbol in before.own.items() if key in page.items}
    by = {key: _step(before.at[key], page.items[key]) for key in own if before.at[key] != page.items[key]}
    own.update(_alone(harness, page, page.items.keys() - own.keys()))
    placed = _placed(own, page, {key: s for key, s in before.symbols.items() if key not in by})
    ways = dict(before.routes)
    for key in [key for key in ways if key in before.wires and key not in harness.wires]:
        del ways[key]
    for key in by:
        for wire, _ in own[key].wire_anchors:
            if wire in ways and wire in harness.wires:
                ways[wire] = replace(
                    before.routes[wire], points=_followed(harness, before, before.routes[wire], by)
                )
    home = homes(harness, page)
    ways.update(_simple(harness, placed, home, before))
    return _put_together(harness, page, own, placed, ways, labelled=False, home=home)


def _alone(harness: Harness, page: Page, new: Collection[str]) -> dict[str, Symbol]:
    """Return new symbols as they look without wires."""
    if not new:
        return {}
    bare = harness.snapshot()
    bare.wires.clear()
    return symbols(bare, Page(page.id, items={key: page.items[key] for key in page.items if key in new}))


def _simple(
    harness: Harness, placed: Mapping[str, Symbol], home: Mapping[str, str], before: Layout
) -> dict[str, Route]:
    """Return simple ways for wires that are new or end elsewhere now, where both their ends are on the page."""
    found: dict[str, Route] = {}
    for key, wire in harness.wires.items():
        was = before.wires.get(key)
        if was is not None and (was is wire or was.ends == wire.ends):
            continue
        anchors = [
            placed[home[owner(end.point)]].anchors.get(end.point)
            for end in wire.ends
            if end.point is not None and home.get(owner(end.point)) in placed
        ]
        first, second = anchors if len(anchors) == 2 else (None, None)
        if first is not None and second is not None:
            found[key] = Route(key, tuple(quick(first, second)))
    return found


def at_first(harness: Harness, page: Page) -> Layout:
    """Return a page that was never laid out, with its wires in the simplest corners, to be shown until it is."""
    own = symbols(harness, page)
    placed = _placed(own, page)
    return _put_together(harness, page, own, placed, elbows(harness, placed))


def _placed(
    own: Mapping[str, Symbol], page: Page, known: Mapping[str, Symbol] = MappingProxyType({})
) -> dict[str, Symbol]:
    """Return symbols as they lie on a page; those that are known already are taken over."""
    return {key: known[key] if key in known else on_page(s, page.items[key]) for key, s in own.items()}


def _put_together(
    harness: Harness,
    page: Page,
    own: Mapping[str, Symbol],
    placed: Mapping[str, Symbol],
    ways: Mapping[str, Route],
    *,
    labelled: bool = True,
    home: Mapping[str, str] | None = None,
) -> Layout:
    at = {key: page.items[key] for key in placed}
    home = homes(harness, page) if home is None else home
    leaving: Sequence[Onward] = ()
    labels: Sequence[tuple[str, Text]] = ()
    if labelled:
        leaving = onward(harness, page, ways.values())
        widths = {key: looks.width_mm(wire) for key, wire in harness.wires.items()}
        labels = wire_labels(ways, placed.values(), widths, [one.box for one in leaving])
    extent = _extent([*(symbol.clear for symbol in placed.values()), *(one.box for one in leaving)], ways)
    return Layout(
        page.id, own, placed, at, home, ways, labels, dict(harness.wires), extent, leaving, page.wires
    )


def _touched(harness: Harness, page: Page, own: Mapping[str, Symbol], before: Layout) -> set[str]:
    """Return the ids of symbols and wires that are not what and where they were."""
    keys = own.keys() | before.own.keys()
    found = {
        key
        for key in keys
        if own.get(key) != before.own.get(key) or page.items.get(key) != before.at.get(key)
    }
    wires = harness.wires.keys() | before.wires.keys()
    found |= {key for key in wires if harness.wires.get(key) is not before.wires.get(key)}
    bent = page.wires.keys() | before.bends.keys()
    return found | {key for key in bent if page.wires.get(key, ()) != before.bends.get(key, ())}


def _step(before: At, now: At) -> tuple[float, float]:
    return now.x_mm - before.x_mm, now.y_mm - before.y_mm


def _followed(
    harness: Harness, before: Layout, route: Route, by: Mapping[str, tuple[float, float]]
) -> tuple[Point, ...]:
    ends = [
        before.home.get(owner(e.point)) if e.point is not None else None
        for e in harness.wires[route.wire].ends
    ]
    first, second = (by.get(home) if home is not None else None for home in ends)
    return followed(route.points, first, second)


def _extent(boxes: list[Box], ways: Mapping[str, Route]) -> Box | None:
    """Return the box around boxes and the corner points of ways."""
    corners = [point for route in ways.values() for point in route.points]
    if corners:
        xs, ys = [point.x_mm for point in corners], [point.y_mm for point in corners]
        left, top = min(xs), min(ys)
        boxes.append(Box(left, top, max(xs) - left, max(ys) - top))
    return around(boxes)


def wire_art(harness: Harness, route: Route) -> WireArt:
    """Return how a route's wire is drawn."""
    wire = harness.wires[route.wire]
    points = tuple((p.x_mm, p.y_mm) for p in route.points)
    return WireArt(wire.id, points, looks.codes(wire), looks.width_mm(wire))
