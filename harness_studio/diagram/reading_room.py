"""How much of a symbol's live values is written: as many words as there is room for, the first ones first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.drawing import texts

if TYPE_CHECKING:
    from harness_studio.drawing.pixels import Pixels
    from harness_studio.drawing.strokes import Text

    from .scene import Scene

FARTHEST_MM = 140.0
MARGIN_MM = 1.2
EDGE_PX = 4.0


def free_mm(scene: Scene, key: str, place: Text) -> tuple[float, float]:
    """Return how far a text may reach left and right of its anchor, in mm, before it meets a wire or a symbol."""
    half = place.size_mm * 0.6
    top, bottom = place.y_mm - half, place.y_mm + half
    left, right = scene.wires.free_beside(place.x_mm, top, bottom)
    stray_left, stray_right = scene.links.free_beside(place.x_mm, top, bottom)
    left, right = min(left, stray_left, FARTHEST_MM), min(right, stray_right, FARTHEST_MM)
    for other, symbol in scene.symbols.items():
        box = symbol.clear
        if other == key or box.bottom_mm <= top or box.top_mm >= bottom or symbol.kind == "body":
            continue
        if box.left_mm > place.x_mm:
            right = min(right, box.left_mm - place.x_mm)
        elif box.right_mm < place.x_mm:
            left = min(left, place.x_mm - box.right_mm)
    return max(0.0, left - MARGIN_MM), max(0.0, right - MARGIN_MM)


def fitting(place: Text, said: str, free: tuple[float, float], at: Pixels) -> str:
    """Return as many of the words of a value as fit, parted by ' · '; nothing where not even the first one does.

    Parameters
    ----------
    free
        Millimetres to the left and to the right; the edges of what is seen count too.
    """
    px = texts.pixel_size(place, at.scale / at.ratio)
    if px is None:
        return ""
    x = at.x(place.x_mm)
    left = min(free[0] * at.scale, x - EDGE_PX * at.ratio)
    right = min(free[1] * at.scale, at.width - x - EDGE_PX * at.ratio)
    room = {"left": right, "right": left, "middle": 2 * min(left, right)}[place.align]
    words = said.split(" · ")
    for count in range(len(words), 0, -1):
        short = " · ".join(words[:count])
        if texts.width_px(short, round(px * at.ratio), place.weight) <= room:
            return short
    return ""
