"""The symbol next to another one in a direction: how the keyboard walks over the diagram."""

from __future__ import annotations

import math

from .scene import Scene

_ASIDE = 2.5
"""How much worse a way aside is than a way ahead."""


def next_symbol(scene: Scene, start: str | None, way: tuple[int, int]) -> str | None:
    """Return the nearest symbol in a direction, or the first one in reading order without a start."""
    middles = {key: symbol.box.centre for key, symbol in scene.symbols.items()}
    if start is None or start not in middles:
        return min(middles, key=lambda k: (middles[k].y_mm + middles[k].x_mm, k), default=None)
    here = middles[start]
    best: tuple[float, str] | None = None
    for key, there in middles.items():
        dx, dy = there.x_mm - here.x_mm, there.y_mm - here.y_mm
        ahead, aside = dx * way[0] + dy * way[1], abs(dx * way[1]) + abs(dy * way[0])
        if key == start or ahead <= 0:
            continue
        cost = math.hypot(ahead, aside * _ASIDE)
        if best is None or (cost, key) < best:
            best = (cost, key)
    return best[1] if best else None
