"""Notes on the diagram: a card with what somebody wrote, and a leader to what it is about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from harness_studio.drawing import fonts
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme

from .ranks import place_of_anything

if TYPE_CHECKING:
    from collections.abc import Iterable

    from harness_studio.model.entities import Annotation

    from .scene import Scene

WIDEST_PX, PAD_PX, DOT_PX = 190.0, 6.0, 3.0
LEAST_ZOOM = 0.62
"""Below this only a dot says that there is a note."""


@dataclass(frozen=True, slots=True)
class NoteCard:
    """A note: what it is on, its words, and where its card stands from there, in mm of the page."""

    on: str
    text: str
    offset_mm: tuple[float, float]


NoteCards = tuple[NoteCard, ...]


def cards_of(notes: Iterable[Annotation]) -> NoteCards:
    """Return the cards of notes."""
    return tuple(NoteCard(n.on, n.text, n.offset_mm) for n in notes)


def paint_notes(
    painter: QPainter, scene: Scene, at: Pixels, theme: Theme, cards: NoteCards, *, dots: bool = False
) -> None:
    """Paint the cards of what stands on this page; `dots` leaves the cards away, which would cover what is in front."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    r = at.ratio
    font = fonts.font((fonts.SMALL_PX + 1) * r)
    metrics = QFontMetricsF(font)
    painter.setFont(font)
    for card in cards:
        place = place_of_anything(scene, card.on)
        if place is None:
            continue
        spot = QPointF(at.x(place.x_mm), at.y(place.y_mm))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.brush("accent"))
        painter.drawEllipse(spot, DOT_PX * r, DOT_PX * r)
        if dots or at.zoom < LEAST_ZOOM:
            continue
        corner = QPointF(at.x(place.x_mm + card.offset_mm[0]), at.y(place.y_mm + card.offset_mm[1]))
        room = QRectF(0, 0, WIDEST_PX * r, 2000 * r)
        flags = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)
        inside = metrics.boundingRect(room, flags, card.text)
        box = QRectF(0, 0, inside.width() + 2 * PAD_PX * r, inside.height() + 2 * PAD_PX * r)
        left = corner.x() if card.offset_mm[0] >= 0 else corner.x() - box.width()
        top = corner.y() - box.height() if card.offset_mm[1] < 0 else corner.y()
        box.moveTo(left, top)
        pen = QPen(theme.colour("accent"), 1.2 * r)
        painter.setPen(pen)
        painter.drawLine(spot, corner)
        painter.setBrush(theme.brush("card"))
        painter.drawRoundedRect(box, 3 * r, 3 * r)
        painter.setPen(theme.colour("ink"))
        painter.drawText(box.adjusted(PAD_PX * r, PAD_PX * r, -PAD_PX * r + 1, 0), flags, card.text)
