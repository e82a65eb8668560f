"""The page of findings in the drawer; its inside, and all the rules with it, are loaded when it is first opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from harness_studio.drawing.theme import Theme, light

if TYPE_CHECKING:
    from harness_studio.session.session import Session

    from .body import Body


class FindingsPage(QWidget):
    """The page. `made` is called with its inside, once."""

    title = "Findings"
    keeps_open = True

    def __init__(self, parent: QWidget, made: Callable[[Body], None], opened: Callable[[], None]) -> None:
        super().__init__(parent)
        self._made = made
        self._opened = opened
        self._theme: Theme = light()
        self._body: Body | None = None
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 14, 18, 12)

    @property
    def body(self) -> Body:
        """The inside."""
        if self._body is None:
            from .body import Body

            self._body = Body(self)
            self._body.set_theme(self._theme)
            layout = self.layout()
            assert layout is not None
            layout.addWidget(self._body)
            self._made(self._body)
        return self._body

    @property
    def made(self) -> bool:
        """Whether the page was opened before."""
        return self._body is not None

    def show_session(self, _: Session) -> None:
        """Show the findings as they are now."""
        self._opened()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._theme = theme
        if self._body is not None:
            self._body.set_theme(theme)
