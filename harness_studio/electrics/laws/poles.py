"""Nonlinear two-poles: current as a function of the volts across, evaluated for all elements of a family at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

Curve = Callable[["Floats", "Floats"], "tuple[Floats, Floats]"]
"""(volts (E,), parameters (E, p)) → (amperes (E,), siemens (E,))."""


@dataclass(frozen=True, slots=True)
class TwoPole:
    """One nonlinear element between two points: i = curve(v_plus − v_minus, parameters)."""

    address: str
    plus: int
    minus: int
    curve: Curve
    parameters: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PoleGroup:
    """Two-poles of one curve as arrays: plus (E,), minus (E,), parameters (E, p)."""

    addresses: tuple[str, ...]
    plus: Ints
    minus: Ints
    curve: Curve
    parameters: Floats


def group_poles(poles: Sequence[TwoPole]) -> tuple[PoleGroup, ...]:
    """Gather two-poles by their curve."""
    import numpy as np

    by_curve: dict[Curve, list[TwoPole]] = {}
    for pole in poles:
        by_curve.setdefault(pole.curve, []).append(pole)
    return tuple(
        PoleGroup(
            tuple(p.address for p in some),
            np.array([p.plus for p in some], dtype=np.int64),
            np.array([p.minus for p in some], dtype=np.int64),
            curve,
            np.array([p.parameters for p in some], dtype=np.float64),
        )
        for curve, some in by_curve.items()
    )
