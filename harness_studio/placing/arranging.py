"""Bringing symbols into line: align, distribute, turn, mirror, snap, and arrange a few of them only."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from harness_studio.base.geometry import Box, Point, around
from harness_studio.model.values import At

GRID_MM = 2.0
_DRAWN_MM = 1.0
"""From so near a dragged symbol is drawn to a neighbour's middle line."""
_SAME_MM = 0.05
Line = Literal["left", "centre", "right", "top", "middle", "bottom"]
Step = tuple[float, float]


def on_grid(value: float) -> float:
    """Return the nearest whole multiple of the grid."""
    return round(value / GRID_MM) * GRID_MM


def aligned(boxes: Mapping[str, Box], line: Line) -> dict[str, Step]:
    """Return the step that brings each symbol into line with the outermost one, for centres with the middle of all."""
    whole = around(list(boxes.values()))
    if whole is None:
        return {}
    to = _lines(whole)[line]
    level = line in ("left", "centre", "right")
    found = {}
    for key, box in boxes.items():
        by = to - _lines(box)[line]
        found[key] = (by, 0.0) if level else (0.0, by)
    return found


def _lines(box: Box) -> dict[str, float]:
    return {
        "left": box.left_mm, "centre": box.centre.x_mm, "right": box.right_mm,
        "top": box.top_mm, "middle": box.centre.y_mm, "bottom": box.bottom_mm,
    }  # fmt: skip


def distributed(boxes: Mapping[str, Box], *, across: bool) -> dict[str, Step]:
    """Return the steps that make the gaps between neighbours equal; the outermost two stay. `across`: left to right."""

    def start(box: Box) -> float:
        return box.left_mm if across else box.top_mm

    def size(box: Box) -> float:
        return box.width_mm if across else box.height_mm

    keys = sorted(boxes, key=lambda k: (start(boxes[k]) + size(boxes[k]) / 2, k))
    if len(keys) < 3:
        return dict.fromkeys(keys, (0.0, 0.0))
    first, last = boxes[keys[0]], boxes[keys[-1]]
    room = start(last) - start(first) - sum(size(boxes[k]) for k in keys[:-1])
    gap = room / (len(keys) - 1)
    found, at = {}, start(first)
    for key in keys:
        by = at - start(boxes[key])
        found[key] = (by, 0.0) if across else (0.0, by)
        at += size(boxes[key]) + gap
    return found


def stepped(items: Mapping[str, At], steps: Mapping[str, Step]) -> dict[str, At]:
    """Return places after steps."""
    found = dict(items)
    for key, (dx, dy) in steps.items():
        found[key] = replace(items[key], x_mm=items[key].x_mm + dx, y_mm=items[key].y_mm + dy)
    return found


def snapped(items: Mapping[str, At], keys: Iterable[str]) -> dict[str, At]:
    """Return places with some symbols put onto the grid."""
    found = dict(items)
    for key in keys:
        found[key] = replace(items[key], x_mm=on_grid(items[key].x_mm), y_mm=on_grid(items[key].y_mm))
    return found


def turned(items: Mapping[str, At], keys: Collection[str]) -> dict[str, At]:
    """Return places with some symbols turned clockwise by a quarter about the middle of all of them."""
    about, found = _middle(items, keys), dict(items)
    for key in keys:
        at = items[key]
        p = Point(at.x_mm - about.x_mm, at.y_mm - about.y_mm).turned(1)
        found[key] = replace(
            at, x_mm=about.x_mm + p.x_mm, y_mm=about.y_mm + p.y_mm, turn=(at.turn + 90) % 360
        )
    return found


def mirrored(items: Mapping[str, At], keys: Collection[str]) -> dict[str, At]:
    """Return places with some symbols mirrored left to right about the middle of all of them."""
    about, found = _middle(items, keys), dict(items)
    for key in keys:
        at = items[key]
        found[key] = replace(at, x_mm=2 * about.x_mm - at.x_mm, turn=-at.turn % 360, mirror=not at.mirror)
    return found


def _middle(items: Mapping[str, At], keys: Collection[str]) -> Point:
    xs, ys = [items[k].x_mm for k in keys], [items[k].y_mm for k in keys]
    return Point(on_grid((min(xs) + max(xs)) / 2), on_grid((min(ys) + max(ys)) / 2))


