"""Sizes of paper, and where the body of a page lies on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from harness_studio.base.errors import HarnessError, nearest
from harness_studio.base.geometry import Box

SIZES_MM: Mapping[str, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}
"""Upright sizes: ISO 216 for A4 and A3; ANSI/ASME Y14.1 sizes A and B for Letter and Tabloid."""

LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 15.0, 10.0, 20.0, 15.0
"""Margins of the body; the left one leaves room for holes, head and foot lie in the upper and lower one."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper as it is held."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def body(self) -> Box:
        """Where the content of a page lies."""
        return Box(LEFT_MM, TOP_MM, self.width_mm - LEFT_MM - RIGHT_MM, self.height_mm - TOP_MM - BOTTOM_MM)

    def lying(self) -> Paper:
        """Return it with the long side level."""
        long, short = max(self.width_mm, self.height_mm), min(self.width_mm, self.height_mm)
        return Paper(self.name, long, short)


def paper(name: str, *, landscape: bool = False) -> Paper:
    """Return a paper by its name, however its letters are written.

    Raises
    ------
    HarnessError
        If there is no such paper.
    """
    known = {key.lower(): key for key in SIZES_MM}
    key = known.get(name.lower())
    if key is None:
        near = nearest(name.lower(), known)
        hint = f"nearest is '{known[near]}'" if near else f"there are {', '.join(SIZES_MM)}"
        raise HarnessError(f"there is no paper '{name}'; {hint}")
    upright = Paper(key, *SIZES_MM[key])
    return upright.lying() if landscape else upright
