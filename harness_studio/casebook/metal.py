"""Volts at points between the elements, for one joint made worse at a time.

The sweep gives volts where elements touch the metal. Between them the metal is linear: with G the conductance matrix of
the points in between and v_b the volts at elements, G·v = −G_b·v_b; one changed edge is a rank-one update of G
(Sherman and Morrison, 1950).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from harness_studio.electrics.sweep import STAND_IN_OHM, Base

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

LEAK_S = 1e-12
"""Keeps metal that hangs on nothing at 0 V."""


@dataclass(frozen=True, slots=True)
class Between:
    """The metal between elements, factored. `inner` gives the row of a point in G, -1 for points at elements."""

    inner: Ints
    edge: Ints
    siemens: Floats
    to_edge: Any
    lu: Any


def between(base: Base) -> Between:
    """Return the factored metal of a solved state."""
    import numpy as np
    from scipy.sparse import coo_matrix, csc_matrix, identity
    from scipy.sparse.linalg import splu

    branches, ohm = base.network.branches, base.done.ohm
    on = np.flatnonzero(np.isfinite(ohm))
    siemens = 1.0 / np.maximum(ohm[on], STAND_IN_OHM)
    inner = np.full(base.network.size, -1, dtype=np.int64)
    free = np.flatnonzero(base.rows < 0)
    inner[free] = np.arange(len(free))
    number = np.arange(len(on))
    rows = np.concatenate([number, number])
    columns = np.concatenate([branches.a[on], branches.b[on]])
    signs = np.concatenate([np.ones(len(on)), -np.ones(len(on))])
    incidence = coo_matrix((signs, (rows, columns)), shape=(len(on), base.network.size)).tocsc()
    laplace = (incidence.T.multiply(siemens)) @ incidence
    laplace = csc_matrix(laplace)
    block = laplace[free][:, free] + LEAK_S * identity(len(free))
    edge = np.full(len(branches), -1, dtype=np.int64)
    edge[on] = number
    lu = splu(csc_matrix(block)) if len(free) else None
    return Between(inner, edge, siemens, laplace[free], lu)


def volts_at(
    metal: Between, base: Base, joint: str, at_elements: Floats, points: Ints, added_ohm: float
) -> Floats:
    """Return volts at `points`, shape (points,), with a joint worse by `added_ohm`.

    `at_elements` are the volts that the sweep gives for that joint, shape (all points,), NaN in between.
    """
    import numpy as np

    known = np.where(metal.inner < 0, np.nan_to_num(at_elements), 0.0)
    volts = known.copy()
    if metal.lu is None:
        return volts[points]
    free = np.flatnonzero(metal.inner >= 0)
    volts[free] = metal.lu.solve(-(metal.to_edge @ known))
    if not added_ohm:
        return volts[points]
    number = base.network.joints[joint]
    a, b = int(base.network.branches.a[number]), int(base.network.branches.b[number])
    g = float(metal.siemens[metal.edge[number]])
    change = 1.0 / (1.0 / g + added_ohm) - g
    u = np.zeros(len(free))
    for point, sign in ((a, 1.0), (b, -1.0)):
        if metal.inner[point] >= 0:
            u[metal.inner[point]] = sign
    column = metal.lu.solve(u)
    share = change * (volts[a] - volts[b]) / (1.0 + change * float(u @ column))
    volts[free] -= column * share
    return volts[points]
