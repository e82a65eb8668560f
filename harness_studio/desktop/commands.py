"""Everything the window can do, by name: menus, keys and the searchable list are made from this."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from harness_studio.drawing import fonts


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
    """

    id: str
    title: str
    menu: str
    do: Callable[[], object]
    keys: tuple[str, ...] = ()
    able: Callable[[], bool] = field(default=lambda: True)
    ticked: Callable[[], bool] | None = None


class Commands:
    """The commands of a window as actions."""

    def __init__(self, owner: QWidget, commands: list[Command]) -> None:
        self.all = commands
        self.actions: dict[str, QAction] = {}
        for command in commands:
            action = QAction(command.title, owner)
            action.setObjectName(command.id)
            action.setShortcuts([QKeySequence(keys) for keys in command.keys])
            action.setCheckable(command.ticked is not None)
            action.triggered.connect(_Calling(command.do))
            owner.addAction(action)
            self.actions[command.id] = action
        self.refresh()

    def refresh(self) -> None:
        """Let each action show whether it can be done, and whether it holds."""
        for command in self.all:
            action = self.actions[command.id]
            action.setEnabled(command.able())
            if command.ticked is not None:
                action.setChecked(command.ticked())

    def fill(self, bar: QMenuBar) -> None:
        """Make the menus, in the order in which the commands first name them; a menu's groups go by their letters."""
        font = fonts.font(fonts.TEXT_PX)  # menus would take a font of the system's
        bar.setFont(font)
        menus: dict[str, QMenu] = {}
        order = list(dict.fromkeys(c.menu.partition("/")[0] for c in self.all))
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
