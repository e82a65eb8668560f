"""The drawer's page that lists the pages of the diagram; Enter shows one, F2 renames it in place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDropEvent, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.diagram.words import counted

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.session import Session

_ID = Qt.ItemDataRole.UserRole
BUTTONS = (
    ("page_new", "New, with what is selected"),
    ("page_circuit", "Of a circuit…"),
    ("page_ground", "Of a ground…"),
    ("page_zone", "Of a zone…"),
    ("page_put", "Put the selection on it"),
    ("page_take", "Take the selection off"),
    ("page_rename", "Rename"),
    ("page_remove", "Remove"),
)


class _List(QListWidget):
    """Enter shows the current page, Delete removes it; pulled, or by Alt with Up and Down, it goes elsewhere."""

    removed = Signal()
    taken = Signal(int)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter, Delete and the keys that reorder, unless a name is being typed."""
        by = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()))
        if by is not None and event.modifiers() & Qt.KeyboardModifier.AltModifier:
            if 0 <= self.currentRow() + by < self.count():
                self.taken.emit(self.currentRow() + by)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentItem() is not None:
            self.itemClicked.emit(self.currentItem())
        elif event.key() == Qt.Key.Key_Delete:
            self.removed.emit()
        else:
            super().keyPressEvent(event)

    def dropEvent(self, event: QDropEvent) -> None:
        """Tell where the current page was let go; the list follows the harness."""
        item = self.itemAt(event.position().toPoint())
        place = self.row(item) if item is not None else self.count()
        below = QAbstractItemView.DropIndicatorPosition.BelowItem
        if item is not None and self.dropIndicatorPosition() == below:
            place += 1
        event.setDropAction(Qt.DropAction.IgnoreAction)
        event.accept()
        self.taken.emit(place - (place > self.currentRow()))


class PagesPage(QWidget):
    """`shown` has a page's id; `renamed` an id and a title; `moved` an id and its new place; `wanted` a command."""

    title = "Pages"
    shown = Signal(str)
    renamed = Signal(str, str)
    moved = Signal(str, int)
    wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.says = QLabel(self)
        self.says.setObjectName("quiet")
        self.says.setWordWrap(True)
        self.list = _List(self)
        self.list.setAccessibleName("Pages of the diagram")
        self.list.setEditTriggers(QAbstractItemView.EditTrigger.EditKeyPressed)
        self.list.itemClicked.connect(self._clicked)
        self.list.itemChanged.connect(self._typed)
        self.list.removed.connect(self._remove)
        self.list.taken.connect(self._take)
        self.list.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.page_id: str | None = None
        self._seen: object = None
        self.buttons: dict[str, QPushButton] = {}
        grid = QGridLayout()
        grid.setSpacing(4)
        for number, (command, words) in enumerate(BUTTONS):
            button = QPushButton(words, self)
            button.setObjectName("word")
            button.setProperty("command", command)
            button.clicked.connect(self._pressed)
            grid.addWidget(button, number // 2, number % 2)
            self.buttons[command] = button
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 8)
        layout.addWidget(self.says)
        layout.addWidget(self.list, 1)
        layout.addLayout(grid)

    def show_session(self, session: Session) -> None:
        """List the pages."""
        pages = session.harness.pages
        seen = (tuple(pages.items()), self.page_id)
        if seen == self._seen:
            return
        self._seen = seen
        self.says.setText(
            "A click or Enter shows a page, F2 renames it; pulled, or with Alt+Up and Alt+Down, it goes to another "
            "place. Ctrl+Page down and up go through them."
            if pages
            else "No page yet. Here one is made of a circuit, a ground, a zone, or of what is selected."
        )
        self.list.blockSignals(True)
        self.list.clear()
        for page in pages.values():
            item = QListWidgetItem(page.title or page.id)
            item.setData(_ID, page.id)
            item.setToolTip(counted(len(page.items), "symbol"))
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
            here = ", shown" if page.id == self.page_id else ""
            item.setData(
                Qt.ItemDataRole.AccessibleTextRole,
                f"{page.title or page.id}, {counted(len(page.items), 'symbol')}{here}",
            )
            self.list.addItem(item)
            if page.id == self.page_id:
                self.list.setCurrentItem(item)
        self.list.blockSignals(False)

    def set_theme(self, _theme: Theme) -> None:
        """Leave that to the palette."""

    def rename(self) -> None:
        """Let the name of the current page be typed."""
        item = self.list.currentItem()
        if item is not None:
            self.list.setFocus()
            self.list.editItem(item)

    @property
    def current(self) -> str | None:
        """The page whose line is current."""
        item = self.list.currentItem()
        return item.data(_ID) if item is not None else None

    def _clicked(self, item: QListWidgetItem) -> None:
        self.shown.emit(item.data(_ID))

    def _typed(self, item: QListWidgetItem) -> None:
        self._seen = None
        self.renamed.emit(item.data(_ID), item.text().strip())

    def _take(self, place: int) -> None:
        page_id = self.current
        if page_id is not None and place != self.list.currentRow():
            self.moved.emit(page_id, place)

    def _remove(self) -> None:
        self.wanted.emit("page_remove")

    def _pressed(self) -> None:
        self.wanted.emit(self.sender().property("command"))
