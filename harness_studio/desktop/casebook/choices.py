"""Words to press: one of a few, in rows that wrap. One stop of the tab key, arrows within."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QRect, QSize, Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QLayout, QLayoutItem, QPushButton, QSizePolicy, QWidget

from harness_studio.drawing import fonts


class Wrapping(QLayout):
    """Lays its widgets in rows, as words are laid in lines."""

    def __init__(self, parent: QWidget | None = None, gap: int = 3) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # type: ignore[override]
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # type: ignore[override]
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._lay(QRect(0, 0, width, 0), place=False)

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._lay(rect, place=True)

    def sizeHint(self) -> QSize:
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        sizes = [item.minimumSize() for item in self._items if not _hidden(item)]
        widest = max((s.width() for s in sizes), default=0)
        return QSize(widest, max((s.height() for s in sizes), default=0))

    def _lay(self, rect: QRect, *, place: bool) -> int:
        x, y, height = rect.x(), rect.y(), 0
        for item in self._items:
            if _hidden(item):
                continue
            size = item.sizeHint()
            if x > rect.x() and x + size.width() > rect.right() + 1:
                x, y, height = rect.x(), y + height + self._gap, 0
            if place:
                item.setGeometry(QRect(QPoint(x, y), size))
            x += size.width() + self._gap
            height = max(height, size.height())
        return y + height - rect.y()


def _hidden(item: QLayoutItem) -> bool:
    widget = item.widget()
    return widget is not None and widget.isHidden()


class Choice(QWidget):
    """One of several words, or none while nothing was pressed. `changed` comes when a person presses one."""

    changed = Signal(str)

    def __init__(self, name: str, options: Sequence[tuple[str, str]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        layout = Wrapping(self)
        self._group = QButtonGroup(self)
        self.buttons: dict[str, QPushButton] = {}
        for value, words in options:
            button = QPushButton(words, self)
            button.setObjectName("word")
            button.setCheckable(True)
            button.setFont(fonts.font(fonts.TEXT_PX))
            button.setAccessibleName(f"{name}: {words}")
            button.setProperty("value", value)
            button.clicked.connect(self._pressed)
            self._group.addButton(button)
            layout.addWidget(button)
            self.buttons[value] = button
        self.set_value(None)

    @property
    def value(self) -> str | None:
        """What is pressed; None for nothing yet."""
        return next((v for v, b in self.buttons.items() if b.isChecked()), None)

    def set_value(self, value: str | None) -> None:
        """Press a word, or let go of all."""
        self._group.setExclusive(False)
        for name, button in self.buttons.items():
            button.setChecked(name == value)
        self._group.setExclusive(True)
        self._one_stop()

    def _pressed(self) -> None:
        button = self.sender()
        self._one_stop()
        if isinstance(button, QPushButton):
            self.changed.emit(str(button.property("value")))

    def _one_stop(self) -> None:
        """Let the tab key stop at the pressed word only, or at the first."""
        at = self.value or next(iter(self.buttons), None)
        for name, button in self.buttons.items():
            button.setFocusPolicy(
                Qt.FocusPolicy.StrongFocus if name == at else Qt.FocusPolicy.ClickFocus
            )  # fmt: skip
