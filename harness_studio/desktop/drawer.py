"""The drawer at the right: pages by name, one of them open."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QStackedWidget, QTabBar, QVBoxLayout, QWidget

from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme

from .details import Details
from .ground_map import GroundMap
from .meter_page import MeterPage

DETAILS, GROUND_MAP, METER = 0, 1, 2


class Drawer(QFrame):
    """Holds the pages."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("drawer")
        self.setMinimumWidth(270)
        self.details = Details(self)
        self.ground_map = GroundMap(self)
        self.meter = MeterPage(self)
        self._stack = QStackedWidget(self)
        self.tabs = QTabBar(self)
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setFont(fonts.font(fonts.TEXT_PX))
        self.tabs.setAccessibleName("Pages of the drawer")
        for title, page in (
            ("Details", self.details),
            ("Ground map", self.ground_map),
            ("Meter", self.meter),
        ):
            self.tabs.addTab(title)
            self._stack.addWidget(page)
        self.tabs.currentChanged.connect(self._stack.setCurrentIndex)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 10, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.tabs)
        layout.addWidget(self._stack, 1)

    def open(self, page: int) -> None:
        """Open a page."""
        self.tabs.setCurrentIndex(page)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.details.theme = theme
