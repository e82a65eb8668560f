"""Words at places of a panel: the first one always has room, none is cut off, none stands on another."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF

from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme

from .plot import Note

_SIDES = {
    "right": ((-0.04, 1.0), (-0.04, 0.0), (1.04, 1.0), (1.04, 0.0)),
    "left": ((1.04, 0.0), (1.04, 1.0), (-0.04, 0.0), (-0.04, 1.0)),
}
"""Which point of the words lies at their place, as parts of width and height: the wanted one first."""


class Notes:
    """Stands the words of a panel anew whenever its size or range is another.

    Parameters
    ----------
    notes, places
        The most important first; where they belong, in the units of the axes.
    """

    def __init__(
        self, item: pg.PlotItem, notes: Sequence[Note], places: Sequence[QPointF], theme: Theme
    ) -> None:
        self._box = item.getViewBox()
        self.shown: list[tuple[pg.TextItem, Note, QPointF]] = []
        for note, place in zip(notes, places, strict=True):
            words = pg.TextItem(note.words, color=theme.colour(note.role), anchor=_SIDES[note.side][0])
            words.setFont(fonts.font(fonts.SMALL_PX, fonts.STRONG))
            words.setPos(place)
            item.addItem(words, ignoreBounds=True)
            self.shown.append((words, note, place))
        self._box.sigResized.connect(self.arrange)
        self._box.sigRangeChanged.connect(self.arrange)

    def arrange(self, *_: object) -> None:
        """Stand each beside its place where it has room; one that has none is left to be pointed at."""
        within, taken = self._box.rect(), list[QRectF]()
        for words, note, place in self.shown:
            at, size = self._box.mapFromView(place), words.textItem.boundingRect()
            found = next(
                (
                    (anchor, box)
                    for anchor in _SIDES[note.side]
                    if within.contains(box := _box_at(at, anchor, size))
                    and not any(box.intersects(other) for other in taken)
                ),
                None,
            )
            words.setVisible(found is not None)
            if found is not None:
                words.setAnchor(found[0])
                taken.append(found[1])


def _box_at(at: QPointF, anchor: tuple[float, float], size: QRectF) -> QRectF:
    width, height = size.width(), size.height()
    return QRectF(at.x() - anchor[0] * width, at.y() - anchor[1] * height, width, height)
