"""The table itself: keys of a spreadsheet, and a cell's editor that can write into all selected rows."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from harness_studio.drawing import fonts

from .model import Things

_ROW_PX = 24
_WIDTHS = {
    "note": 180, "from": 92, "to": 92, "circuit": 110, "title": 150, "runs": 110, "mates": 60, "ratings": 170,
    "stack": 130, "place": 110, "kind": 100, "done": 110, "mount": 130, "ends": 120, "made by": 104,
}  # fmt: skip
_CONTROL = Qt.KeyboardModifier.ControlModifier


class Cells(QStyledItemDelegate):
    """Edits a cell in a line. Ctrl+Enter writes what is typed into the column of all selected rows."""

    def __init__(self, table: Table, to_all: Callable[[int, str], object]) -> None:
        super().__init__(table)
        self._table, self._to_all = table, to_all

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        """Return a line to type in."""
        line = QLineEdit(parent)
        line.setFrame(False)
        line.setFont(fonts.font(fonts.TEXT_PX))
        model = self._table.things
        line.setAccessibleName(f"{model.column(index.column()).name} of {model.ids[index.row()]}")
        return line

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take Ctrl+Enter for all selected rows."""
        if (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and isinstance(watched, QLineEdit)
        ):
            enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            if enter and event.modifiers() & _CONTROL:
                column, text = self._table.currentIndex().column(), watched.text()
                self.closeEditor.emit(watched, QStyledItemDelegate.EndEditHint.RevertModelCache)
                self._to_all(column, text)
                return True
            if enter:
                index = self._table.currentIndex()
                self.commitData.emit(watched)
                self.closeEditor.emit(watched, QStyledItemDelegate.EndEditHint.NoHint)
                self._table.go_down(index.row(), index.column())
                return True
        return super().eventFilter(watched, event)


class Table(QTableView):
    """Rows of things; the ids stand fixed at the left while the columns scroll."""

    def __init__(
        self,
        parent: QWidget,
        things: Things,
        to_all: Callable[[int, str], object],
        calls: Mapping[str, Callable[[], object]],
    ) -> None:
        super().__init__(parent)
        self.things, self._calls = things, calls
        self.setModel(things)
        self.setItemDelegate(Cells(self, to_all))
        self.setFont(fonts.font(fonts.TEXT_PX))
        self.setAccessibleName("List")
        self.setWordWrap(False)
        self.setShowGrid(True)
        self.setCornerButtonEnabled(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        down = self.verticalHeader()
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        down.setDefaultSectionSize(_ROW_PX)
        down.setMinimumWidth(58)
        across = self.horizontalHeader()
        across.setSortIndicatorShown(True)
        across.setSectionsClickable(True)
        across.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        across.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.setSortingEnabled(False)
        across.sortIndicatorChanged.connect(things.sort)
        for header in (down, across):
            header.setFont(fonts.font(fonts.SMALL_PX + 1))

    def set_widths(self) -> None:
        """Give each column the width of what it usually holds."""
        for number in range(self.things.columnCount()):
            column = self.things.column(number)
            self.setColumnWidth(number, _WIDTHS.get(column.name, 76))

    def go_down(self, row: int, column: int) -> None:
        """Go to the cell below, unless what was typed was refused."""
        refused = (self.things.ids[row], self.things.column(column).name) in self.things.refused
        self.setCurrentIndex(self.things.index(min(row + (not refused), len(self.things.ids) - 1), column))

    @property
    def typing(self) -> bool:
        """Whether a cell is being edited."""
        return self.state() == QAbstractItemView.State.EditingState

    def selected_rows(self) -> list[int]:
        """Return the numbers of the rows that have a selected cell."""
        found: set[int] = set()
        selection = self.selectionModel().selection()
        for number in range(selection.count()):
            span = selection.at(number)
            found.update(range(span.top(), span.bottom() + 1))
        return sorted(found)

    def selected_cells(self) -> list[tuple[int, int]]:
        """Return (row, column) of the selected cells, from top to bottom."""
        return sorted((i.row(), i.column()) for i in self.selectedIndexes())

    def select_ids(self, ids: frozenset[str]) -> None:
        """Select the rows of these ids and bring the first of them into view."""
        flags = QItemSelectionModel.SelectionFlag
        wanted = QItemSelection()
        last = self.things.columnCount() - 1
        rows = [row for row, row_id in enumerate(self.things.ids) if row_id in ids]
        first = rows[0] if rows else None
        begin = 0
        for at, row in enumerate(rows):
            if at + 1 == len(rows) or rows[at + 1] != row + 1:
                wanted.select(self.things.index(rows[begin], 0), self.things.index(row, last))
                begin = at + 1
        self.selectionModel().select(wanted, flags.ClearAndSelect)
        if first is not None:
            index = self.things.index(first, max(0, self.currentIndex().column()))
            self.selectionModel().setCurrentIndex(index, flags.NoUpdate)
            self.scrollTo(index)

    def event(self, event: QEvent) -> bool:
        """Keep letters and the keys of a spreadsheet: no command of the window is called by them meanwhile."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            typed = bool(event.text()) and event.text().isprintable() and not event.modifiers() & _CONTROL
            if (typed and not event.modifiers() & Qt.KeyboardModifier.AltModifier) or self._call(event):
                event.accept()
                return True
        return super().event(event)

    def _call(self, event: QKeyEvent) -> Callable[[], object] | None:
        for key, name in (
            (QKeySequence.StandardKey.Copy, "copy"),
            (QKeySequence.StandardKey.Paste, "paste"),
        ):
            if event.matches(key):
                return self._calls[name]
        return None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy, paste, empty cells, begin to type with Enter, let go of what was refused with Escape."""
        call = self._call(event)
        if call:
            call()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._calls["empty"]()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self.edit(self.currentIndex())
        elif event.key() == Qt.Key.Key_Escape and self.things.let_go():
            event.accept()
        else:
            super().keyPressEvent(event)
