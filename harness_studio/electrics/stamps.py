"""Linear elements: the current into each terminal is a linear function of the terminals' volts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Stamp:
    """One linear element: i = J·v + c.

    Parameters
    ----------
    address
        The element's address.
    terms
        Indices of its points, one per terminal.
    siemens
        J, terminal by terminal, in A/V.
    amperes
        c, in A; positive into the element.
    """

    address: str
    terms: tuple[int, ...]
    siemens: tuple[tuple[float, ...], ...]
    amperes: tuple[float, ...]


def resistor(address: str, first: int, second: int, ohm: float) -> Stamp:
    """Return a resistance between two points: Ohm's law."""
    g = 1.0 / ohm
    return Stamp(address, (first, second), ((g, -g), (-g, g)), (0.0, 0.0))


def emf(address: str, plus: int, minus: int, volts: float, ohm: float) -> Stamp:
    """Return an EMF of `volts` behind `ohm` between two points (Thévenin source)."""
    g = 1.0 / ohm
    return Stamp(address, (plus, minus), ((g, -g), (-g, g)), (-g * volts, g * volts))


def series_regulator(address: str, feed: int, out: int, ground: int, volts: float, ohm: float) -> Stamp:
    """Return a source of `volts` above `ground` at `out` behind `ohm`, whose current is drawn from `feed`.

    The current into the feed equals the current out of the output, as in a series regulator or a chopper with a slow
    load; no current flows at the ground.
    """
    g = 1.0 / ohm
    return Stamp(
        address,
        (feed, out, ground),
        ((0.0, -g, g), (0.0, g, -g), (0.0, 0.0, 0.0)),
        (g * volts, -g * volts, 0.0),
    )


@dataclass(frozen=True, slots=True)
class StampGroup:
    """Stamps with the same number of terminals as arrays: terms (E, m), siemens (E, m, m), amperes (E, m)."""

    addresses: tuple[str, ...]
    terms: Ints
    siemens: Floats
    amperes: Floats

    @property
    def symmetric(self) -> bool:
        """Whether every J is symmetric."""
        return bool((self.siemens == self.siemens.transpose(0, 2, 1)).all())


def group(stamps: Sequence[Stamp]) -> tuple[StampGroup, ...]:
    """Gather stamps by their number of terminals."""
    import numpy as np

    by_count: dict[int, list[Stamp]] = {}
    for stamp in stamps:
        by_count.setdefault(len(stamp.terms), []).append(stamp)
    return tuple(
        StampGroup(
            tuple(s.address for s in some),
            np.array([s.terms for s in some], dtype=np.int64),
            np.array([s.siemens for s in some], dtype=np.float64),
            np.array([s.amperes for s in some], dtype=np.float64),
        )
        for some in by_count.values()
    )
