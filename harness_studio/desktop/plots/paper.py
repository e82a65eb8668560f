"""A plot on a printed page: light paper, vectors, its source and the caution below it."""

from __future__ import annotations

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, Qt
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

from harness_studio.base.errors import HarnessError
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import light

from .chart import Chart
from .plot import Plot

DPI = 96
"""That of the screen, on which pyqtgraph keeps its axes and bars as recordings; the page is drawn as vectors anyway."""
MARGIN_MM = 12.0
CHART_PX = (1120, 640)
CAUTION = (
    "Planning aid: measured values, the vehicle maker's data, local codes and licensed practice come first."
)


def plot_pdf(plot: Plot, harness_title: str) -> bytes:
    """Return a plot as a page of A4, lying.

    Raises
    ------
    HarnessError
        If Qt cannot write.
    """
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DPI)
    writer.setTitle(f"{harness_title}: {plot.title}")
    writer.setCreator("Harness Studio")
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    writer.setPageOrientation(QPageLayout.Orientation.Landscape)
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    chart = Chart()
    try:
        chart.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
        chart.resize(*CHART_PX)
        chart.show()  # off the screen: only what is shown is laid out
        chart.show_plot(plot, light())
        chart.lay_out()
        painter = QPainter()
        if not painter.begin(writer):
            raise HarnessError("no PDF can be written: the PDF writer does not start")
        try:
            _page(painter, plot, harness_title, chart)
        finally:
            painter.end()
    finally:
        chart.hide()
        chart.deleteLater()
    return bytes(buffer.data().data())


def _page(painter: QPainter, plot: Plot, harness_title: str, chart: Chart) -> None:
    mm = DPI / 25.4
    wide, high = 297.0 - 2 * MARGIN_MM, 210.0 - 2 * MARGIN_MM
    ink, muted = light().colour("ink"), light().colour("muted")

    def write(text: str, top_mm: float, size_mm: float, weight: int, colour: object) -> None:
        painter.setFont(fonts.font(size_mm * mm, weight))
        painter.setPen(colour)  # type: ignore[call-overload]
        box = QRectF(MARGIN_MM * mm, top_mm * mm, wide * mm, size_mm * 2.8 * mm)
        painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap), text)

    write(f"{harness_title}: {plot.title}", MARGIN_MM, 5.2, fonts.BOLD, ink)
    write(plot.about, MARGIN_MM + 8.0, 3.6, fonts.REGULAR, ink)
    chart.paint_on(painter, QRectF(MARGIN_MM * mm, (MARGIN_MM + 16.0) * mm, wide * mm, (high - 30.0) * mm))
    if plot.source:
        write(f"Source: {plot.source}", MARGIN_MM + high - 12.0, 2.5, fonts.REGULAR, muted)
    write(CAUTION, MARGIN_MM + high - 4.0, 2.5, fonts.REGULAR, muted)
