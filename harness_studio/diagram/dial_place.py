"""Where the dial stands: beside its joint, where it covers least."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.base.geometry import Box, Point

if TYPE_CHECKING:
    from .camera import Camera
    from .dial import Dial
    from .focus import Focus
    from .scene import Scene

GAP_PX = 10.0
WIRE_COST = 60.0
"""A stretch of wire that is covered counts like so many mm² of symbols."""


def place_dial(dial: Dial, scene: Scene, camera: Camera, focus: Focus | None) -> None:
    """Stand the dial beside its joint, or hide it where it has none to turn that can be seen."""
    view = dial.parentWidget()
    spot = None
    if focus is not None and view is not None and dial.clean_ohm is not None:
        size, room = (float(dial.width()), float(dial.height())), (float(view.width()), float(view.height()))
        asked = camera, focus.thing, size, room
        kept = scene.dial_spot
        if kept is None or kept[0] != asked:  # turning it moves nothing
            kept = scene.dial_spot = asked, dial_place(scene, camera, focus.thing, size, room)
        spot = kept[1]
    dial.setVisible(spot is not None)
    if spot is not None:
        dial.move(round(spot[0]), round(spot[1]))


def dial_place(
    scene: Scene, camera: Camera, thing: str, size: tuple[float, float], view: tuple[float, float]
) -> tuple[float, float] | None:
    """Return the upper left pixel of the dial; None where its thing cannot be seen.

    Parameters
    ----------
    size, view
        Width and height of the dial, and of the view, in pixels.
    """
    box = scene.place_of(thing)
    if box is None:
        return None
    left, top = camera.on(Point(box.left_mm, box.top_mm))
    right, bottom = left + box.width_mm * camera.px_per_mm, top + box.height_mm * camera.px_per_mm
    if right < 0 or bottom < 0 or left > view[0] or top > view[1]:
        return None
    best: tuple[float, float, float] | None = None
    for number, (x, y) in enumerate(_around((left, top, right, bottom), size)):
        x = min(max(x, 4.0), max(4.0, view[0] - size[0] - 4))
        y = min(max(y, 4.0), max(4.0, view[1] - size[1] - 4))
        here = camera.at(x, y)
        covered = Box(here.x_mm, here.y_mm, size[0] / camera.px_per_mm, size[1] / camera.px_per_mm)
        cost = _cost(scene, covered, box) + number
        if best is None or cost < best[0]:
            best = cost, x, y
    return (best[1], best[2]) if best else None


def _around(box: tuple[float, float, float, float], size: tuple[float, float]) -> list[tuple[float, float]]:
    """Return places left, right, above and below, nearest first."""
    left, top, right, bottom = box
    width, height = size
    found = []
    for far in (GAP_PX, GAP_PX + 60, GAP_PX + 130):
        for slide in (-0.85, -0.5, -1.2, 0.0):
            y = bottom + slide * height
            found += [(left - far - width, y), (right + far, y)]
        middle = (left + right - width) / 2
        found += [(middle, top - far - height), (middle, bottom + far)]
    return found


def _cost(scene: Scene, covered: Box, own: Box) -> float:
    """Return how much would be covered: by area of symbols and their texts, and by number of stretches of wires."""
    cost = 0.0
    if covered.meets(own):
        cost += 1e4
    for key in scene.seen(covered):
        symbol = scene.symbols[key]
        cost += covered.shared_mm2(symbol.clear) * (0.3 if symbol.kind == "body" else 2.0)
    edges = covered.left_mm, covered.top_mm, covered.right_mm, covered.bottom_mm
    return cost + WIRE_COST * (scene.wires.stretches_in(*edges) + scene.links.stretches_in(*edges))
