"""What a law gives for one element: linear stamps and nonlinear two-poles."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from harness_studio.electrics.stamps import Stamp
from harness_studio.network.network import Assumption, Element

from .poles import TwoPole


@dataclass(slots=True)
class Pieces:
    """Grows while laws are asked; then read once."""

    stamps: list[Stamp] = field(default_factory=list)
    poles: list[TwoPole] = field(default_factory=list)
    notes: list[Assumption] = field(default_factory=list)

    def note(self, element: Element, what: str) -> None:
        """Note an assumption about an element."""
        self.notes.append(Assumption(element.address, what))


Law = Callable[[Element, "str | None", Pieces], None]
"""(element, its discrete state or None, pieces to add to)."""


def given(element: Element, name: str, default: float, unit: str, pieces: Pieces) -> float:
    """Return a rating, or the default with a note that it was assumed."""
    value = getattr(element.ratings, name, None)
    if value is None:
        pieces.note(element, f"{name} not known, {default:g} {unit} assumed")
        return default
    return float(value)


def pair(element: Element) -> tuple[int, int]:
    """Return the first two terminals' points."""
    first, second = tuple(element.terminals.values())[:2]
    return first, second
