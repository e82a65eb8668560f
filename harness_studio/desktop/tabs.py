"""The names of the drawer's pages in rows that wrap; one of them is open. One stop of the tab key, arrows within."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from harness_studio.drawing import fonts

_SIDE_PX = 8


class Tabs(QWidget):
    """A row of names, or several rows where the drawer is narrow."""

    currentChanged = Signal(int)  # noqa: N815 - Qt's own name for it

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setObjectName("tabs")
        self._names: list[QPushButton] = []
        self._current = 0

    def add(self, title: str) -> int:
        """Add a page's name and return its number."""
        number = len(self._names)
        name = QPushButton(title, self)
        name.setObjectName("tab")
        name.setCheckable(True)
        name.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        name.setFont(fonts.font(fonts.TEXT_PX))
        name.setChecked(number == self._current)
        name.clicked.connect(lambda _=False, n=number: self.setCurrentIndex(n))
        self._names.append(name)
        self._arrange()
        return number

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
        for n, name in enumerate(self._names):
            name.setChecked(n == number)
        if changed:
            self.currentChanged.emit(number)

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
        """Return the room all names take in one row."""
        return QSize(
            sum(name.sizeHint().width() for name in self._names) + 2 * _SIDE_PX, self.minimumHeight()
        )

    def _arrange(self) -> None:
        x, y, height = _SIDE_PX, 0, 0
        for name in self._names:
            size = name.sizeHint()
            if x > _SIDE_PX and x + size.width() > self.width() - _SIDE_PX:
                x, y = _SIDE_PX, y + height
            height = size.height()
            name.setGeometry(x, y, size.width(), height)
            name.show()
            x += size.width()
        self.setFixedHeight(y + height)
