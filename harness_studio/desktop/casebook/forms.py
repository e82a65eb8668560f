"""Small pieces that the casebook's pages are made of: headings, fields, lines of what was kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from harness_studio.desktop import look
from harness_studio.desktop.combo import Combo
from harness_studio.desktop.undo_keys import is_windows_undo
from harness_studio.drawing import fonts


def heading(text: str, parent: QWidget | None = None) -> QLabel:
    """Return the heading of a part of a page."""
    label = QLabel(text, parent)
    label.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
    return label


def quiet(text: str = "", parent: QWidget | None = None) -> QLabel:
    """Return a muted text that wraps."""
    label = QLabel(text, parent)
    label.setObjectName("quiet")
    label.setFont(look.small())
    label.setWordWrap(True)
    return label


def plain(text: str = "", parent: QWidget | None = None, *, strong: bool = False) -> QLabel:
    """Return a text that wraps; it is never read as markup."""
    label = QLabel(text, parent)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    if strong:
        label.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
    return label


class Field(QLineEdit):
    """A line to type in. Once it is left, undo is the window's again: it takes back the entry, not letters."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.editingFinished.connect(self._forget)

    def _forget(self) -> None:
        self.setText(self.text())  # which is how a line forgets its own steps

    def event(self, event: QEvent) -> bool:
        """Leave undo to the window where nothing typed is to be undone."""
        if is_windows_undo(event, self.isUndoAvailable, self.isRedoAvailable):
            event.ignore()
            return False
        return super().event(event)


def field(name: str, hint: str = "", parent: QWidget | None = None) -> QLineEdit:
    """Return a line to type in."""
    made = Field(parent)
    made.setAccessibleName(name)
    made.setPlaceholderText(hint)
    return made


def button(text: str, do: Callable[[], object], parent: QWidget | None = None, kind: str = "") -> QPushButton:
    """Return a button; kind 'main' is the one that is meant, 'word' a quiet one."""
    made = QPushButton(text, parent)
    if kind:
        made.setObjectName(kind)
    made.setFont(fonts.font(fonts.TEXT_PX))
    made.clicked.connect(_Calling(do))
    return made


class _Calling:
    """Calls without the button's 'checked'."""

    def __init__(self, do: Callable[[], object]) -> None:
        self._do = do

    def __call__(self, _checked: bool = False) -> None:
        self._do()


def column(*widgets: QWidget, gap: int = 6, margins: tuple[int, int, int, int] = (0, 0, 0, 0)) -> QVBoxLayout:
    """Return widgets one below the other."""
    layout = QVBoxLayout()
    layout.setContentsMargins(*margins)
    layout.setSpacing(gap)
    for widget in widgets:
        layout.addWidget(widget)
    return layout


def row(*widgets: QWidget, stretch: int = -1) -> QHBoxLayout:
    """Return widgets beside each other; the one numbered `stretch` takes the room, else the end does."""
    layout = QHBoxLayout()
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(6)
    for number, widget in enumerate(widgets):
        layout.addWidget(widget, 1 if number == stretch else 0)
    if stretch < 0:
        layout.addStretch(1)
    return layout


class Pick(Combo):
    """A list that can be typed into; what is typed need not be in it. A closed list leaves the wheel to the page."""

    def __init__(self, name: str, hint: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setAccessibleName(name)
        self.setMinimumContentsLength(8)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMaxVisibleItems(14)
        line = self.lineEdit()
        assert line is not None
        line.setPlaceholderText(hint)
        line.setAccessibleName(name)
        completer = self.completer()
        if completer is not None:
            completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
            completer.setFilterMode(Qt.MatchFlag.MatchContains)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self._words: list[str] = []

    def offer(self, options: Sequence[tuple[str, str]]) -> None:
        """Offer (value, words); what is entered stays."""
        words = [w for _, w in options]
        if words == self._words:
            return
        entered = self.currentText()
        self._words = words
        self.blockSignals(True)
        self.clear()
        for value, text in options:
            self.addItem(text, value)
        self.setCurrentIndex(-1)
        self.setEditText(entered)
        self.blockSignals(False)

    @property
    def value(self) -> str:
        """The value of what is entered: that of the entry it is or is a part of, else its first word."""
        text = self.currentText().strip()
        at = self.findText(text, Qt.MatchFlag.MatchFixedString)
        if at >= 0:
            return str(self.itemData(at))
        first = text.split(" ")[0].rstrip(",") if text else ""
        meant = self.meant
        return str(self.itemData(meant[0])) if len(meant) == 1 and self.findData(first) < 0 else first

    @property
    def meant(self) -> list[int]:
        """Numbers of the entries that hold what is entered."""
        text = self.currentText().strip().casefold()
        return [n for n in range(self.count()) if text and text in self.itemText(n).casefold()]

    def set_value(self, value: str) -> None:
        """Enter a value: its words where it is in the list."""
        at = self.findData(value) if value else -1
        self.setCurrentIndex(at)
        self.setEditText(self.itemText(at) if at >= 0 else value)

    def wheelEvent(self, event: object) -> None:
        """Leave the wheel to the page."""
        event.ignore()  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True)
