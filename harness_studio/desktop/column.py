"""Widgets one below the other."""

from __future__ import annotations

from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget


def column(*widgets: QWidget) -> QWidget:
    """Return widgets one below the other; the last but the foot takes the room."""
    holder = QWidget()
    layout = QVBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    for widget in widgets:
        layout.addWidget(widget, 1 if isinstance(widget, QStackedWidget | QSplitter) else 0)
    return holder
