"""The table of one section for Qt: the rows a filter leaves, in an order; what was refused stays in its cell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from harness_studio.base.changes import Changes
from harness_studio.base.errors import EditError
from harness_studio.drawing.theme import Theme, light
from harness_studio.editing.cells import Cell, CellsRefused, cells_edit
from harness_studio.editing.columns import TABLES, Column
from harness_studio.editing.filters import Filter, parse
from harness_studio.editing.quantities import Refused
from harness_studio.editing.rows import Rows
from harness_studio.model.edits import Edit
from harness_studio.model.harness import Harness

Index = QModelIndex | QPersistentModelIndex
_ROLE = Qt.ItemDataRole


class Things(QAbstractTableModel):
    """Rows of a section. `apply` takes an edit to the session; `tell` says one line below the table."""

    def __init__(self, apply: Callable[[Edit], object], tell: Callable[[str], object]) -> None:
        super().__init__()
        self._apply, self._tell = apply, tell
        self.theme: Theme = light()
        self.rows = Rows(Harness(), TABLES[0])
        self.ids: list[str] = []
        self.filter = Filter()
        self._filter_text = ""
        self._order: tuple[int | None, bool] | None = None
        self.refused: dict[tuple[str, str], tuple[str, str]] = {}

    # What is shown ---------------------------------------------------------------------------------------------------

    def show_table(self, harness: Harness, section: str) -> None:
        """Show another section, or another harness."""
        self.beginResetModel()
        self.rows = Rows(harness, section)
        self.refused, self._order = {}, None
        self.filter = parse(self._filter_text, self.rows.columns)
        self.ids = self.rows.found(self.filter)
        self.endResetModel()

    def show_filter(self, text: str) -> None:
        """Leave only the rows that a filter wants."""
        self._filter_text = text
        self.filter = parse(text, self.rows.columns)
        self._rearrange()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Order the rows by a column; below 0 as the file has them."""
        self._order = (
            None if column < -1 else (None if column < 0 else column, order != Qt.SortOrder.AscendingOrder)
        )
        self._rearrange()

    def _rearrange(self) -> None:
        self.beginResetModel()
        self.ids = self.rows.found(self.filter)
        if self._order is not None:
            self.ids = self.rows.sorted(self.ids, *self._order)
        self.endResetModel()

    def follow(self, changes: Changes) -> None:
        """Show what an edit changed. Rows stay where they are; new ones come last, filtered or not."""
        if not self.rows.forget(changes):
            return
        section = self.rows.section
        gone = {key for s, key in changes.removed if s == section}
        added = [key for s, key in sorted(changes.added) if s == section]
        if gone or added:
            self.beginResetModel()
            shown = set(self.ids)
            self.ids = [i for i in self.ids if i not in gone] + [i for i in added if i not in shown]
            self.endResetModel()
        elif self.ids:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self.ids) - 1, self.columnCount() - 1))

    def column(self, number: int) -> Column:
        """Return a column."""
        return self.rows.columns[number]

    def text(self, row: int, column: int) -> str:
        """Return what a cell shows: what was refused there, or what the harness holds."""
        key = (self.ids[row], self.column(column).name)
        return self.refused[key][0] if key in self.refused else self.rows.texts(self.ids[row])[column]

    # What Qt asks ----------------------------------------------------------------------------------------------------

    def rowCount(self, parent: Index | None = None) -> int:
        """Return how many rows are shown."""
        return 0 if parent is not None and parent.isValid() else len(self.ids)

    def columnCount(self, parent: Index | None = None) -> int:
        """Return how many columns there are."""
        return 0 if parent is not None and parent.isValid() else len(self.rows.columns)

    def data(self, index: Index, role: int = _ROLE.DisplayRole) -> Any:
        """Return what a cell shows."""
        if not index.isValid() or index.row() >= len(self.ids):
            return None
        if role in (_ROLE.DisplayRole, _ROLE.EditRole):
            return self.text(index.row(), index.column())
        why = self.refused.get((self.ids[index.row()], self.column(index.column()).name))
        if role == _ROLE.ForegroundRole:
            if why:
                return self.theme.colour("stop")
            return None if self.column(index.column()).field else self.theme.colour("muted")
        if role == _ROLE.ToolTipRole:
            return why[1] if why else self.text(index.row(), index.column()) or None
        if role == _ROLE.TextAlignmentRole and self.column(index.column()).is_number:
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _ROLE.DisplayRole) -> Any:
        """Return a column's name, or a row's id."""
        if orientation == Qt.Orientation.Vertical:
            return self.ids[section] if role == _ROLE.DisplayRole and section < len(self.ids) else None
        column = self.column(section)
        if role == _ROLE.DisplayRole:
            return column.head
        if role == _ROLE.ToolTipRole:
            return column.field.meaning if column.field else f"{column.name}, as other entries tell it"
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let everything be edited that is no sum of other entries."""
        flags = super().flags(index)
        if index.isValid() and self.column(index.column()).field:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index: Index, value: Any, role: int = _ROLE.EditRole) -> bool:
        """Write what was typed into a cell."""
        if role != _ROLE.EditRole:
            return False
        if str(value) == self.text(index.row(), index.column()):
            return False
        return self.write([Cell(self.ids[index.row()], self.column(index.column()), str(value))])

    # Writing ---------------------------------------------------------------------------------------------------------

    def write(self, cells: Sequence[Cell], what: str = "") -> bool:
        """Write cells as one edit. What is refused stays in its cell, and below the table stands why."""
        keys = {(cell.id, cell.column.name): cell.text for cell in cells}
        if len(cells) > 1:
            self.refused.clear()  # cells of a paste before would stand among those of this one
        try:
            self._apply(cells_edit(self.rows.harness, self.rows.section, cells, what))
        except CellsRefused as refused:
            for cell, why in refused.refusals:
                self.refused[cell.id, cell.column.name] = (cell.text, why)
            self._touched(str(refused))
            return False
        except (Refused, EditError) as error:
            if len(cells) == 1:
                self.refused |= {key: (text, str(error)) for key, text in keys.items()}
            self._touched(str(error))
            return False
        for key in keys:
            self.refused.pop(key, None)
        self._touched("")
        return True

    def let_go(self) -> bool:
        """Put what the harness holds back into cells that were refused; return whether there were any."""
        there = bool(self.refused)
        self.refused.clear()
        if there:
            self._touched("")
        return there

    def _touched(self, said: str) -> None:
        self._tell(said)
        if self.ids:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self.ids) - 1, self.columnCount() - 1))
