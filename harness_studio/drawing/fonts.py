"""The type of the program: Source Sans 3 from its package, registered once with Qt."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import cache, wraps
from importlib import metadata
from pathlib import Path
from typing import ParamSpec, TypeVar

from PySide6.QtGui import QFont, QFontDatabase

from harness_studio.base.errors import HarnessError

PACKAGE = "fontpkg-source-sans-3"
SMALL_PX, TEXT_PX, HEAD_PX = 11, 13, 16
"""The three sizes on screen."""
REGULAR, STRONG, BOLD = 400, 600, 700
"""The weights that are used."""


_P = ParamSpec("_P")
_R = TypeVar("_R")


def once_a_thread(make: Callable[_P, _R]) -> Callable[_P, _R]:
    """Keep what a function of fonts returns, for each thread by itself: a QFont must not be used by two at once."""
    kept = threading.local()

    @wraps(make)
    def find(*arguments: _P.args, **named: _P.kwargs) -> _R:
        by_call: dict[str, _R] = kept.__dict__
        key = repr((arguments, named))
        if key not in by_call:
            by_call[key] = make(*arguments, **named)
        return by_call[key]

    return find


class FontMissing(HarnessError):
    """The font that belongs to the program is not there, so no text could be measured or drawn."""


def font_file() -> Path:
    """Return the upright variable font of the package.

    Raises
    ------
    FontMissing
        If the package or its file is not installed.
    """
    try:
        listed = metadata.files(PACKAGE) or []
    except metadata.PackageNotFoundError:
        raise FontMissing(f"the font package '{PACKAGE}' is not installed: pip install {PACKAGE}") from None
    for file in listed:
        if file.suffix == ".ttf" and "Italic" not in file.name:
            found = Path(str(file.locate()))
            if found.is_file():
                return found
    raise FontMissing(f"the font package '{PACKAGE}' holds no upright font file: install it again")


@cache
def family() -> str:
    """Register the font with Qt and return its family name; a running QGuiApplication is needed.

    Raises
    ------
    FontMissing
        If the font is not installed or Qt cannot read it.
    """
    file = font_file()
    number = QFontDatabase.addApplicationFont(str(file))
    names = QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
    if not names:
        raise FontMissing(f"the font file '{file}' cannot be read: install {PACKAGE} again")
    return names[0]


def font(px: float, weight: int = REGULAR) -> QFont:
    """Return the font at a size in pixels of the device it is drawn on.

    The file holds one design with a weight axis; its default is far too thin, so the axis is always set.
    """
    made = QFont(family())
    made.setPixelSize(max(1, round(px)))
    made.setVariableAxis(QFont.Tag("wght"), weight)
    made.setHintingPreference(QFont.HintingPreference.PreferVerticalHinting)
    return made
