"""One panel on a pyqtgraph layout: axes, lines, bars, notes, and the line that says where one stands now."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor

from harness_studio.drawing import fonts

from .draw_notes import Notes
from .keys import DASHES, Keys
from .plot import Axis, Panel

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme


def draw_panel(view: pg.GraphicsLayoutWidget, row: int, panel: Panel, theme: Theme) -> pg.PlotItem:
    """Draw a panel as a row of a layout and return it."""
    item = view.addPlot(row=2 * row + 1, col=0)
    view.ci.layout.setRowStretchFactor(2 * row + 1, panel.weight)
    plain(item, theme)
    _axes(item, panel, theme)
    if panel.legend:
        view.addItem(Keys(panel.lines, theme), row=2 * row, col=0)
    for line in panel.lines:
        x = [_at(v, panel.x) for v in line.x]
        y = [math.nan if v is None else _at(v, panel.y) for v in line.y]
        pen = pg.mkPen(theme.colour(line.role), width=line.width, style=DASHES[line.dash])
        item.plot(
            np.array(x), np.array(y), pen=pen, name=line.name, connect="finite", antialias=True,
            symbol=line.mark or None, symbolSize=6, symbolPen=pg.mkPen(theme.colour(line.role)),
            symbolBrush=theme.colour("card"),
        )  # fmt: skip
    if panel.bars:
        _bars(item, panel, theme)
    if panel.notes:
        places = [QPointF(_at(note.x, panel.x), _at(note.y, panel.y)) for note in panel.notes]
        item.notes = Notes(item, panel.notes, places, theme)
    if panel.here is not None:
        at, said = panel.here
        pen = pg.mkPen(theme.colour("ink"), width=1, style=Qt.PenStyle.DashDotLine)
        options = {"position": 0.06, "color": theme.colour("ink"), "movable": False, "fill": _veil(theme)}
        line = pg.InfiniteLine(_at(at, panel.x), 90, pen=pen, label=said or None, labelOpts=options)
        if said:
            line.label.setFont(fonts.font(fonts.SMALL_PX))
        item.addItem(line, ignoreBounds=True)
    return item


def plain(item: pg.PlotItem, theme: Theme) -> None:
    """Take away what pyqtgraph adds by itself, and put on the program's colours and type."""
    item.setMenuEnabled(False)
    item.hideButtons()
    item.setMouseEnabled(x=False, y=False)
    for name in ("left", "bottom"):
        axis = item.getAxis(name)
        axis.setPen(pg.mkPen(theme.colour("muted"), width=1))
        axis.setTextPen(theme.colour("ink"))
        axis.setStyle(tickFont=fonts.font(fonts.SMALL_PX), tickLength=-5)
        axis.label.setFont(fonts.font(fonts.SMALL_PX))
        axis.enableAutoSIPrefix(False)


def _axes(item: pg.PlotItem, panel: Panel, theme: Theme) -> None:
    if panel.title:
        item.setTitle(panel.title, color=theme.colour("ink"), size="9.5pt")
        item.titleLabel.item.setFont(fonts.font(fonts.SMALL_PX + 1, fonts.STRONG))
    for name, axis, values in (
        ("bottom", panel.x, [v for line in panel.lines for v in line.x]),
        ("left", panel.y, [v for line in panel.lines for v in line.y if v is not None]),
    ):
        drawn = item.getAxis(name)
        if axis.label:
            drawn.setLabel(axis.label, color=theme.colour("ink").name())
            drawn.label.setFont(fonts.font(fonts.SMALL_PX))
        if axis.ticks is not None:
            drawn.setTicks([[(_at(at, axis), words) for at, words in axis.ticks], []])
            if name == "bottom":
                drawn.setStyle(hideOverlappingLabels=False)
                drawn.setHeight(40 if axis.label else 20)
        elif axis.log:
            drawn.setTicks(_log_ticks(axis, values))
        if axis.least is not None and axis.most is not None:
            limits = (_at(axis.least, axis), _at(axis.most, axis))
            (item.setXRange if name == "bottom" else item.setYRange)(*limits, padding=0.0)
    tall = [v for line in panel.lines for v in line.y if v is not None]
    if tall and not panel.y.log and panel.y.least is None:
        room = (max(tall) - min(tall) or 1.0) * 0.1
        item.setYRange(min(tall) - room / 2, max(tall) + room * 1.5, padding=0.0)
    if not panel.bars:
        item.showGrid(x=panel.x.ticks is None or panel.x.log, y=True, alpha=0.16)


def _log_ticks(axis: Axis, values: Sequence[float]) -> list[list[tuple[float, str]]]:
    above = [v for v in values if v > 0]
    least = axis.least if axis.least is not None else min(above, default=1.0)
    most = axis.most if axis.most is not None else max(above, default=10.0)
    low, high = math.floor(math.log10(least)), math.ceil(math.log10(most))
    major = [(float(d), f"{10.0**d:g}") for d in range(low, high + 1)]
    if high - low <= 2:
        major += [(d + math.log10(m), f"{m * 10.0**d:g}") for d in range(low, high) for m in (2, 5)]
    return [major, [(d + math.log10(m), "") for d in range(low, high) for m in range(2, 10)]]


def _bars(item: pg.PlotItem, panel: Panel, theme: Theme) -> None:
    item.invertY(True)
    rows = [float(b.row) for b in panel.bars]
    item.setYRange(-0.7, max(rows) + 0.7, padding=0.0)
    item.addItem(
        pg.BarGraphItem(
            x0=[min(0.0, b.value) for b in panel.bars],
            y=rows,
            width=[abs(b.value) for b in panel.bars],
            height=0.56,
            brushes=[theme.colour(b.role) for b in panel.bars],
            pen=pg.mkPen(None),
        )
    )
    two_ways = any(b.value < 0 for b in panel.bars)
    for bar in panel.bars:
        past = bar.tick is not None and bar.tick * 0.55 < bar.value < bar.tick
        at = bar.tick if past and bar.tick is not None else max(0.0, bar.value)
        left = two_ways and bar.value > 0
        words = pg.TextItem(
            bar.words, color=theme.colour("ink"), anchor=(1.03, 0.5) if left else (-0.03, 0.5)
        )
        words.setFont(fonts.font(fonts.SMALL_PX))
        words.setPos(0.0 if left else at, bar.row)
        item.addItem(words, ignoreBounds=True)
        if bar.tick is not None:
            pen = pg.mkPen(theme.colour("ink"), width=2)
            item.plot([bar.tick, bar.tick], [bar.row - 0.4, bar.row + 0.4], pen=pen)
    if two_ways:
        item.addItem(
            pg.InfiniteLine(0.0, 90, pen=pg.mkPen(theme.colour("muted"), width=1)), ignoreBounds=True
        )


def _at(value: float, axis: Axis) -> float:
    if not axis.log:
        return value
    return math.log10(value) if value > 0 else math.nan


def _veil(theme: Theme) -> QColor:
    colour = QColor(theme.colour("card"))
    colour.setAlphaF(0.82)
    return colour
