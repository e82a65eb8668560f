"""How far work beside the window is."""

from __future__ import annotations

from dataclasses import dataclass

LOOK_MS = 120
"""How often it is told."""


@dataclass(frozen=True, slots=True)
class Progress:
    """What is being done, and how far it is, 0 to 1."""

    words: str
    part: float
