"""The stock as a page of the drawer: a line to search in, recent things first, each to be clicked or dragged out."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QListView, QVBoxLayout, QWidget

from harness_studio.desktop.rows import ABOUT, ASIDE, TitleRows
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme
from harness_studio.model.drawing.stock import find
from harness_studio.session.session import Session

from .recent import recent

HINT = (
    "Click a row, then the paper; or drag it there. Enter hangs it at the arrow keys. "
    "1 to 9 take a recent one again."
)
_LIST_KEYS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)


class StockPage(QWidget):
    """The page.

    `taken` names what shall hang at the pointer; `dragged` and `dropped` tell where in the whole screen it is pulled.
    """

    title = "Stock"
    keeps_open = True
    holds = True
    taken = Signal(str)
    dragged = Signal(str, QPointF)
    dropped = Signal(QPointF)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.line = QLineEdit(self)
        self.line.setFont(fonts.font(fonts.TEXT_PX))
        self.line.setPlaceholderText("lamp, fuse 15, 2 x 4, round 7 …")
        self.line.setAccessibleName("Search the stock")
        self.line.textChanged.connect(self._fill)
        self.line.installEventFilter(self)
        self._model = QStandardItemModel(self)
        self.list = QListView(self)
        self.list.setModel(self._model)
        self.list.setItemDelegate(TitleRows(self.list))
        self.list.setAccessibleName("Stock")
        self.list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.list.setUniformItemSizes(False)
        self.list.installEventFilter(self)
        self.list.viewport().installEventFilter(self)
        hint = QLabel(HINT, self)
        hint.setObjectName("quiet")
        hint.setWordWrap(True)
        hint.setFont(fonts.font(fonts.SMALL_PX + 1))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 8, 14, 8)
        layout.addWidget(self.line)
        layout.addWidget(hint)
        layout.addWidget(self.list, 1)
        self._pressed: tuple[str, QPoint] | None = None
        self._pulled = False
        self._fill("")

    def show_session(self, session: Session) -> None:
        """Show nothing else: the stock is the same for every harness."""

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.list.viewport().update()

    def refresh(self) -> None:
        """List again, recent things first."""
        self._fill(self.line.text())

    @property
    def rows(self) -> list[str]:
        """Short names of what is listed."""
        return [self._model.item(i).data(Qt.ItemDataRole.UserRole) for i in range(self._model.rowCount())]

    def _fill(self, text: str) -> None:
        self._model.clear()
        now = recent()
        for item in find(text, now):
            row = QStandardItem(item.title)
            number = now.index(item.key) + 1 if item.key in now else None
            aside = f"{number}" if number is not None else item.group
            row.setData(item.key, Qt.ItemDataRole.UserRole)
            row.setData("", ABOUT)
            row.setData(aside, ASIDE)
            again = f", number key {number}" if number is not None else ""
            row.setAccessibleText(f"{item.title}, {item.group}{again}")
            self._model.appendRow(row)
        self.list.setCurrentIndex(self._model.index(0, 0))

    def _current(self) -> str | None:
        item = self._model.itemFromIndex(self.list.currentIndex())
        return str(item.data(Qt.ItemDataRole.UserRole)) if item is not None else None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take by Enter, walk the list from the line, and pull rows out with the mouse."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            return self._key(watched, event)
        if watched is self.list.viewport() and isinstance(event, QMouseEvent):
            return self._mouse(event)
        return super().eventFilter(watched, event)

    def _key(self, watched: QObject, event: QKeyEvent) -> bool:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            key = self._current()
            if key is not None:
                self.taken.emit(key)
            return True
        if watched is self.line and event.key() in _LIST_KEYS:
            self.list.keyPressEvent(event)
            return True
        return False

    def _mouse(self, event: QMouseEvent) -> bool:
        kind, at = event.type(), event.position().toPoint()
        if kind == QEvent.Type.MouseButtonPress and event.button() == Qt.MouseButton.LeftButton:
            index = self.list.indexAt(at)
            item = self._model.itemFromIndex(index)
            self._pressed = (str(item.data(Qt.ItemDataRole.UserRole)), at) if item is not None else None
            self._pulled = False
        elif kind == QEvent.Type.MouseMove and self._pressed is not None:
            key, start = self._pressed
            far = (at - start).manhattanLength() >= QApplication.startDragDistance()
            self._pulled = self._pulled or far
            if self._pulled:
                self.dragged.emit(key, event.globalPosition())
                return True
        elif kind == QEvent.Type.MouseButtonRelease and self._pressed is not None:
            (key, _), self._pressed = self._pressed, None
            if self._pulled:
                self.dropped.emit(event.globalPosition())
                return True
            self.list.setCurrentIndex(self.list.indexAt(at))
            self.taken.emit(key)
        return False
