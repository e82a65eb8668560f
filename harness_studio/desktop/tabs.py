"""The names of the drawer's pages: groups in the first row, below it the pages of the open page's group, wrapping.

One stop of the tab key; arrows go from page to page.
"""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from harness_studio.drawing import fonts

_SIDE_PX = 8


class Tabs(QWidget):
    """Names of pages by group; one page is open."""

    currentChanged = Signal(int)  # noqa: N815 - Qt's own name for it

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setObjectName("tabs")
        self._names: list[QPushButton] = []
        self._group_of: list[str] = []
        self._last: dict[str, int] = {}
        self.groups: dict[str, QPushButton] = {}
        self._current = 0

    def add(self, title: str, group: str) -> int:
        """Add a page's name to a group and return its number."""
        number = len(self._names)
        if group not in self.groups:
            head = self._button(group, "group")
            head.clicked.connect(lambda _=False, g=group: self.open_group(g))
            self.groups[group] = head
        name = self._button(title, "tab")
        name.clicked.connect(lambda _=False, n=number: self.setCurrentIndex(n))
        self._names.append(name)
        self._group_of.append(group)
        self._last.setdefault(group, number)
        self._mark()
        return number

    def _button(self, title: str, name: str) -> QPushButton:
        button = QPushButton(title, self)
        button.setObjectName(name)
        button.setCheckable(True)
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        button.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG if name == "group" else fonts.REGULAR))
        return button

    def open_group(self, group: str) -> None:
        """Open the page of a group that was open last."""
        self.setCurrentIndex(self._last[group])
        self._mark()

    def count(self) -> int:
        """Return how many pages there are."""
        return len(self._names)

    def tabText(self, number: int) -> str:
        """Return a page's name."""
        return self._names[number].text()

    def currentIndex(self) -> int:
        """Return the number of the open page."""
        return self._current

    def setCurrentIndex(self, number: int) -> None:
        """Open a page."""
        changed = number != self._current
        self._current = number
        self._last[self._group_of[number]] = number
        self._mark()
        if changed:
            self.currentChanged.emit(number)

    def _mark(self) -> None:
        group = self._group_of[self._current]
        for n, name in enumerate(self._names):
            name.setChecked(n == self._current)
            name.setVisible(self._group_of[n] == group)
        for own, head in self.groups.items():
            head.setChecked(own == group)
        self._arrange()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from name to name."""
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1}
        key = Qt.Key(event.key())
        if key in steps and self._names:
            self.setCurrentIndex((self._current + steps[key]) % len(self._names))
        elif key == Qt.Key.Key_Home:
            self.setCurrentIndex(0)
        elif key == Qt.Key.Key_End:
            self.setCurrentIndex(len(self._names) - 1)
        else:
            event.ignore()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        self._arrange()

    def sizeHint(self) -> QSize:
        """Return the room the groups take in one row."""
        wide = sum(head.sizeHint().width() for head in self.groups.values())
        return QSize(wide + 2 * _SIDE_PX, self.minimumHeight())

    def _arrange(self) -> None:
        if not self._names:
            return
        group = self._group_of[self._current]
        y = self._row(list(self.groups.values()), 0)
        shown = [name for name, own in zip(self._names, self._group_of, strict=True) if own == group]
        self.setFixedHeight(self._row(shown, y))

    def _row(self, buttons: list[QPushButton], y: int) -> int:
        """Lay buttons out from a height on, in as many rows as they take; return where they end."""
        x, height = _SIDE_PX, 0
        for button in buttons:
            size = button.sizeHint()
            if x > _SIDE_PX and x + size.width() > self.width() - _SIDE_PX:
                x, y = _SIDE_PX, y + height
            height = size.height()
            button.setGeometry(x, y, size.width(), height)
            x += size.width()
        return y + height
