"""Before and after as bars: how far each reading stood from a clean harness, and stands now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QAbstractScrollArea, QVBoxLayout, QWidget

from harness_studio.casebook.after import value_of
from harness_studio.casebook.before_after import Pair
from harness_studio.diagram.words import millivolts
from harness_studio.drawing.theme import Theme, light
from harness_studio.session.case_words import UNITS, number_words, value_words, where_words

if TYPE_CHECKING:
    from harness_studio.desktop.plots.chart import Chart
    from harness_studio.desktop.plots.plot import Plot

ROW_PX, HEAD_PX = 24, 120


def plot_of(pairs: Sequence[Pair]) -> Plot | None:
    """Return the plot of the pairs that were taken again; None while there is none."""
    from harness_studio.desktop.plots.plot import Axis, Bar, Panel, Plot, Spot

    told = [p for p in pairs if p.clean is not None and value_of(p.after) is not None]
    if not told:
        return None
    bars, spots, ticks, rows = [], [], [], []
    for number, pair in enumerate(told):
        unit = UNITS[pair.before.kind]
        scale = 1e3 if unit == "V" else 1.0
        clean = pair.clean or 0.0
        for part, reading, role in ((0, pair.before, "stop"), (1, pair.after, "accent")):
            value = value_of(reading)
            if reading is None or value is None:
                continue
            row = 3 * number + part
            away = abs(value - clean) * scale
            name = "before" if part == 0 else "after"
            said = f"{where_words(pair.before)}, {name}: {value_words(reading)}, clean {clean:.3g} {unit}"
            bars.append(Bar(row, away, millivolts(away), role))
            spots.append(Spot(away, float(row), said))
            ticks.append((float(row), f"{(pair.before.plus or pair.before.at or '?')} {name}"))
            rows.append((where_words(pair.before), name, number_words(value), unit, away))
    most = max(b.value for b in bars) * 1.3 or 1.0
    panel = Panel(
        "", Axis("mV away from a clean harness", least=0.0, most=most), Axis("", ticks=tuple(ticks)),
        bars=tuple(bars), spots=tuple(spots),
    )  # fmt: skip
    head = ("pair", "when", "value", "unit", "mV away from clean")
    return Plot(
        "Before and after the mend", "each pair as it was and as it is", (panel,), None, head, tuple(rows)
    )


class AfterPlot(QWidget):
    """The plot; nothing is loaded and nothing shown until a pair was taken again."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chart: Chart | None = None
        self._plot: Plot | None = None
        self._theme: Theme = light()
        self._drawn: Theme | None = None
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        self.hide()

    def show_pairs(self, pairs: Sequence[Pair]) -> None:
        """Show pairs."""
        plot = plot_of(pairs)
        self.setVisible(plot is not None)
        if plot is None or (plot == self._plot and self._drawn is self._theme):
            return
        self._plot = plot
        if self.chart is None:
            from harness_studio.desktop.plots.chart import Chart

            self.chart = Chart(self)
            layout = self.layout()
            assert layout is not None
            layout.addWidget(self.chart)
        self.chart.setFixedHeight(HEAD_PX + ROW_PX * len(plot.rows))
        self.chart.show_plot(plot, self._theme)
        for view in self.chart.findChildren(QAbstractScrollArea):
            view.viewport().installEventFilter(self)
        self._drawn = self._theme

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave the wheel to the page around: what is below the plot must be reached over it."""
        if event.type() == QEvent.Type.Wheel:
            event.ignore()
            return True
        return super().eventFilter(watched, event)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme when next shown."""
        self._theme = theme
        if self.chart is not None and self._plot is not None:
            self.chart.show_plot(self._plot, theme)
            self._drawn = theme
