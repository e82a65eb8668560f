"""The colours of the drawing and the window, on light and on dark paper, and the pens made of them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QPen

from harness_studio.standards import colours

LIGHT_ROLES: Mapping[str, str] = {
    "paper": "#FBFAF7",
    "panel": "#F3F1EC",
    "card": "#FFFFFF",
    "ink": "#23272C",
    "muted": "#6C7278",
    "hairline": "#DAD7D0",
    "accent": "#0B6E75",
    "mend": "#B4690E",
    "stop": "#A6342A",
    "frame": "#555B61",
    "slab": "#E9E7E1",
    "metal": "#C9CBCC",
    "metal_edge": "#9EA2A5",
    "stud": "#7F868C",
    "washer": "#C8C8C8",
    "glow": "#F0C24A",
}
DARK_ROLES: Mapping[str, str] = {
    "paper": "#171A1C",
    "panel": "#1F2326",
    "card": "#262B2F",
    "ink": "#E8E5DF",
    "muted": "#9BA1A6",
    "hairline": "#3A4045",
    "accent": "#4FB3B8",
    "mend": "#E0A04A",
    "stop": "#E07A6E",
    "frame": "#A3A9AE",
    "slab": "#32383C",
    "metal": "#4A5157",
    "metal_edge": "#6B7378",
    "stud": "#8C949A",
    "washer": "#9AA1A6",
    "glow": "#F0C24A",
}
FADE = 0.16
"""What is left of a colour that stands back."""

_NO_PEN = QPen(Qt.PenStyle.NoPen)
_NO_BRUSH = QBrush(Qt.BrushStyle.NoBrush)


class Theme:
    """Colours by name.

    A name is a role ('ink'), an IEC 60757 code ('BN'), a code's outline ('BN|'), or what is legible on it ('BN!').

    Parameters
    ----------
    name
        'light' or 'dark'.
    strength
        1 for full colours; less mixes every colour but the paper with the paper.
    """

    def __init__(self, name: str, strength: float = 1.0) -> None:
        self.name = name
        self.dark = name == "dark"
        self.strength = strength
        self._roles = DARK_ROLES if self.dark else LIGHT_ROLES
        self._paper = QColor(self._roles["paper"])
        self._colours: dict[str, QColor] = {}
        self._pens: dict[tuple[str, float, str], QPen] = {}
        self._brushes: dict[str, QBrush] = {}
        self._pale: dict[str, bool] = {}

    def colour(self, name: str) -> QColor:
        """Return a colour by its name; the caller's own, who may make it thinner."""
        found = self._colours.get(name)
        if found is None:
            found = self._colours[name] = self._mixed(self._full(name))
        return QColor(found)

    def pen(self, name: str | None, width: float, cap: str = "round") -> QPen:
        """Return a pen of a width in the units of the drawing; none for no name."""
        if name is None:
            return _NO_PEN
        found = self._pens.get((name, width, cap))
        if found is None:
            found = QPen(
                self.colour(name),
                width,
                Qt.PenStyle.SolidLine,
                Qt.PenCapStyle.FlatCap if cap == "flat" else Qt.PenCapStyle.RoundCap,
                Qt.PenJoinStyle.RoundJoin,
            )
            self._pens[name, width, cap] = found
        return found

    def brush(self, name: str | None) -> QBrush:
        """Return a brush; none for no name."""
        if name is None:
            return _NO_BRUSH
        found = self._brushes.get(name)
        if found is None:
            found = self._brushes[name] = QBrush(self.colour(name))
        return found

    def is_pale(self, name: str) -> bool:
        """Tell whether a colour can hardly be seen on its paper without an outline."""
        found = self._pale.get(name)
        if found is None:
            found = self._pale[name] = not self.dark and self.colour(name).lightness() > 205
        return found

    def faded(self, strength: float) -> Theme:
        """Return this theme with its colours mixed with the paper; in steps, so that few themes are made."""
        step = round(strength * 64) / 64
        return self if step >= self.strength else theme(self.name, step)

    def _full(self, name: str) -> QColor:
        role = self._roles.get(name)
        if role:
            return QColor(role)
        if name.endswith("|"):
            return self._outline(self._full(name[:-1]))
        if name.endswith("!"):
            ground = self._full(name[:-1])
            return max((QColor("#FFFFFF"), QColor("#23272C")), key=lambda ink: _contrast(ink, ground))
        return QColor(colours.srgb(name, paper="dark" if self.dark else "light"))

    def _outline(self, core: QColor) -> QColor:
        """Return a tone that holds a wire's edge: darker than its core, or lighter where the paper is as dark."""
        if self.dark and _luma(core) < 110:
            return _blend(core, QColor("#FFFFFF"), 0.38)
        return _blend(core, QColor("#101214"), 0.42 if _luma(core) < 200 else 0.52)

    def _mixed(self, full: QColor) -> QColor:
        return full if self.strength >= 1 else _blend(self._paper, full, self.strength)


@cache
def theme(name: str, strength: float = 1.0) -> Theme:
    """Return the one theme of a name and strength."""
    return Theme(name, strength)


def light() -> Theme:
    """Return the theme of light paper."""
    return theme("light")


def dark() -> Theme:
    """Return the theme of dark paper."""
    return theme("dark")


def _luma(colour: QColor) -> float:
    return 0.299 * colour.red() + 0.587 * colour.green() + 0.114 * colour.blue()


def _contrast(a: QColor, b: QColor) -> float:
    """Return the contrast ratio of two colours, from 1 to 21 (W3C, WCAG 2.1)."""

    def light(colour: QColor) -> float:
        parts = (colour.redF(), colour.greenF(), colour.blueF())
        linear = [v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = max(light(a), light(b)), min(light(a), light(b))
    return (high + 0.05) / (low + 0.05)


def _blend(base: QColor, other: QColor, share: float) -> QColor:
    """Return `base` with `share` of `other` in it."""
    return QColor.fromRgbF(
        base.redF() + (other.redF() - base.redF()) * share,
        base.greenF() + (other.greenF() - base.greenF()) * share,
        base.blueF() + (other.blueF() - base.blueF()) * share,
    )
