"""The page of keys: a table of every command; Enter on a line takes new keys for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QKeySequenceEdit,
    QLabel,
    QLineEdit,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

if TYPE_CHECKING:
    from harness_studio.desktop.commands import Commands
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.session import Session

_ID = Qt.ItemDataRole.UserRole


class KeysPage(QWidget):
    """`wanted` has a command and the keys pressed for it; `reset` a command, or nothing for all."""

    title = "Keys"
    wanted = Signal(str, str)
    reset = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._commands: Commands | None = None
        self.filter = QLineEdit(self)
        self.filter.setPlaceholderText("words of a command, or a key …")
        self.filter.setAccessibleName("Filter the commands")
        self.filter.textChanged.connect(self._fill)
        self.table = QTreeWidget(self)
        self.table.setAccessibleName("Commands and their keys")
        self.table.setHeaderLabels(["Command", "Keys"])
        self.table.setRootIsDecorated(False)
        self.table.setUniformRowHeights(True)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.header().setStretchLastSection(False)
        self.table.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.header().setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        self.table.itemActivated.connect(self.take_keys)
        self.table.installEventFilter(self)
        self.says = QLabel(self)
        self.says.setWordWrap(True)
        self.says.setObjectName("quiet")
        self.field = QKeySequenceEdit(self)
        self.field.setAccessibleName("New keys for the command")
        self.field.setMaximumSequenceLength(1)
        self.field.editingFinished.connect(self._pressed)
        self.field.installEventFilter(self)
        self.field.hide()
        self.change, self.clear = QPushButton("Change", self), QPushButton("No key", self)
        self.one, self.all = QPushButton("As it came", self), QPushButton("All as they came", self)
        for button, do in (
            (self.change, self._change),
            (self.clear, self._clear),
            (self.one, self._one),
            (self.all, self._all),
        ):
            button.setObjectName("word")
            button.clicked.connect(do)
        self._lay_out()
        self.say("Enter on a line takes new keys, Delete takes them away.")

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        for button in (self.change, self.clear, self.one, self.all):
            row.addWidget(button)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 8)
        layout.addWidget(self.filter)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.field)
        layout.addWidget(self.says)
        layout.addLayout(row)

    def show_session(self, _session: Session) -> None:
        """List the commands when the page is opened."""
        commands = getattr(self.window(), "commands", None)
        if self._commands is None and commands is not None:
            self.show_commands(commands)

    def set_theme(self, _theme: Theme) -> None:
        """Leave that to the palette."""

    def say(self, what: str) -> None:
        """Say something below the table."""
        self.says.setText(what)

    def show_commands(self, commands: Commands) -> None:
        """List the commands as they are now."""
        self._commands = commands
        self._fill()

    @property
    def command(self) -> str | None:
        """The command whose line is current."""
        item = self.table.currentItem()
        return item.data(0, _ID) if item is not None else None

    def _fill(self) -> None:
        if self._commands is None:
            return
        kept, words = self.command, self.filter.text().lower().split()
        self.table.clear()
        for command in self._commands.all:
            keys = ", ".join(_native(key) for key in self._commands.keys(command.id))
            title = command.title.replace("…", "")
            said = f"{title} {command.menu} {keys}".lower()
            if not all(word in said for word in words):
                continue
            own = self._commands.is_own(command.id)
            item = QTreeWidgetItem([title, f"{keys} (yours)" if own else keys])
            item.setData(0, _ID, command.id)
            item.setData(0, Qt.ItemDataRole.AccessibleTextRole, f"{title}, {keys or 'no key'}")
            item.setToolTip(0, title)
            self.table.addTopLevelItem(item)
            if command.id == kept:
                self.table.setCurrentItem(item)
        first = self.table.topLevelItem(0)
        if self.table.currentItem() is None and first is not None:
            self.table.setCurrentItem(first)

    # Taking keys -----------------------------------------------------------------------------------------------------

    def take_keys(self, *_: object) -> None:
        """Wait for keys for the current line."""
        item = self.table.currentItem()
        if item is None:
            return
        self.take_again()
        self.say(f"Press the keys for '{item.text(0)}'. Escape leaves it as it is.")

    def take_again(self) -> None:
        """Wait for keys, and leave what is said."""
        self.field.clear()
        self.field.show()
        self.field.setFocus()

    def _pressed(self) -> None:
        keys = self.field.keySequence().toString(QKeySequence.SequenceFormat.PortableText)
        if self.field.isHidden() or not keys or self.command is None:
            return
        self._shut()
        self.wanted.emit(self.command, keys)

    def _shut(self) -> None:
        self.field.hide()
        self.table.setFocus()

    def _change(self) -> None:
        self.take_keys()

    def _clear(self) -> None:
        if self.command is not None:
            self.wanted.emit(self.command, "")

    def _one(self) -> None:
        if self.command is not None:
            self.reset.emit(self.command)

    def _all(self) -> None:
        self.reset.emit("")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Delete takes keys away; Escape ends the waiting for keys."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if watched is self.field and event.key() == Qt.Key.Key_Escape:
                self._shut()
                self.say("Nothing was changed.")
                return True
            if watched is self.table and event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
                self._clear()
                return True
        # While keys are awaited those of commands are keys, too.
        if watched is self.field and event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return False


def _native(key: str) -> str:
    return QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText)
