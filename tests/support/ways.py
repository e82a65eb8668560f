"""What is wrong with the ways of wires on a page, counted from their corner points alone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise

from harness_studio.base.geometry import Box, Point
from harness_studio.model.entities import Page
from harness_studio.placing.placed import on_page
from harness_studio.placing.symbols import Route, Symbol

Stretch = tuple[str, Point, Point]
TOUCH_MM = 1e-6


def stretches(routes: Mapping[str, Route]) -> list[Stretch]:
    return [(key, a, b) for key, route in routes.items() for a, b in pairwise(route.points)]


def slanted(routes: Mapping[str, Route]) -> list[str]:
    """Return the wires with a stretch that is neither level nor upright, or with no length."""
    return [
        key
        for key, a, b in stretches(routes)
        if min(abs(a.x_mm - b.x_mm), abs(a.y_mm - b.y_mm)) > TOUCH_MM or a == b
    ]


def on_each_other(routes: Mapping[str, Route], least_mm: float = 0.02) -> list[tuple[str, str]]:
    """Return the pairs of wires that share a stretch: same line to within `least_mm`, more than a point of it."""
    found = []
    for level in (True, False):
        rows = []
        for key, a, b in stretches(routes):
            if (abs(a.y_mm - b.y_mm) < TOUCH_MM) == level:
                at, first, second = (a.y_mm, a.x_mm, b.x_mm) if level else (a.x_mm, a.y_mm, b.y_mm)
                rows.append((at, min(first, second), max(first, second), key))
        rows.sort()
        for i, (at, low, high, key) in enumerate(rows):
            for other_at, other_low, other_high, other in rows[i + 1 :]:
                if other_at - at > least_mm:
                    break
                if other != key and min(high, other_high) - max(low, other_low) > 0.1:
                    found.append((key, other))
    return found


def through_symbols(
    page: Page, symbols: Mapping[str, Symbol], routes: Mapping[str, Route]
) -> list[tuple[str, str]]:
    """Return (wire, symbol) where a wire runs through what a symbol keeps clear, but for its own ends' way out."""
    placed = {key: on_page(s, page.items[key]) for key, s in symbols.items()}
    found = []
    for key, route in routes.items():
        for symbol_id, symbol in placed.items():
            own = [anchor.at for (wire, _), anchor in symbol.wire_anchors.items() if wire == key]
            for a, b in pairwise(route.points):
                if _enters(symbol.clear, a, b) and not any(_ends_at(a, b, p) for p in own):
                    found.append((key, symbol_id))
    return found


def _enters(box: Box, a: Point, b: Point) -> bool:
    left, right = sorted((a.x_mm, b.x_mm))
    top, bottom = sorted((a.y_mm, b.y_mm))
    inside = box.grown(-TOUCH_MM)
    return (
        left < inside.right_mm
        and right > inside.left_mm
        and top < inside.bottom_mm
        and bottom > inside.top_mm
    )


def _ends_at(a: Point, b: Point, p: Point) -> bool:
    return any(abs(q.x_mm - p.x_mm) < 0.01 and abs(q.y_mm - p.y_mm) < 0.01 for q in (a, b))


def overlapping(page: Page, symbols: Mapping[str, Symbol]) -> list[tuple[str, str]]:
    """Return the pairs of symbols whose boxes overlap (a ground on its body's bar touches it only)."""
    placed = [(key, on_page(s, page.items[key])) for key, s in symbols.items()]
    return [
        (a, b)
        for i, (a, first) in enumerate(placed)
        for b, second in placed[i + 1 :]
        if first.box.grown(-0.01).meets(second.box)
    ]


def crossings(routes: Mapping[str, Route]) -> int:
    """Return how often two wires cross."""
    level = [(a, b) for _, a, b in stretches(routes) if abs(a.y_mm - b.y_mm) < TOUCH_MM]
    upright = [(a, b) for _, a, b in stretches(routes) if abs(a.x_mm - b.x_mm) < TOUCH_MM]
    return sum(
        min(a.x_mm, b.x_mm) < c.x_mm < max(a.x_mm, b.x_mm)
        and min(c.y_mm, d.y_mm) < a.y_mm < max(c.y_mm, d.y_mm)
        for a, b in level
        for c, d in upright
    )


def bends(routes: Mapping[str, Route]) -> int:
    return sum(len(route.points) - 2 for route in routes.values())


def together(
    runs: Mapping[str, Sequence[str]], routes: Mapping[str, Route], step_mm: int = 4
) -> tuple[float, float]:
    """Return how far pairs of wires of one run go side by side within 40 mm, and how far of that as one bundle, in mm.

    A bundle has no track wider than two pitches between its wires, and none of another run.
    """
    common = as_one = 0.0
    for level in (True, False):
        passing: dict[int, list[tuple[float, str]]] = defaultdict(list)
        for key, a, b in stretches(routes):
            if (abs(a.y_mm - b.y_mm) < TOUCH_MM) == level:
                at, first, second = (a.y_mm, a.x_mm, b.x_mm) if level else (a.x_mm, a.y_mm, b.y_mm)
                low, high = sorted((first, second))
                for place in range(int(low // step_mm) + 1, int(high // step_mm) + 1):
                    passing[place].append((at, key))
        for row in passing.values():
            row.sort()
            for i, (at, key) in enumerate(row):
                own, last, bundled = set(runs.get(key, ())), at, bool(runs.get(key))
                for other_at, other in row[i + 1 :]:
                    if not own or other_at - at > 40.0:
                        break
                    shares = not own.isdisjoint(runs.get(other, ()))
                    bundled, last = bundled and shares and other_at - last <= 8.5, other_at
                    common += step_mm * (shares and other != key)
                    as_one += step_mm * (shares and other != key and bundled)
    return common, as_one
