"""A page of the drawer in a window of its own: for a second screen. Closing it puts the page back."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget


class Apart(QWidget):
    """Goes with the main window, and knows its commands by their keys."""

    closed = Signal(str)

    def __init__(self, page_id: str, title: str, page: QWidget, owner: QWidget) -> None:
        super().__init__(owner, Qt.WindowType.Window)
        self.setObjectName("drawer")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAttribute(Qt.WidgetAttribute.WA_ShowWithoutActivating)
        self.setWindowTitle(f"{title} · Harness Studio")
        self.page_id = page_id
        self.page = page
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 8, 0, 0)
        layout.addWidget(page)
        page.show()
        self.addActions(owner.actions())
        self.resize(420, 640)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Give the page back."""
        event.accept()
        self.closed.emit(self.page_id)