class Said:
    """One line of what was kept: its words, what is said beside them, and a mark before it."""

    title: str
    about: str = ""
    mark: str = ""


class Kept(QWidget):
    """What was kept, line by line. `change` and `take_out` carry the number of a line."""

    change = Signal(int)
    take_out = Signal(int)

    def __init__(self, name: str, empty: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._name = name
        self._shown: list[Said] | None = None
        self.lines: list[QFrame] = []
        self._empty = quiet(empty, self)
        self._layout = column(self._empty, gap=4)
        self.setLayout(self._layout)
        self._empty.setVisible(bool(empty))

    def show_lines(self, lines: Sequence[Said], *, can_change: bool = True) -> None:
        """Show these lines; widgets are made anew only where the words differ."""
        if list(lines) == self._shown:
            return
        self._shown = list(lines)
        for old in self.lines:
            self._layout.removeWidget(old)
            old.hide()
            old.deleteLater()
        self.lines = [self._line(n, said, can_change) for n, said in enumerate(lines)]
        for line in self.lines:
            self._layout.addWidget(line)
            line.show()
        self._empty.setVisible(not lines and bool(self._empty.text()))

    def _line(self, number: int, said: Said, can_change: bool) -> QFrame:
        line = QFrame(self)
        line.setObjectName("proof")
        title, about = plain(said.title, line), quiet(said.about, line)
        about.setVisible(bool(said.about))
        words = column(title, about, gap=1)
        buttons = QVBoxLayout()
        buttons.setSpacing(0)
        named = f"{self._name} {number + 1}"
        if can_change:
            change = button("change", lambda: self.change.emit(number), line, "word")
            change.setAccessibleName(f"change {named}: {said.title}")
            buttons.addWidget(change)
        out = button("take out", lambda: self.take_out.emit(number), line, "word")
        out.setAccessibleName(f"take out {named}: {said.title}")
        buttons.addWidget(out)
        buttons.addStretch(1)
        layout = QHBoxLayout(line)
        layout.setContentsMargins(10, 5, 4, 5)
        if said.mark:
            mark = quiet(said.mark, line)
            mark.setWordWrap(False)
            layout.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
        layout.addLayout(words, 1)
        layout.addLayout(buttons)
        return line


class Entry(QFrame):
    """A form that is opened to enter something, and shut by Keep or Escape. `kept` carries what was entered.

    Parameters
    ----------
    read
        Returns what is entered; ValueError says in one line what is wrong with it.
    """

    kept = Signal(object)
    opened = Signal()
    shut = Signal()

    def __init__(self, name: str, read: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._read = read
        self.setObjectName("proof")
        self.setAccessibleName(name)
        self.number: int | None = None
        self.complaint = quiet("", self)
        self.complaint.setObjectName("refusal")
        self.complaint.hide()
        self.keep_button = button("Keep", self.keep, self, "main")
        self.done_button = button("Done", self.done, self)
        self.hide()

    def keep(self) -> None:
        """Hand over what is entered, or say what is wrong."""
        try:
            entered = self._read()
        except ValueError as error:
            self.complain(str(error))
            return
        self.complain("")
        self.kept.emit(entered)

    def complain(self, what: str) -> None:
        """Say in one line what is wrong with what is entered."""
        self.complaint.setText(what)
        self.complaint.setVisible(bool(what))
        if what:
            QTimer.singleShot(0, self, self._come_into_view)

    def done(self) -> None:
        """Shut the form."""
        self.complain("")
        self.number = None
        self.hide()
        self.shut.emit()

    def showEvent(self, event: QShowEvent) -> None:
        """Come into view as a whole."""
        super().showEvent(event)
        self.opened.emit()
        QTimer.singleShot(0, self, self._come_into_view)

    def _come_into_view(self) -> None:
        area = self.parentWidget()
        while area is not None and not isinstance(area, QScrollArea):
            area = area.parentWidget()
        if area is not None and self.isVisible():
            area.ensureWidgetVisible(self.done_button, 0, 24)
            held = self.focusWidget()
            if held is not None:
                area.ensureWidgetVisible(held, 0, 60)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep with Enter, shut with Escape."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.keep()
        elif event.key() == Qt.Key.Key_Escape:
            self.done()
        else:
            super().keyPressEvent(event)
