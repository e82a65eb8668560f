"""The colours of the drawing on white paper."""

from __future__ import annotations

from functools import cache

from PySide6.QtGui import QColor

from harness_studio.drawing.theme import LIGHT_ROLES, Theme

_ON_WHITE = {
    "paper": "#FFFFFF",
    "panel": "#F1F0EC",
    "card": "#FFFFFF",
    "muted": "#53595F",
    "hairline": "#C9C6BF",
}


class PrintTheme(Theme):
    """The light theme for a printer: the paper is white, small grey text a little darker."""

    def __init__(self) -> None:
        super().__init__("light")
        self._roles = {**LIGHT_ROLES, **_ON_WHITE}

    def _full(self, name: str) -> QColor:
        # A colour that is no wire's, such as a fuse's, is named by its '#rrggbb'.
        return QColor(name) if name.startswith("#") and name[-1] not in "|!" else super()._full(name)


@cache
def on_white() -> PrintTheme:
    """Return the one theme for paper."""
    return PrintTheme()
