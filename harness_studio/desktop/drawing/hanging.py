"""What hangs at the pointer: taken from the stock by click, drag, key or command, put down on the diagram."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QCursor

from harness_studio.base.geometry import Point
from harness_studio.desktop.finder import Finder, Row
from harness_studio.diagram.gestures.place import Place
from harness_studio.model.drawing.stock import StockItem, find, item_of
from harness_studio.model.harness import Harness

from .recent import recent, taken
from .stock_page import StockPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window


class Hanging:
    """Lets things of the stock and of the clipboard hang at the pointer."""

    def __init__(self, window: Window, page: StockPage) -> None:
        self._window = window
        self._page = page
        self._dragged: str | None = None
        self.finder = Finder(
            window.stack, "Place something from the stock", "lamp, fuse 15, 2 x 4 …", self._found
        )
        self.finder.picked.connect(self.take)
        self.finder.closed.connect(window.diagram.setFocus)
        page.taken.connect(self.take)
        page.dragged.connect(self._drag)
        page.dropped.connect(self._drop)
        window.diagram.repeat = self.repeat

    def _found(self, text: str) -> list[Row]:
        return stock_rows(text)

    def open_page(self) -> None:
        """Open the stock and give its line the keys."""
        self._window.drawer.call_up("stock")
        self._page.line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._page.line.selectAll()

    def repeat(self, number: int) -> None:
        """Take a recent thing again, 0 for the first."""
        now = recent()
        if number < len(now):
            self.take(now[number])
        else:
            self._window.tell(f"Nothing was taken from the stock yet for the number key {number + 1}.")

    def take(self, key: str) -> None:
        """Let a thing of the stock hang at the pointer, or in the middle of the paper for the keyboard."""
        item = item_of(key)
        if item is not None:
            self.hang(item.make(self._window.session.harness), f"place {item.title}", item)

    def hang(self, piece: Harness, words: str, item: StockItem | None = None) -> None:
        """Let a piece hang at the pointer until it is put down."""
        diagram = self._window.diagram

        def done(ids: Sequence[str]) -> None:
            if item is not None:
                taken(item.key)
                self._page.refresh()
            self._window.session.select(ids if item is None else ids[:1])

        diagram.begin(None)
        diagram.begin(Place(diagram, piece, words, done, self._start()))
        diagram.setFocus(Qt.FocusReason.OtherFocusReason)
        diagram.update()

    def _start(self) -> Point:
        diagram = self._window.diagram
        at = diagram.mapFromGlobal(QCursor.pos())
        if not diagram.rect().contains(at):
            at = QPoint(diagram.width() // 2, diagram.height() // 2)
        return diagram.camera.at(at.x(), at.y())

    def _drag(self, key: str, place: QPointF) -> None:
        diagram = self._window.diagram
        if self._dragged != key:
            self._dragged = key
            self.take(key)
        if diagram.gesture is not None:
            diagram.gesture.move(diagram.mapFromGlobal(place))

    def _drop(self, place: QPointF) -> None:
        """Put down what was pulled out of the list; beside the paper nothing is put down."""
        self._dragged = None
        diagram = self._window.diagram
        at = diagram.mapFromGlobal(place)
        gesture = diagram.gesture
        if isinstance(gesture, Place) and diagram.rect().contains(at.toPoint()):
            gesture.move(at)
            gesture.key(Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier)
        else:
            diagram.begin(None)


def stock_rows(text: str) -> list[Row]:
    """Return the stock as rows of a list, recent things first."""
    now = recent()
    return [
        Row(item.key, item.title, "", str(now.index(item.key) + 1) if item.key in now else item.group)
        for item in find(text, now)
    ]
