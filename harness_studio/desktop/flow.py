"""Widgets in rows that wrap where the room ends; a wide one takes rows of its own and wraps within."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget


class Flow(QWidget):
    """Holds widgets one after the other; as high as they need at its width."""

    def __init__(self, parent: QWidget | None = None, across_px: int = 22, down_px: int = 4) -> None:
        super().__init__(parent)
        self._across, self._down = across_px, down_px
        self._items: list[QWidget] = []
        self._shown: list[QWidget] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def put(self, items: Sequence[QWidget]) -> None:
        """Hold these widgets instead of those before, which are let go."""
        for old in self._items:
            if old not in items:
                old.hide()
                old.deleteLater()
        self._items = list(items)
        for item in self._items:
            item.setParent(self)
        self.show_only(self._items)

    def show_only(self, items: Sequence[QWidget]) -> None:
        """Show some of the widgets, in their order."""
        self._shown = [item for item in self._items if item in items]
        for item in self._items:
            item.setVisible(item in self._shown)
        self.arrange(self.width())

    def height_of(self, items: Sequence[QWidget], width: int) -> int:
        """Return how high some of the widgets would stand in a width."""
        return self._lay(items, width, move=False)

    def arrange(self, width: int) -> int:
        """Put the shown widgets into rows and return the height."""
        height = self._lay(self._shown, width, move=True)
        self.setFixedHeight(height)
        return height

    def _lay(self, items: Sequence[QWidget], width: int, *, move: bool) -> int:
        x = y = row = 0
        for item in items:
            wide = item if isinstance(item, Wide) else None
            size = item.sizeHint() if wide is None else wide.size_in(width)
            if x and x + size.width() > width:
                x, y, row = 0, y + row + self._down, 0
            if move:
                item.setGeometry(x, y, min(size.width(), max(width, 1)), size.height())
            row = max(row, size.height())
            x += size.width() + self._across
        return y + row

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.arrange(event.size().width())


class Wide(QWidget):
    """A name over words that wrap, in the full width; narrower where all words stand in one row."""

    def __init__(self, name: QWidget, words: Sequence[QWidget], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name = name
        self._flow = Flow(self, across_px=2, down_px=1)
        name.setParent(self)
        self._flow.put(words)

    def size_in(self, width: int) -> QSize:
        """Return the room it takes where so much width is to be had: one row if all words fit, else several."""
        words, gap = self._flow._items, self._flow._across
        one_row = sum(w.sizeHint().width() for w in words) + gap * max(0, len(words) - 1)
        taken = max(self._name.sizeHint().width(), one_row) if one_row <= width else width
        top = self._name.sizeHint().height() + 1
        return QSize(taken, top + self._flow.height_of(words, taken))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        top = self._name.sizeHint().height() + 1
        self._name.setGeometry(0, 0, self.width(), top)
        self._flow.setGeometry(0, top, self.width(), self._flow.arrange(self.width()))
