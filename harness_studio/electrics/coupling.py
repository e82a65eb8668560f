"""How strongly circuits disturb one another: volts of rise at one return per ampere of another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import AddressError
from harness_studio.network.network import Network

from .rated import SOURCE_KINDS
from .returns import metal_of
from .solution import Solution
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


def return_points(network: Network, solution: Solution) -> tuple[str, ...]:
    """Return the points where loads return, each once, in the order of the file.

    A load returns at the terminal that metal joins to the grounded post or to a body; one that has none in this mode
    is left out.
    """
    metal = metal_of(network, solution.ohm)
    label = metal.label[metal.node]
    held = list(network.body_centres.values())
    if network.grounded is not None:
        held.append(network.index[network.grounded])
    ground = {int(label[i]) for i in held}
    found: dict[str, None] = {}
    for element in network.elements:
        if element.kind in SOURCE_KINDS:
            continue
        ends = [i for i in reversed(list(element.terminals.values())) if int(label[i]) in ground]
        if ends:
            found.setdefault(network.points[ends[0]])
    return tuple(found)


def in_blocks(found: Coupling) -> Coupling:
    """Return the same coupling, its points put in an order in which those that share metal stand together.

    Average linkage of 1 − |Z_ij| / √(Z_ii Z_jj), with the leaves turned so that neighbours are alike (Bar-Joseph,
    Gifford and Jaakkola, Bioinformatics 17, 2001, as scipy has it).
    """
    import numpy as np

    count = len(found.points)
    if count < 3:
        return found
    from scipy.cluster.hierarchy import leaves_list, linkage
    from scipy.spatial.distance import squareform

    own = np.sqrt(np.maximum(np.diag(found.mv_per_a), 1e-12))
    alike = np.clip(np.abs(found.mv_per_a) / np.outer(own, own), 0.0, 1.0)
    apart = 1.0 - (alike + alike.T) / 2.0
    np.fill_diagonal(apart, 0.0)
    order = leaves_list(linkage(squareform(apart, checks=False), "average", optimal_ordering=True)).tolist()
    return Coupling(tuple(found.points[i] for i in order), found.mv_per_a[np.ix_(order, order)])
