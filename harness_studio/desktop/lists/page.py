"""The lists page: which table, a filter, the table, and what can be done with the selected rows."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelection, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from harness_studio.base.changes import Changes
from harness_studio.desktop.combo import Combo
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme
from harness_studio.editing.cells import Cell, fill_down, from_text, pasted, to_text
from harness_studio.editing.change import counted
from harness_studio.editing.columns import MOST_USED, TABLES
from harness_studio.editing.quantities import Refused
from harness_studio.model.edits import Edit

from .model import Things
from .table import Table

if TYPE_CHECKING:
    from harness_studio.session.session import Session

_NAMES = {"halves": "connectors"}
_HINT = "filter: brown with white, size < 1.5, circuit = pump, zone: bed, open ends, no length"


class ListsPage(QWidget):
    """Shows one section at a time. It shows the selection itself, so selecting opens no other page."""

    title = "Lists"
    keeps_open = True
    wide_wanted = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._ends: list[Callable[[], None]] = []
        self._guard = False
        self.section = TABLES[0]
        self.things = Things(self._apply, self.say)
        self.things.setParent(self)
        self.filter = QLineEdit(self)
        self.filter.setPlaceholderText(_HINT)
        self.filter.setToolTip(_HINT)
        self.filter.setAccessibleName("Filter of the list")
        self.filter.setFont(fonts.font(fonts.TEXT_PX))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(self._filtered)
        calls = {"copy": self.copy, "paste": self.paste, "empty": self.empty}
        self.table = Table(self, self.things, self.write_all, calls)
        self.table.selectionModel().selectionChanged.connect(self._selected)
        self.line = QLabel(self)
        self.line.setWordWrap(True)
        self.line.setFont(fonts.font(fonts.SMALL_PX + 1))
        self.line.setObjectName("quiet")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 6, 10, 6)
        layout.setSpacing(5)
        layout.addLayout(self._kinds())
        line = QHBoxLayout()
        line.addWidget(self.filter, 1)
        line.addWidget(self.others)
        layout.addLayout(line)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.line)
        layout.addLayout(self._actions())
        self.table.set_widths()

    def _kinds(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(1)
        self.kinds: dict[str, QPushButton] = {}
        group = QButtonGroup(self)
        for section in MOST_USED:
            button = QPushButton(_NAMES.get(section, section), self)
            button.setObjectName("word")
            button.setFont(fonts.font(fonts.TEXT_PX))
            button.setCheckable(True)
            button.setChecked(section == self.section)
            button.clicked.connect(_Opening(self, section))
            group.addButton(button)
            row.addWidget(button)
            self.kinds[section] = button
        self.others = Combo(self)
        self.others.setFont(fonts.font(fonts.TEXT_PX))
        self.others.setAccessibleName("Further lists")
        self.others.setPlaceholderText("more")
        self.others.addItems([s for s in TABLES if s not in MOST_USED])
        self.others.setCurrentIndex(-1)
        self.others.setToolTip("Further lists: zones, bodies, modes, joints …")
        self.others.setMinimumContentsLength(7)
        self.others.textActivated.connect(self.open_table)
        row.addStretch(1)
        self._group = group
        return row

    def _actions(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(4)
        self.wide = QPushButton("Wide", self)
        self.wide.setCheckable(True)
        self.wide.setToolTip("Give the list more room; the diagram keeps the rest")
        self.wide.toggled.connect(self.wide_wanted)
        fill, copy = QPushButton("Fill down", self), QPushButton("Copy", self)
        paste = QPushButton("Paste", self)
        fill.setToolTip("Write the topmost selected cell of each column into those below it")
        copy.setToolTip("Copy the selected cells, or whole rows with their head, for a spreadsheet")
        paste.setToolTip("Paste cells from a spreadsheet; with a head that has id, rows go to their things")
        for button, call in ((fill, self.fill), (copy, self.copy), (paste, self.paste)):
            button.clicked.connect(call)
        for button in (fill, copy, paste, self.wide):
            button.setObjectName("word")
            button.setFont(fonts.font(fonts.TEXT_PX))
            row.addWidget(button)
        row.insertStretch(3, 1)
        return row

    # Showing ---------------------------------------------------------------------------------------------------------

    def follow(self, session: Session) -> None:
        """Follow another session's edits from now on."""
        for end in self._ends:
            end()
        self._session = session
        self._ends = [session.subscribe("changes", self._changed)]
        self._show_table()

    def close_session(self) -> None:
        """Follow nothing any more."""
        for end in self._ends:
            end()
        self._ends = []

    def show_session(self, session: Session) -> None:
        """Show the selection; the rows follow edits by themselves."""
        if session is not self._session:
            self.follow(session)
        self._show_selection()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.things.theme = theme
        self.table.viewport().update()

    def open_table(self, section: str) -> None:
        """Show another section's table."""
        self.section = section
        button = self.kinds.get(section)
        self._group.setExclusive(button is not None)
        for kind in self.kinds.values():
            kind.setChecked(kind is button)
        self.others.setCurrentIndex(-1 if button else self.others.findText(section))
        self._show_table()

    def _show_table(self) -> None:
        if self._session is None:
            return
        self.table.horizontalHeader().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.things.show_table(self._session.harness, self.section)
        self.table.set_widths()
        self.say("")
        self._show_selection()

    def _changed(self, changes: Changes) -> None:
        self.things.follow(changes)
        if not self.line.property("refused"):
            self.say("")
        self._show_selection()

    def _filtered(self, text: str) -> None:
        self.things.show_filter(text)
        self.say(self.things.filter.problem)
        self._show_selection()

    def say(self, what: str) -> None:
        """Say one line below the table: what was refused, or how many rows there are."""
        shown, whole = len(self.things.ids), len(self.things.rows.ids)
        count = (
            counted(self.section, whole) if shown == whole else f"{shown} of {counted(self.section, whole)}"
        )
        self.line.setText(what or count)
        self.line.setProperty("refused", bool(what))
        self.line.setObjectName("refusal" if what else "quiet")
        self.line.style().polish(self.line)

    # The shared selection --------------------------------------------------------------------------------------------

    def _show_selection(self) -> None:
        if self._session is None or self._guard or self.table.typing:
            return
        ids = self._session.selection
        shown = {self.things.ids[row] for row in self.table.selected_rows()}
        if shown == {i for i in self.things.ids if i in ids}:
            return
        self._guard = True
        self.table.select_ids(ids)
        self._guard = False

    def _selected(self, _new: QItemSelection, _old: QItemSelection) -> None:
        if self._session is None or self._guard or self.section == "joints":
            return
        self._guard = True
        self._session.select(
            self.things.ids[row] for row in self.table.selected_rows() if row < len(self.things.ids)
        )
        self._guard = False

    # Changing --------------------------------------------------------------------------------------------------------

    def _apply(self, edit: Edit) -> None:
        if self._session is not None:
            self._session.apply(edit)

    def _at(self) -> tuple[int, int]:
        cells = self.table.selected_cells()
        current = self.table.currentIndex()
        return cells[0] if cells else (max(0, current.row()), max(0, current.column()))

    def write_all(self, column: int, text: str) -> None:
        """Write a text into a column of all selected rows, as one edit."""
        rows = self.table.selected_rows()
        self.things.write([Cell(self.things.ids[row], self.things.column(column), text) for row in rows])

    def empty(self) -> None:
        """Empty the selected cells."""
        cells = [(r, c) for r, c in self.table.selected_cells() if self.things.column(c).field]
        if cells:
            self.things.write([Cell(self.things.ids[r], self.things.column(c), "") for r, c in cells])

    def fill(self) -> None:
        """Write the topmost selected cell of each column into those below it, as one edit."""
        chosen = [
            (self.things.ids[r], self.things.column(c), self.things.text(r, c))
            for r, c in self.table.selected_cells()
            if self.things.column(c).field
        ]
        cells = fill_down(chosen)
        if cells:
            self.things.write(cells, f"fill down: {len(cells)} cells")
        else:
            self.say("select cells of several rows first; the topmost one is filled down")

    def copy(self) -> None:
        """Copy the selected cells; whole rows with the head and their ids."""
        cells = self.table.selected_cells()
        if not cells:
            return
        rows, columns = sorted({r for r, _ in cells}), sorted({c for _, c in cells})
        if len(columns) == self.things.columnCount():
            table = self.things.rows.table([self.things.ids[row] for row in rows])
        else:
            chosen = set(cells)
            table = [[self.things.text(r, c) if (r, c) in chosen else "" for c in columns] for r in rows]
        QGuiApplication.clipboard().setText(to_text(table))
        self.say("")

    def paste(self) -> None:
        """Paste cells of a spreadsheet, as one edit."""
        text = QGuiApplication.clipboard().text()
        self.paste_text(text)

    def paste_text(self, text: str) -> None:
        """Write a text with tabs between cells into the table, as one edit."""
        try:
            rows = from_text(text)
            cells = pasted(rows, self.things.rows.columns, self.things.ids, self._at())
            alone = len(rows) == 1 and len(rows[0]) == 1
            if alone and len(self.table.selected_cells()) > 1:
                cells = [Cell(self.things.ids[r], self.things.column(c), rows[0][0])
                         for r, c in self.table.selected_cells()]  # fmt: skip
        except Refused as refused:
            self.say(str(refused))
            return
        if cells:
            self.things.write(cells, f"paste {len(cells)} cells" if len(cells) > 1 else "")


class _Opening:
    """Opens a table."""

    def __init__(self, page: ListsPage, section: str) -> None:
        self._page, self._section = page, section

    def __call__(self, _checked: bool = False) -> None:
        self._page.open_table(self._section)
