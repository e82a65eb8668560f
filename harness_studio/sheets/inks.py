"""The colours of the drawing on white paper."""

from __future__ import annotations

from functools import cache

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


@cache
def on_white() -> PrintTheme:
    """Return the one theme for paper."""
    return PrintTheme()
