"""What one field is typed, chosen or ticked in. Each shows a text, says what it holds, and tells when it is done."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QEvent, QStringListModel, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QCompleter, QHBoxLayout, QLineEdit, QWidget

from harness_studio.desktop.combo import Combo
from harness_studio.desktop.undo_keys import is_windows_undo
from harness_studio.drawing import fonts
from harness_studio.editing.change import SEVERAL


class Line(QLineEdit):
    """A line to type in; Enter or leaving it is done, Escape puts back what was there."""

    done = Signal(str)
    given_up = Signal()

    def __init__(self, parent: QWidget | None = None, words: Sequence[str] | None = None) -> None:
        super().__init__(parent)
        self.setFont(fonts.font(fonts.TEXT_PX))
        self._shown: str | None = ""
        self._told: str | None = None
        self.hint = ""
        if words:
            completer = QCompleter(list(words), self)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            self.setCompleter(completer)
        self.editingFinished.connect(self.finish)

    def offer(self, words: Sequence[str]) -> None:
        """Offer these words while one types, where words are offered."""
        held = self.completer().model() if self.completer() else None
        if isinstance(held, QStringListModel) and held.stringList() != list(words):
            held.setStringList(list(words))

    def show_text(self, text: str | None) -> None:
        """Show what is held; None where several things differ."""
        self._shown, self._told = text, None
        self.setPlaceholderText(SEVERAL if text is None else self.hint)
        if self.text() != (text or ""):
            self.setText(text or "")
            self.setCursorPosition(0)

    @property
    def typing(self) -> bool:
        """Whether it holds something that is not in the harness yet."""
        return self.text() != (self._shown or "")

    def finish(self) -> None:
        """Tell what was typed, once."""
        if self.typing and self._told != self.text():
            self._told = self.text()
            self.done.emit(self.text())

    def event(self, event: QEvent) -> bool:
        """Let undo and redo go to the harness while nothing is being typed here."""
        if is_windows_undo(event, lambda: self.typing, lambda: self.typing):
            event.ignore()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Put back what was there on Escape."""
        if event.key() == Qt.Key.Key_Escape and self.typing:
            self.show_text(self._shown)
            self.given_up.emit()
            return
        self._told = None if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) else self._told
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Select all when it is come to by keys."""
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.selectAll()


class Choice(Combo):
    """One of some words, or nothing; the wheel turns it only while it has the keys."""

    done = Signal(str)

    def __init__(self, parent: QWidget | None, choices: Sequence[str], empty: bool) -> None:
        super().__init__(parent)
        self.setFont(fonts.font(fonts.TEXT_PX))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        for choice in ([""] if empty else []) + list(choices):
            self.addItem(choice.replace("_", " "), choice)
        self.activated.connect(self._chosen)

    def show_text(self, text: str | None) -> None:
        """Show what is held; None where several things differ."""
        self.setPlaceholderText(SEVERAL if text is None else "")
        self.setCurrentIndex(-1 if text is None else self.findData(text))

    @property
    def typing(self) -> bool:
        """Whether its list is open."""
        return self.view().isVisible()

    def finish(self) -> None:
        """Nothing is left to tell."""

    def _chosen(self, index: int) -> None:
        self.done.emit(str(self.itemData(index)))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the page scroll unless the list has the keys."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class Flag(QCheckBox):
    """Yes or no."""

    done = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("yes", parent)
        self.setFont(fonts.font(fonts.TEXT_PX))
        self.clicked.connect(self._clicked)

    def show_text(self, text: str | None) -> None:
        """Show what is held; None where several things differ."""
        self.setTristate(text is None)
        states = {"yes": Qt.CheckState.Checked, None: Qt.CheckState.PartiallyChecked}
        self.setCheckState(states.get(text, Qt.CheckState.Unchecked))

    @property
    def typing(self) -> bool:
        """A tick is done at once."""
        return False

    def finish(self) -> None:
        """Nothing is left to tell."""

    def _clicked(self, on: bool) -> None:
        self.setTristate(False)
        self.done.emit("yes" if on else "no")


class Ticks(QWidget):
    """Words that are ticked or not, each by itself."""

    ticked = Signal(str, bool)

    def __init__(self, parent: QWidget | None, words: Sequence[str], named: Callable[[str], str]) -> None:
        super().__init__(parent)
        self.boxes: dict[str, QCheckBox] = {}
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        for word in words:
            box = QCheckBox(word, self)
            box.setFont(fonts.font(fonts.TEXT_PX))
            box.setAccessibleName(named(word))
            box.clicked.connect(_Ticked(self, word))
            self.boxes[word] = box
            layout.addWidget(box)
        layout.addStretch(1)

    def show_ticks(self, ticks: Mapping[str, bool | None]) -> None:
        """Show which are set; None where several things differ."""
        for word, on in ticks.items():
            box = self.boxes[word]
            box.setTristate(on is None)
            box.setCheckState(
                Qt.CheckState.PartiallyChecked
                if on is None
                else Qt.CheckState.Checked if on else Qt.CheckState.Unchecked
            )  # fmt: skip


class _Ticked:
    """Tells which word was ticked."""

    def __init__(self, ticks: Ticks, word: str) -> None:
        self._ticks, self._word = ticks, word

    def __call__(self, _checked: bool = False) -> None:
        box = self._ticks.boxes[self._word]
        box.setTristate(False)
        self._ticks.ticked.emit(self._word, box.isChecked())
