"""Where an overlay's legend stands: at the edge of the view, where it covers least of what is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from harness_studio.base.geometry import Box
from harness_studio.drawing.pixels import Pixels

from .dial_place import WIRE_COST

if TYPE_CHECKING:
    from .scene import Scene

ASIDE_PX, BELOW_PX = 14.0, 12.0
"""How far it stays from the edges of the view."""
AROUND_PX = 8.0
"""How far it stays from the middle of a wire."""
ALONG = (0.0, 1.0, 0.5, 0.25, 0.75)
"""Places along an edge, the corners first."""


def legend_place(scene: Scene, at: Pixels, width: float, height: float) -> tuple[float, float]:
    """Return the upper left corner of the legend in device pixels: lower left where nothing is drawn there.

    While the view stays where it is the legend does, too.

    Parameters
    ----------
    width, height
        Of the legend, in device pixels.
    """
    asked = (at, width, height)
    if scene.legend_spot is None or scene.legend_spot[0] != asked:
        best: tuple[float, tuple[float, float]] | None = None
        for place in _places(at, width, height):
            cost = covered(scene, _in_mm(at, place, width, height))
            if best is None or cost < best[0]:
                best = cost, place
            if cost == 0.0:
                break
        assert best is not None
        scene.legend_spot = asked, best[1]
    return scene.legend_spot[1]


def _places(at: Pixels, width: float, height: float) -> Iterator[tuple[float, float]]:
    """Yield the places along the lower edge, the upper one, and the sides."""
    left, top = ASIDE_PX * at.ratio, BELOW_PX * at.ratio
    across, down = max(0.0, at.width - width - 2 * left), max(0.0, at.height - height - 2 * top)
    for low in (1.0, 0.0):
        for part in ALONG:
            yield left + part * across, top + low * down
    for part in ALONG[2:]:
        for far in (0.0, 1.0):
            yield left + far * across, top + part * down


def _in_mm(at: Pixels, place: tuple[float, float], width: float, height: float) -> Box:
    """Return the legend's place on the page, with room around it for half the breadth of a wire and its wash."""
    x, y = (place[0] - at.dx) / at.scale, (place[1] - at.dy) / at.scale
    return Box(x, y, width / at.scale, height / at.scale).grown(AROUND_PX * at.ratio / at.scale)


def covered(scene: Scene, box: Box) -> float:
    """Return how much is drawn within a box: symbols and bars by area in mm², wires by number of stretches."""
    cost = sum(box.shared_mm2(scene.symbols[key].clear) for key in scene.seen(box))
    edges = box.left_mm, box.top_mm, box.right_mm, box.bottom_mm
    return cost + WIRE_COST * (scene.wires.stretches_in(*edges) + scene.links.stretches_in(*edges))
