"""A line to type in and a list below it: for commands, and for finding things on the harness."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QFrame, QLabel, QLineEdit, QListView, QVBoxLayout, QWidget

from harness_studio.drawing import fonts

from .rows import ABOUT, ASIDE, TitleRows

WIDTH, MOST_ROWS = 520, 9
_LIST_KEYS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list: what is picked, its title, a second line, and a note at the right."""

    id: str
    title: str
    about: str = ""
    aside: str = ""
    able: bool = True


class Finder(QFrame):
    """Lies over its parent at the top, takes the keys, and goes when something was picked or Escape pressed."""

    picked = Signal(str)
    closed = Signal()

    def __init__(self, over: QWidget, name: str, hint: str, find: Callable[[str], list[Row]]) -> None:
        super().__init__(over)
        self._over = over
        self._under: QPoint | None = None
        self.setObjectName("finder")
        self._find = find
        self._line = QLineEdit(self)
        self._line.setFont(fonts.font(fonts.TEXT_PX + 1))
        self._line.setPlaceholderText(hint)
        self._line.setAccessibleName(name)
        self._line.textChanged.connect(self._fill)
        self._line.installEventFilter(self)
        self._model = QStandardItemModel(self)
        self._list = QListView(self)
        self._list.setModel(self._model)
        self._list.setItemDelegate(TitleRows(self._list))
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.setAccessibleName(f"{name}: results")
        self._list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self._list.clicked.connect(self._pick)
        self._nothing = QLabel(self)
        self._nothing.setContentsMargins(12, 4, 12, 6)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(1, 1, 1, 6)
        layout.setSpacing(4)
        layout.addWidget(self._line)
        layout.addWidget(self._nothing)
        layout.addWidget(self._list)
        self.hide()

    @property
    def line(self) -> QLineEdit:
        """Where one types."""
        return self._line

    @property
    def rows(self) -> list[str]:
        """Ids of what is listed."""
        return [self._model.item(i).data(Qt.ItemDataRole.UserRole) for i in range(self._model.rowCount())]

    @property
    def nothing(self) -> str:
        """What is said where nothing is found."""
        return "" if self._nothing.isHidden() else self._nothing.text()

    def open(self, under: QPoint | None = None) -> None:
        """Come up, empty: at the top in the middle, or under a place of what it lies over."""
        self._under = under
        self._line.clear()
        self._fill("")
        self.show()
        self.raise_()
        self._line.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _fill(self, text: str) -> None:
        self._model.clear()
        for row in self._find(text):
            item = QStandardItem(row.title)
            item.setData(row.id, Qt.ItemDataRole.UserRole)
            item.setData(row.about, ABOUT)
            item.setData(row.aside, ASIDE)
            item.setEnabled(row.able)
            item.setAccessibleText(", ".join(t for t in (row.title, row.about, row.aside) if t))
            self._model.appendRow(item)
        self._list.setCurrentIndex(self._model.index(0, 0))
        self._list.setVisible(self._model.rowCount() > 0)
        self._nothing.setText(f"Nothing fits '{text.strip()}'.")
        self._nothing.setVisible(bool(text.strip()) and not self._model.rowCount())
        self._place()

    def _place(self) -> None:
        width = min(WIDTH, self._over.width() - 40)
        heights = [self._list.sizeHintForRow(i) for i in range(min(MOST_ROWS, self._model.rowCount()))]
        self._list.setFixedHeight(sum(heights) + 4)
        height = self._line.sizeHint().height() + sum(heights) + 22
        if not self._nothing.isHidden():
            height += self._nothing.sizeHint().height()
        x, y = (self._over.width() - width) // 2, 14
        if self._under is not None:
            x = max(4, min(self._under.x() + 10, self._over.width() - width - 4))
            y = max(4, min(self._under.y() + 10, self._over.height() - height - 4))
        self.setGeometry(x, y, width, height)

    def _pick(self) -> None:
        index = self._list.currentIndex()
        item = self._model.itemFromIndex(index)
        if item is not None and item.isEnabled():
            self.shut()
            self.picked.emit(item.data(Qt.ItemDataRole.UserRole))

    def shut(self) -> None:
        """Go without picking."""
        if self.isVisible():
            self.hide()
            self.closed.emit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Send the keys that belong to the list there, and go when the line loses the keys."""
        if watched is self._line and event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() in _LIST_KEYS:
                self._list.keyPressEvent(event)
                return True
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self._pick()
                return True
            if event.key() == Qt.Key.Key_Escape:
                self.shut()
                return True
        if watched is self._line and event.type() == QEvent.Type.FocusOut:
            self.shut()
        return super().eventFilter(watched, event)
