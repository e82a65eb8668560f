"""Type on paper: widths in mm, and making a text fit without losing it."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from PySide6.QtGui import QFont, QFontMetricsF, QRawFont, QTextLayout

from harness_studio.drawing import fonts

PT_MM = 25.4 / 72
LEAST_MM = 6 * PT_MM
"""No text on a sheet is smaller than this."""
SMALL_MM, TEXT_MM, HEAD_MM, TITLE_MM = 6.5 * PT_MM, 7.5 * PT_MM, 10 * PT_MM, 15 * PT_MM
LEADING = 1.24
"""From one line to the next, in sizes of the type; no glyph of a line reaches into the next."""
_EM = 1000
_UNSEEN = ("Cc", "Cf", "Cs", "Zs", "Zl", "Zp", "Mn", "Mc", "Me")
"""Categories of signs without a picture of their own. Private and unassigned ones (Co, Cn) do print as boxes."""


def font(px: int, weight: int) -> QFont:
    """Return the font for paper: without hinting, and without ligatures so that the text can be searched."""
    made = fonts.font(px, weight)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    made.setFeature(QFont.Tag("liga"), 0)
    return made


@fonts.once_a_thread
def _metrics(weight: int) -> QFontMetricsF:
    return QFontMetricsF(font(_EM, weight))


@lru_cache(maxsize=8)
def cap_share(weight: int) -> float:
    """Return the height of a capital over the size of the type."""
    return _metrics(weight).capHeight() / _EM


@lru_cache(maxsize=50_000)
def _ems(text: str, weight: int) -> float:
    return _metrics(weight).horizontalAdvance(text) / _EM


def width_mm(text: str, size_mm: float, weight: int = fonts.REGULAR) -> float:
    """Return how wide a line of text is."""
    return _ems(text, weight) * size_mm


def plain(text: str) -> str:
    """Return a text as one line that can be printed: no line breaks, no control or surrogate characters."""
    kept = "".join(" " if c.isspace() else c for c in text)
    return " ".join("".join(c for c in kept if unicodedata.category(c) not in ("Cc", "Cs")).split())


def missing(texts: Iterable[str]) -> str:
    """Return the letters of texts that no font here has, its own or the system's: they print as boxes."""
    own = QRawFont.fromFont(font(_EM, fonts.REGULAR))
    doubtful = {c for text in texts for c in text if ord(c) > 126 and not own.supportsCharacter(ord(c))}
    return "".join(sorted(c for c in doubtful if unicodedata.category(c) not in _UNSEEN and _boxed(c)))


def _boxed(letter: str) -> bool:
    layout = QTextLayout(letter, font(_EM, fonts.REGULAR))
    layout.beginLayout()
    layout.createLine()
    layout.endLayout()
    glyphs = [index for run in layout.glyphRuns() for index in run.glyphIndexes()]
    return not any(glyphs)


def shrunk(text: str, size_mm: float, room_mm: float, weight: int = fonts.REGULAR) -> tuple[str, float]:
    """Return (text, size) that fit a room on one line: smaller first, cut with '…' where the least size is too wide."""
    wide = width_mm(text, size_mm, weight)
    if wide <= room_mm:
        return text, size_mm
    size = max(LEAST_MM, size_mm * room_mm / wide * 0.999)
    return elided(text, size, room_mm, weight), size


def elided(text: str, size_mm: float, room_mm: float, weight: int = fonts.REGULAR) -> str:
    """Return the text, or as much of its beginning as fits with '…' to say that there is more."""
    if width_mm(text, size_mm, weight) <= room_mm:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_mm(text[:middle].rstrip() + "…", size_mm, weight) <= room_mm:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"


def wrapped(text: str, size_mm: float, room_mm: float, weight: int = fonts.REGULAR) -> list[str]:
    """Return the lines of a text in a room; a word that is too wide for it is broken."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in plain(paragraph).split(" "):
            trial = f"{line} {word}" if line else word
            if width_mm(trial, size_mm, weight) <= room_mm:
                line = trial
                continue
            if line:
                lines.append(line)
            *whole, line = _broken(word, size_mm, room_mm, weight)
            lines.extend(whole)
        lines.append(line)
    return lines or [""]


def _broken(word: str, size_mm: float, room_mm: float, weight: int) -> list[str]:
    pieces = []
    while width_mm(word, size_mm, weight) > room_mm and len(word) > 1:
        fits = (n for n in range(len(word), 1, -1) if width_mm(word[:n], size_mm, weight) <= room_mm)
        count = next(fits, 1)
        cut = max((word.rfind(sign, 1, count) + 1 for sign in "-/._"), default=0)
        count = cut if cut > count / 2 else count
        pieces.append(word[:count])
        word = word[count:]
    return [*pieces, word]


def widest_word_mm(text: str, size_mm: float, weight: int = fonts.REGULAR) -> float:
    """Return how wide the widest word of a text is."""
    return max((width_mm(word, size_mm, weight) for word in text.split()), default=0.0)
