"""The drawer at the right: pages by name, one of them open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QStackedWidget, QVBoxLayout, QWidget

from harness_studio.drawing.theme import Theme

from .details import Details
from .ground_map import GroundMap
from .meter_page import MeterPage
from .tabs import Tabs

if TYPE_CHECKING:
    from harness_studio.session.session import Session

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
        self.tabs = Tabs(self)
        self.tabs.setAccessibleName("Pages of the drawer")
        self._numbers: dict[str, int] = {}
        self._rooms: list[QWidget] = []
        for page_id, title, page in (
            ("details", "Details", self.details),
            ("ground_map", "Ground map", self.ground_map),
            ("meter", "Meter", self.meter),
        ):
            self._put(page_id, title, page)
        self.tabs.currentChanged.connect(self._turned)
        self._session: Session | None = None
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 10, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.tabs)
        layout.addWidget(self._stack, 1)

    def _put(self, page_id: str, title: str, page: QWidget) -> None:
        self._numbers[page_id] = self.tabs.add(title)
        self._stack.addWidget(page)

    def add(self, page_id: str, page: QWidget) -> None:
        """Add a page of a room; see `rooms.Page`."""
        self._put(page_id, page.title, page)  # type: ignore[attr-defined]
        self._rooms.append(page)

    def open(self, page: int | str) -> None:
        """Open a page, by number or id."""
        self.tabs.setCurrentIndex(self._numbers[page] if isinstance(page, str) else page)

    @property
    def keeps_open(self) -> bool:
        """Whether the open page shows the selection itself."""
        return not self.isHidden() and bool(getattr(self._stack.currentWidget(), "keeps_open", False))

    @property
    def current(self) -> QWidget | None:
        """The open page."""
        return self._stack.currentWidget()

    def offer(self, page: int | str) -> None:
        """Open a page, unless the open one is being worked with by clicks on the diagram."""
        if not getattr(self.current, "holds", False):
            self.open(page)

    def show_session(self, session: Session) -> None:
        """Let the open page show a session; the others do when they are opened."""
        self._session = session
        self._refresh()

    def _turned(self, number: int) -> None:
        self._stack.setCurrentIndex(number)
        self._refresh()

    def _refresh(self) -> None:
        page = self._stack.currentWidget()
        if page in self._rooms and self._session is not None:
            page.show_session(self._session)  # type: ignore[attr-defined]

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.details.theme = theme
        for page in self._rooms:
            page.set_theme(theme)  # type: ignore[attr-defined]
