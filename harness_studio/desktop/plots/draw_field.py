"""A field of blocks on a pyqtgraph layout: cividis by the logarithm, numbers where they fit, and its scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pyqtgraph as pg

from harness_studio.diagram.overlays import CIVIDIS
from harness_studio.drawing import fonts

from .bars import shade
from .draw_panel import plain
from .plot import Field

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme

NUMBERED = 12
"""Up to so many names the cells carry their numbers."""
NAME_PX = 13.0
_DARK_UNTIL = 0.5


def draw_field(view: pg.GraphicsLayoutWidget, field: Field, theme: Theme) -> pg.PlotItem:
    """Draw a field and return its plot."""
    item = view.addPlot(row=0, col=0)
    plain(item, theme)
    item.invertY(True)
    count = len(field.names)
    shades = np.array([[shade(v, field) for v in line] for line in field.values])
    table = np.array([_mixed(i / 255) for i in range(256)], dtype=np.ubyte)
    image = pg.ImageItem(np.round(shades * 255), axisOrder="row-major", levels=(0, 255))
    image.setLookupTable(table)
    image.setRect(0, 0, count, count)
    item.addItem(image)
    item.setRange(xRange=(0, count), yRange=(0, count), padding=0.0)
    item.setAspectLocked(False)
    every = max(1, int(np.ceil(count * NAME_PX / max(120.0, view.height() - 90.0))))
    across = max(1, int(np.ceil(count * 2.2 * NAME_PX / max(120.0, view.width() - 60.0))))
    item.getAxis("left").setTicks([[(i + 0.5, n) for i, n in enumerate(field.names) if i % every == 0], []])
    item.getAxis("bottom").setTicks(
        [[(i + 0.5, n) for i, n in enumerate(field.names) if i % across == 0], []]
    )
    item.getAxis("bottom").setLabel("one ampere more of", color=theme.colour("ink").name())
    item.getAxis("left").setLabel(f"moves the return of, {field.unit}", color=theme.colour("ink").name())
    for name in ("left", "bottom"):
        item.getAxis(name).label.setFont(fonts.font(fonts.SMALL_PX))
    if count <= NUMBERED:
        for i, line in enumerate(field.values):
            for j, value in enumerate(line):
                ink = "#FFFFFF" if shades[i][j] < _DARK_UNTIL else "#23272C"
                words = pg.TextItem(_short(value), color=ink, anchor=(0.5, 0.5))
                words.setFont(fonts.font(fonts.SMALL_PX))
                words.setPos(j + 0.5, i + 0.5)
                item.addItem(words, ignoreBounds=True)
    _scale(view, field, table, theme)
    return item


def _scale(view: pg.GraphicsLayoutWidget, field: Field, table: np.ndarray, theme: Theme) -> None:
    """Draw the scale below: least and most in words, even by the logarithm."""
    scale = view.addPlot(row=1, col=0)
    plain(scale, theme)
    scale.hideAxis("left")
    scale.setMaximumHeight(46)
    image = pg.ImageItem(np.arange(256, dtype=float)[None, :], axisOrder="row-major", levels=(0, 255))
    image.setLookupTable(table)
    image.setRect(0, 0, 1, 1)
    scale.addItem(image)
    scale.setRange(xRange=(0, 1), yRange=(0, 1), padding=0.0)
    decades = [10.0**p for p in range(-3, 7) if field.least <= 10.0**p <= field.most]
    ticks = [(shade(v, field), f"{v:g}") for v in decades]
    scale.getAxis("bottom").setTicks([ticks, []])
    scale.getAxis("bottom").setLabel(field.unit, color=theme.colour("ink").name())
    scale.getAxis("bottom").label.setFont(fonts.font(fonts.SMALL_PX))


def _mixed(part: float) -> tuple[int, int, int]:
    """Return the colour at a part of the map, between its nine steps."""
    at = part * (len(CIVIDIS) - 1)
    low = min(int(at), len(CIVIDIS) - 2)
    first, second = CIVIDIS[low], CIVIDIS[low + 1]
    r, g, b = (round(a + (c - a) * (at - low)) for a, c in zip(first, second, strict=True))
    return r, g, b


def _short(value: float) -> str:
    size = abs(value)
    return "0" if size < 0.05 else f"{value:.1f}" if size < 9.95 else f"{value:.0f}"
