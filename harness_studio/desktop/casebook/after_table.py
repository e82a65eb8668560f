"""Before and after, pair by pair."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from harness_studio.drawing import fonts
from harness_studio.model.cases import Case
from harness_studio.session.after import Pair, pairs, value_of
from harness_studio.session.case_words import UNITS, mode_words, value_words, where_words

from .forms import plain, quiet

if TYPE_CHECKING:
    from harness_studio.session.session import Session

HEADS = ("before", "after")


class AfterTable(QWidget):
    """A row for each pair: where, before, after."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Readings before and after the mend")
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(5)
        self._grid.setColumnStretch(0, 1)
        self._shown: list[Pair] | None = None
        self.cells: list[tuple[str, str, str]] = []

    def show_session(self, session: Session, case: Case) -> None:
        """Show the pairs of a case."""
        found = pairs(case)
        if found == self._shown:
            return
        self._shown = found
        while self._grid.count():
            item = self._grid.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.cells = []
        if not found:
            self._grid.addWidget(quiet("No reading was taken before the mend.", self), 0, 0)
            return
        for at, name in enumerate(HEADS, 1):
            self._grid.addWidget(quiet(name, self), 0, at, Qt.AlignmentFlag.AlignRight)
        for line, pair in enumerate(found, 1):
            where = where_words(pair.before)
            before = value_words(pair.before)
            after = value_words(pair.after) if value_of(pair.after) is not None and pair.after else "not yet"
            self.cells.append((where, before, after))
            mode = mode_words(session.harness, pair.before.mode)
            self._grid.addWidget(plain(f"{where}\n{mode}" if mode else where, self), line, 0)
            for at, text in ((1, before), (2, after)):
                label = QLabel(text, self)
                label.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG if at == 2 else fonts.REGULAR))
                label.setAccessibleName(f"{where}, {HEADS[at - 1]}: {text}")
                self._grid.addWidget(label, line, at, Qt.AlignmentFlag.AlignRight)


__all__ = ["UNITS", "AfterTable"]
