"""Laid-out pages as one vector PDF with embedded fonts and bookmarks."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, QSizeF
from PySide6.QtGui import QFont, QPageSize, QPainter, QPdfWriter, QTransform

from harness_studio.base.errors import HarnessError
from harness_studio.drawing.strokes import Strokes, Text, paint

from . import lettering
from .inks import on_white
from .leaf import Leaf
from .paper import Paper

DPI = 1200
PX_PER_MM = DPI / 25.4
_PT_PER_MM = 72 / 25.4
Progress = Callable[[int, int], bool]
"""Called with pages done and pages in all; False stops."""


class Stopped(HarnessError):
    """Printing was cancelled."""


def pdf(leaves: Sequence[Leaf], title: str, progress: Progress | None = None) -> bytes:
    """Return the pages as a PDF file.

    Raises
    ------
    Stopped
        If `progress` says so.
    HarnessError
        If Qt cannot write.
    """
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DPI)
    writer.setTitle(title)
    writer.setCreator("Harness Studio")
    _set_paper(writer, leaves[0].paper)
    painter = QPainter()
    if not painter.begin(writer):
        raise HarnessError("no PDF can be written: the PDF writer does not start")
    fonts: dict[tuple[int, int], QFont] = {}
    try:
        for number, leaf in enumerate(leaves):
            if progress and not progress(number, len(leaves)):
                raise Stopped("stopped; nothing was written")
            if number:
                _set_paper(writer, leaf.paper)
                writer.newPage()
            draw_page(painter, leaf, PX_PER_MM, fonts)
    finally:
        painter.end()
    return _finished(bytes(buffer.data().data()), leaves)


def _set_paper(writer: QPdfWriter, paper: Paper) -> None:
    size = QSizeF(paper.width_mm, paper.height_mm)
    writer.setPageSize(
        QPageSize(size, QPageSize.Unit.Millimeter, paper.name, QPageSize.SizeMatchPolicy.ExactMatch)
    )
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))


def draw_page(painter: QPainter, leaf: Leaf, px_per_mm: float, fonts: dict[tuple[int, int], QFont]) -> None:
    """Draw a page at a scale, on paper or on a screen; `fonts` keeps what was prepared for that scale."""
    theme = on_white()
    before = painter.transform()
    painter.setTransform(QTransform.fromScale(px_per_mm, px_per_mm), True)
    for picture in leaf.pictures:
        box = picture.box
        painter.drawImage(QRectF(box.left_mm, box.top_mm, box.width_mm, box.height_mm), picture.image)
    for window in leaf.windows:
        painter.save()
        box = window.box
        painter.setClipRect(QRectF(box.left_mm, box.top_mm, box.width_mm, box.height_mm))
        paint(painter, window.ink, theme)
        painter.restore()
    paint(painter, Strokes(tuple(leaf.strokes)), theme)
    painter.setTransform(before)
    for text, upwards in [*((t, False) for t in leaf.texts), *((t, True) for t in leaf.upwards)]:
        px = round(text.size_mm * px_per_mm)
        font = fonts.get((px, text.weight))
        if font is None:
            font = fonts[px, text.weight] = lettering.font(px, text.weight)
        painter.setFont(font)
        painter.setPen(theme.colour(text.colour))
        if upwards:
            painter.save()
            painter.translate(text.x_mm * px_per_mm, text.y_mm * px_per_mm)
            painter.rotate(-90)
            own = replace(text, x_mm=0.0, y_mm=0.0)
        else:
            own = text
        painter.drawText(QPointF(left_mm(own) * px_per_mm, baseline_mm(own) * px_per_mm), own.text)
        if own is not text:
            painter.restore()


def left_mm(text: Text) -> float:
    """Return where a text begins."""
    wide = lettering.width_mm(text.text, text.size_mm, text.weight)
    return text.x_mm - {"left": 0.0, "middle": wide / 2, "right": wide}[text.align]


def baseline_mm(text: Text) -> float:
    """Return the height of a text's baseline: its anchor is the middle of its capitals."""
    return text.y_mm + lettering.cap_share(text.weight) * text.size_mm / 2


def _finished(content: bytes, leaves: Sequence[Leaf]) -> bytes:
    """Add bookmarks, and the exact page size: Qt rounds it to whole points."""
    import pypdf
    from pypdf.generic import RectangleObject

    writer = pypdf.PdfWriter(clone_from=io.BytesIO(content))
    parent = None
    for number, leaf in enumerate(leaves):
        page = writer.pages[number]
        top = float(page.mediabox.top)
        exact = RectangleObject(
            (0, top - leaf.paper.height_mm * _PT_PER_MM, leaf.paper.width_mm * _PT_PER_MM, top)
        )
        for name in ("/MediaBox", "/CropBox", "/TrimBox"):
            page[pypdf.generic.NameObject(name)] = exact
        for level, title in leaf.marks:
            item = writer.add_outline_item(title=title, page_number=number, parent=parent if level else None)
            parent = parent if level else item
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
