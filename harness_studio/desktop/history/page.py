"""The page of history: steps from the first to the last; a click goes back or forward to one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from harness_studio.drawing import fonts

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.session import Session

BEGINNING = "As it was opened"


class _Steps(QListWidget):
    """Arrows walk along the list; Enter goes to a step, so that walking by does not change the harness."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the current step with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentItem() is not None:
            self.itemClicked.emit(self.currentItem())
        else:
            super().keyPressEvent(event)


class HistoryPage(QWidget):
    """`wanted` has how many steps are to be done."""

    title = "History"
    wanted = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.says = QLabel(self)
        self.says.setObjectName("quiet")
        self.says.setWordWrap(True)
        self.steps = _Steps(self)
        self.steps.setAccessibleName("Steps that led here, and those undone")
        self.steps.setWordWrap(True)
        self.steps.itemClicked.connect(self._clicked)
        self._shown: tuple[tuple[str, ...], tuple[str, ...]] | None = None
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 8)
        layout.addWidget(self.says)
        layout.addWidget(self.steps, 1)

    def show_session(self, session: Session) -> None:
        """List the steps."""
        steps = (session.history, session.undone)
        if steps == self._shown:
            return
        self._shown = steps
        done, undone = steps
        self.says.setText(
            f"{len(done)} done, {len(undone)} undone. A click or Enter goes to a step."
            if done or undone
            else "Nothing was changed yet. Every change stands here, and can be gone back to."
        )
        self.steps.clear()
        for number, words in enumerate((BEGINNING, *done, *reversed(undone))):
            said = words[:1].upper() + words[1:] if words else "A change"
            here, ahead = number == len(done), number > len(done)
            item = QListWidgetItem(said + (" · you are here" if here else " · undone" if ahead else ""))
            item.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG if here else fonts.REGULAR))
            if ahead:
                item.setForeground(self.palette().placeholderText())
            self.steps.addItem(item)
        self.steps.setCurrentRow(len(done))
        self.steps.scrollToItem(self.steps.currentItem())

    def set_theme(self, _theme: Theme) -> None:
        """Draw what is undone in the theme's quiet colour."""
        self._shown = None

    def _clicked(self, item: QListWidgetItem) -> None:
        self.wanted.emit(self.steps.row(item))
