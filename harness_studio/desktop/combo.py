"""A list that opens: letters typed into it choose from it and call no command meanwhile."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox


class Combo(QComboBox):
    """A combo box that keeps plain letters, digits and blanks for itself."""

    def event(self, event: QEvent) -> bool:
        """Take what is typed before the commands of the window do."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
            if plain and event.text() and event.text().isprintable():
                event.accept()
                return True
        return super().event(event)
