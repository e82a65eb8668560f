"""How strongly circuits disturb one another: volts of rise at one return per ampere of another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import AddressError

from .sweep import Base

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Coupling:
    """mV of rise at point i per ampere put in at point j: `mv_per_a[i, j]`, symmetric for a resistive network."""

    points: tuple[str, ...]
    mv_per_a: Floats


def coupling(base: Base, points: tuple[str, ...]) -> Coupling:
    """Return the coupling between points from the linearised full network (the Jacobian at the solution).

    Loads and sources stay in, as they are at their working point: Z = J⁻¹ on the chosen points.

    Raises
    ------
    AddressError
        If a point is not in the network, or carries no element (only elements' terminals are kept as nodes).
    """
    import numpy as np

    rows = []
    for point in points:
        index = base.network.index.get(point)
        row = -1 if index is None else int(base.rows[index])
        if row < 0:
            raise AddressError(f"'{point}' is no terminal of a load or source in this network")
        rows.append(int(base.system.unknown[row]))
    right = np.zeros((len(base.system.kept), len(points)))
    for column, row in enumerate(rows):
        if row >= 0:
            right[row, column] = 1.0
    solved = base.lu.solve(right)
    found = np.zeros((len(points), len(points)))
    for i, row in enumerate(rows):
        if row >= 0:
            found[i] = solved[row] * 1000.0
    return Coupling(points, found)
