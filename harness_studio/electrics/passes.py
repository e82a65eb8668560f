"""Discrete states that were solved, and the way through them that an earlier solution took."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from .laws.pieces import Pieces
from .newton import Settled
from .system import System

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .again import Again

    Floats = NDArray[np.float64]


@dataclass(slots=True)
class Pass:
    """One discrete state solved; `memo` holds what judging these states needs.

    `again` is what many solutions of one network share: then they are as near as a meter asks, and no nearer.
    """

    states: dict[str, str]
    ohm: Floats
    pieces: Pieces
    system: System
    settled: Settled
    point_volts: Floats
    memo: dict[str, Any] = field(default_factory=dict)
    again: Again | None = None


Trail = dict[tuple[str, ...], Pass]
"""Passes of an earlier solution by their states: of the same network with other resistances."""


def same_branches(before: Floats, now: Floats) -> bool:
    """Tell whether the same branches carry current: none was opened, closed or became zero."""
    import numpy as np

    def kind(ohm: Floats) -> NDArray[np.float64]:
        return np.where(ohm == 0.0, 0.0, np.where(np.isfinite(ohm), 1.0, 2.0))

    return bool((kind(before) == kind(now)).all())
