"""Everything the window can do, by name: menus, keys and the searchable list are made from this."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from harness_studio.drawing import fonts

from .finder import Row
from .remembered import keep_own_keys, own_keys

MENUS = (
    "Harness",
    "Edit",
    "View",
    "Draw",
    "Arrange",
    "Record",
    "Check",
    "Diagnose",
    "Plots",
    "Pages",
    "Help",
)
"""The menus from left to right; any other stands behind them."""


@dataclass(frozen=True, slots=True)
class Command:
    """One command.

    Parameters
    ----------
    id
        Short name in the code.
    title
        What it is called.
    menu
        Which menu it stands in; empty for the list only.
    keys
        How it is called by keys, as Qt reads them.
    able
        Whether it can be done now.
    ticked
        For a choice: whether it holds now.
    on
        Where its keys count; the whole window by default.
    always
        Whether it can be done while no harness is open, too.
    """

    id: str
    title: str
    menu: str
    do: Callable[[], object]
    keys: tuple[str, ...] = ()
    able: Callable[[], bool] = field(default=lambda: True)
    ticked: Callable[[], bool] | None = None
    on: QWidget | None = None
    always: bool = False


class Commands:
    """The commands of a window as actions.

    Parameters
    ----------
    is_open
        Whether a harness is open: without one only what can always be done is left.
    """

    def __init__(self, owner: QWidget, commands: list[Command], is_open: Callable[[], bool]) -> None:
        self.all = commands
        self._is_open = is_open
        self.by_id = {command.id: command for command in commands}
        self._own = {key: keys for key, keys in own_keys().items() if key in self.by_id}
        self.actions: dict[str, QAction] = {}
        for command in commands:
            action = QAction(command.title, owner)
            action.setObjectName(command.id)
            action.setShortcuts([QKeySequence(keys) for keys in self.keys(command.id)])
            action.setCheckable(command.ticked is not None)
            action.triggered.connect(_Calling(command.do))
            if command.on is not None:
                action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            (command.on or owner).addAction(action)
            self.actions[command.id] = action
        self.refresh()

    def able(self, command: Command) -> bool:
        """Return whether a command can be done now."""
        return (command.always or self._is_open()) and command.able()

    def refresh(self) -> None:
        """Let each action show whether it can be done, and whether it holds."""
        for command in self.all:
            action = self.actions[command.id]
            action.setEnabled(self.able(command))
            if command.ticked is not None:
                action.setChecked(command.ticked())

    # Keys ------------------------------------------------------------------------------------------------------------

    def keys(self, command_id: str) -> tuple[str, ...]:
        """Return the keys of a command: the user's, else those it comes with."""
        own = self._own.get(command_id)
        return tuple(own) if own is not None else self.by_id[command_id].keys

    def is_own(self, command_id: str) -> bool:
        """Return whether the user gave a command other keys than it comes with."""
        return command_id in self._own

    def who_has(self, key: str) -> Command | None:
        """Return the command that a key calls."""
        wanted = QKeySequence(key)
        for command in self.all:
            if any(QKeySequence(k) == wanted for k in self.keys(command.id)):
                return command
        return None

    def set_keys(self, command_id: str, keys: tuple[str, ...] | None) -> None:
        """Give a command keys, taking them from whoever had them; None gives it back those it comes with."""
        for key in keys if keys is not None else self.by_id[command_id].keys:
            other = self.who_has(key)
            if other is not None and other.id != command_id:
                left = [k for k in self.keys(other.id) if QKeySequence(k) != QKeySequence(key)]
                self._set(other.id, tuple(left))
        self._set(command_id, keys)
        keep_own_keys(self._own)

    def reset_keys(self) -> None:
        """Give every command the keys it comes with."""
        for command in self.all:
            self._set(command.id, None)
        keep_own_keys(self._own)

    def _set(self, command_id: str, keys: tuple[str, ...] | None) -> None:
        if keys is None or keys == self.by_id[command_id].keys:
            self._own.pop(command_id, None)
        else:
            self._own[command_id] = list(keys)
        self.actions[command_id].setShortcuts([QKeySequence(key) for key in self.keys(command_id)])

    def found(self, text: str) -> list[Row]:
        """Return the commands that hold every word of a text, as rows of a list."""
        words = text.lower().split()
        self.refresh()
        rows = []
        for command in self.all:
            said = f"{command.title} {command.menu}".lower()
            if command.id != "commands" and all(word in said for word in words):
                keys = self.actions[command.id].shortcut().toString()
                rows.append(Row(command.id, command.title.replace("…", ""), "", keys, self.able(command)))
        return rows

    def fill(self, bar: QMenuBar) -> None:
        """Make the menus, in the order of `MENUS`; a menu's groups go by their letters."""
        font = fonts.font(fonts.TEXT_PX)  # menus would take a font of the system's
        bar.setFont(font)
        menus: dict[str, QMenu] = {}
        order = list(dict.fromkeys((*MENUS, *(c.menu.partition("/")[0] for c in self.all))))
        for command in sorted(self.all, key=lambda c: (order.index(c.menu.partition("/")[0]), c.menu)):
            if not command.menu:
                continue
            name, _, group = command.menu.partition("/")
            menu = menus.get(name)
            if menu is None:
                menu = menus[name] = bar.addMenu(name)
                menu.setProperty("group", group)
                menu.setFont(font)
            elif menu.property("group") != group:
                menu.addSeparator()
                menu.setProperty("group", group)
            menu.addAction(self.actions[command.id])


class _Calling:
    """Calls a command without the action's 'checked'."""

    def __init__(self, do: Callable[[], object]) -> None:
        self._do = do

    def __call__(self, _checked: bool = False) -> None:
        self._do()
