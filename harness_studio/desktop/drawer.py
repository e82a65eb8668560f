"""The drawer at the right: pages by name, one of them open; it can be pinned, or stand in a window of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from harness_studio.drawing.theme import Theme

from .apart import Apart
from .details.page import Details
from .ground_map import GroundMap
from .meter_page import MeterPage
from .tabs import Tabs

if TYPE_CHECKING:
    from harness_studio.session.scheduler import Scheduler
    from harness_studio.session.session import Session

DETAILS, GROUND_MAP, METER = 0, 1, 2


GROUPS = {
    **dict.fromkeys(
        ("details", "ground_map", "meter", "common", "plots", "sweep", "two_modes", "build_board"), "Read"
    ),
    **dict.fromkeys(("findings", "casebook"), "Check"),
    **dict.fromkeys(("sheets", "history", "keys"), "Keep"),
}
"""Which group of the drawer a page stands in; the others are for recording a harness."""


class Drawer(QFrame):
    """Holds the pages."""

    def __init__(self, parent: QWidget | None = None, scheduler: Scheduler | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("drawer")
        self.setMinimumWidth(270)
        self.details = Details(self)
        self.ground_map = GroundMap(self)
        self.meter = MeterPage(self, scheduler)
        self._stack = QStackedWidget(self)
        self.tabs = Tabs(self)
        self.tabs.setAccessibleName("Pages of the drawer")
        self._numbers: dict[str, int] = {}
        self._pages: dict[str, QWidget] = {}
        self._apart: dict[str, Apart] = {}
        self._instead: dict[str, QLabel] = {}
        self.put_away = False
        self.pin_button = QPushButton("Pin this page", self)
        self.pin_button.setToolTip("What is clicked on the diagram then opens no other page")
        self.apart_button = QPushButton("Own window", self)
        self.pin_button.setCheckable(True)
        for button in (self.pin_button, self.apart_button):
            button.setObjectName("word")
        self.apart_button.clicked.connect(self._tear_current)
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
        row = QHBoxLayout()
        row.setContentsMargins(10, 2, 10, 4)
        row.addWidget(self.pin_button)
        row.addStretch(1)
        row.addWidget(self.apart_button)
        layout.addLayout(row)

    def _put(self, page_id: str, title: str, page: QWidget) -> None:
        self._numbers[page_id] = self.tabs.add(title, GROUPS.get(page_id, "Record"))
        self._pages[page_id] = page
        self._stack.addWidget(page)

    def add(self, page_id: str, page: QWidget) -> None:
        """Add a page of a room; see `rooms.Page`."""
        self._put(page_id, page.title, page)  # type: ignore[attr-defined]
        self._rooms.append(page)

    def has(self, page_id: str) -> bool:
        """Return whether there is such a page."""
        return page_id in self._numbers

    def _number(self, page: int | str) -> int:
        return self._numbers[page] if isinstance(page, str) else page

    def _id(self, number: int) -> str:
        return next(key for key, n in self._numbers.items() if n == number)

    def open(self, page: int | str) -> None:
        """Open a page, by number or id; one that stands in a window of its own comes to the front there."""
        self.put_away = False
        apart = self._apart.get(self._id(self._number(page)))
        if apart is not None:
            apart.show()
            apart.raise_()
            apart.activateWindow()
        else:
            self.tabs.setCurrentIndex(self._number(page))

    def call_up(self, page: int | str) -> None:
        """Open a page that is called for, with the drawer if that was put away."""
        self.show()
        self.open(page)

    @property
    def pinned(self) -> bool:
        """Whether the open page stays whatever is clicked on the diagram."""
        return self.pin_button.isChecked()

    def pin(self, pinned: bool) -> None:
        """Pin the open page, or let it go."""
        self.pin_button.setChecked(pinned)

    @property
    def keeps_open(self) -> bool:
        """Whether the open page stays when something is selected: pinned, or it shows the selection itself."""
        if self.pinned:
            return True
        return not self.isHidden() and bool(getattr(self._stack.currentWidget(), "keeps_open", False))

    @property
    def current(self) -> QWidget | None:
        """The open page."""
        return self._stack.currentWidget()

    @property
    def seen(self) -> list[QWidget]:
        """The pages that are seen: those in windows of their own, and the open one."""
        open_one = [self.current] if self.current is not None else []
        return [*(window.page for window in self._apart.values()), *open_one]

    @property
    def page_id(self) -> str:
        """Id of the open page."""
        return self._id(self.tabs.currentIndex())

    def offer(self, page: int | str) -> None:
        """Open a page, unless the open one is pinned or being worked with, or this one can be seen anyway."""
        apart = self._id(self._number(page)) in self._apart
        if not self.pinned and not apart and not getattr(self.current, "holds", False):
            self.tabs.setCurrentIndex(self._number(page))

    # Windows of their own --------------------------------------------------------------------------------------------

    def apart(self) -> dict[str, QByteArray]:
        """Return which pages stand in windows of their own, with the places of these."""
        return {page: window.saveGeometry() for page, window in self._apart.items()}

    def _tear_current(self) -> None:
        self.tear_off(self.page_id)

    def tear_off(self, page_id: str, place: QByteArray | None = None) -> None:
        """Put a page into a window of its own; a second time puts it back."""
        if page_id in self._apart:
            self._apart[page_id].close()
            return
        number = self._numbers[page_id]
        page, title = self._pages[page_id], self.tabs.tabText(number)
        instead = QLabel(f"{title} stands in a window of its own. Closing that puts it back here.", self)
        instead.setObjectName("quiet")
        instead.setWordWrap(True)
        instead.setAlignment(Qt.AlignmentFlag.AlignTop)
        instead.setMargin(18)
        self._stack.removeWidget(page)
        self._stack.insertWidget(number, instead)
        self._stack.setCurrentIndex(self.tabs.currentIndex())
        self._instead[page_id] = instead
        window = Apart(page_id, title, page, self.window())
        window.closed.connect(self._put_back)
        self._apart[page_id] = window
        if place is not None:
            window.restoreGeometry(place)  # it is shown with the first harness
        else:
            window.show()
        self._turned(self.tabs.currentIndex())

    def _put_back(self, page_id: str) -> None:
        window = self._apart.pop(page_id, None)
        if window is None:
            return
        number = self._numbers[page_id]
        instead = self._instead.pop(page_id)
        self._stack.removeWidget(instead)
        self._stack.insertWidget(number, window.page)
        instead.deleteLater()
        window.deleteLater()
        self._turned(self.tabs.currentIndex())

    def show_apart(self, shown: bool) -> None:
        """Show the windows of pages, or not: without a harness they have nothing to say."""
        for window in self._apart.values():
            window.setVisible(shown)

    def put_all_back(self) -> None:
        """Close the windows of pages: the main window goes."""
        for window in list(self._apart.values()):
            window.close()

    def show_session(self, session: Session) -> None:
        """Let the pages that are seen show a session; the others do when they are opened."""
        self._session = session
        self._refresh()

    def _turned(self, number: int) -> None:
        self._stack.setCurrentIndex(number)
        self.apart_button.setEnabled(self._id(number) not in self._apart)
        self._refresh()

    def _refresh(self) -> None:
        for page in (self._stack.currentWidget(), *(window.page for window in self._apart.values())):
            if page in self._rooms and self._session is not None:
                page.show_session(self._session)  # type: ignore[attr-defined]

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.details.theme = theme
        for page in self._rooms:
            page.set_theme(theme)  # type: ignore[attr-defined]