def put_free(block: Mapping[str, Box], others: Collection[Box], *, gap_mm: float = 12.0) -> Step:
    """Return the shortest step on a ring of tries that puts a block where it covers none of some boxes."""
    whole = around(list(block.values()))
    if whole is None:
        return 0.0, 0.0
    grown = whole.grown(gap_mm)
    reach = max(whole.width_mm, whole.height_mm, 20.0) / 4
    for ring in range(41):
        away = on_grid(ring * reach)
        tries = [(0.0, 0.0)] if not ring else [(away, 0), (0, away), (-away, 0), (0, -away),
                 (away, away), (-away, away), (away, -away), (-away, -away)]  # fmt: skip
        for dx, dy in tries:
            if not any(grown.moved(dx, dy).meets(o) for o in others):
                return float(dx), float(dy)
    return 0.0, on_grid(max((b.bottom_mm for b in others), default=0.0) - whole.top_mm + gap_mm)


def grouped(blocks: Mapping[str, Mapping[str, Box]], *, gap_mm: float = 30.0) -> dict[str, Step]:
    """Return the steps that set blocks of symbols (one for each zone) side by side from the upper left."""
    every = around([b for some in blocks.values() for b in some.values()])
    found: dict[str, Step] = {}
    if every is None:
        return found
    x = every.left_mm
    for some in blocks.values():
        whole = around(list(some.values()))
        if whole is None:
            continue
        step = on_grid(x - whole.left_mm), on_grid(every.top_mm - whole.top_mm)
        found.update(dict.fromkeys(some, step))
        x += whole.width_mm + gap_mm
    return found


@dataclass(frozen=True, slots=True)
class Guide:
    """A line that shows what a dragged symbol is in line with: its place, across or upright, and how far it reaches."""

    upright: bool
    at_mm: float
    from_mm: float
    to_mm: float


class Neighbours:
    """Boxes that what is dragged may come into line with, looked up by their lines many times a second."""

    def __init__(self, boxes: Collection[Box]) -> None:
        edges = [(b.left_mm, b.right_mm, b.top_mm, b.bottom_mm) for b in boxes]
        self._edges = np.array(edges, dtype=np.float64).reshape(-1, 4)
        left, right, top, bottom = self._edges.T
        self._lines = {
            "left": left, "centre": (left + right) / 2, "right": right,
            "top": top, "middle": (top + bottom) / 2, "bottom": bottom,
        }  # fmt: skip

    def nearest(self, line: str, at_mm: float) -> float | None:
        """Return how far it is to the nearest neighbour's line; None if none is near."""
        away = self._lines[line] - at_mm
        if not len(away):
            return None
        by = float(away[np.abs(away).argmin()])
        return by if abs(by) < _DRAWN_MM else None

    def span(self, line: str, at_mm: float, upright: bool) -> tuple[float, float] | None:
        """Return how far the neighbours in line there reach along the line; None if there are none."""
        same = self._edges[np.abs(self._lines[line] - at_mm) < _SAME_MM]
        if not len(same):
            return None
        low, high = (2, 3) if upright else (0, 1)
        return float(same[:, low].min()), float(same[:, high].max())


def snap_to_guides(box: Box, others: Neighbours, step: Step) -> tuple[Step, list[Guide]]:
    """Return a drag's step, on the grid or drawn to the middle line of a neighbour, and the guides to show.

    Guides are shown for all edges and middles that the box comes to be in line with.
    """
    found: list[float] = []
    for by, line in zip(step, ("centre", "middle"), strict=True):
        near = others.nearest(line, _lines(box)[line] + by)
        found.append(on_grid(by) if near is None else by + near)
    moved = box.moved(*found)
    guides = []
    for lines, upright in ((("centre", "left", "right"), True), (("middle", "top", "bottom"), False)):
        guide = next((g for line in lines if (g := _guide(moved, others, line, upright))), None)
        if guide is not None:
            guides.append(guide)
    return (found[0], found[1]), guides


def _guide(box: Box, others: Neighbours, line: str, upright: bool) -> Guide | None:
    at = _lines(box)[line]
    span = others.span(line, at, upright)
    if span is None:
        return None
    own = (box.top_mm, box.bottom_mm) if upright else (box.left_mm, box.right_mm)
    return Guide(upright, at, min(span[0], own[0]), max(span[1], own[1]))
