"""What the window asks the user: files, and what to do with unsaved work. Tests bring their own answers."""

from __future__ import annotations

from pathlib import Path
from typing import Literal, Protocol

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

Leave = Literal["save", "discard", "stay"]
PROJECTS = "Harness projects (*.yaml *.yml);;All files (*)"
KBL = "Harness description lists (*.kbl *.xml);;All files (*)"


class Ask(Protocol):
    """Questions that the window cannot go on without."""

    def file_to_open(self, title: str, kinds: str) -> Path | None:
        """Return a file to read; None if the user changed their mind."""
        ...

    def file_to_save(self, title: str, suggested: str, kinds: str) -> Path | None:
        """Return a file to write; None if the user changed their mind."""
        ...

    def leave(self, title: str) -> Leave:
        """Return what to do with unsaved work."""
        ...


class Dialogs:
    """Asks with dialogs of the system."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def file_to_open(self, title: str, kinds: str) -> Path | None:
        """Ask for a file to read."""
        name, _ = QFileDialog.getOpenFileName(self._parent, title, "", kinds)
        return Path(name) if name else None

    def file_to_save(self, title: str, suggested: str, kinds: str) -> Path | None:
        """Ask for a file to write; a name without an ending gets that of the suggested one, or '.yaml'."""
        name, _ = QFileDialog.getSaveFileName(self._parent, title, suggested, kinds)
        if not name:
            return None
        path = Path(name)
        return path if path.suffix else path.with_suffix(Path(suggested).suffix or ".yaml")

    def leave(self, title: str) -> Leave:
        """Ask what to do with unsaved work."""
        box = QMessageBox(self._parent)
        box.setIcon(QMessageBox.Icon.Question)
        box.setText(f"'{title}' has changes that are not saved.")
        box.setInformativeText("They are lost if you leave without saving.")
        save = box.addButton("Save", QMessageBox.ButtonRole.AcceptRole)
        discard = box.addButton("Leave without saving", QMessageBox.ButtonRole.DestructiveRole)
        stay = box.addButton("Stay", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(save)
        box.setEscapeButton(stay)
        box.exec()
        clicked = box.clickedButton()
        return "save" if clicked is save else "discard" if clicked is discard else "stay"
