"""What is wrong with the ways of wires on a page, counted from their corner points alone."""

from __future__ import annotations

from collections.abc import Mapping
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
