"""Whose Ctrl+Z is: a field's while something typed in it can be undone, else the window's."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent, QKeySequence


def is_windows_undo(event: QEvent, undo: Callable[[], bool], redo: Callable[[], bool]) -> bool:
    """Return whether an event asks a field if it wants a key that the window undoes or redoes with.

    Parameters
    ----------
    undo, redo
        Whether the field itself has something to undo, and to redo.
    """
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    keys = QKeySequence.StandardKey
    return (event.matches(keys.Undo) and not undo()) or (event.matches(keys.Redo) and not redo())
