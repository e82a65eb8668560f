"""Sparse nodal matrices: merging points, connectivity, factoring.

Modified nodal analysis without extra unknowns: every source has a resistance, and points joined by zero ohms are one
node (union-find), so the matrix of resistances is symmetric and positive definite once the reference is taken out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


def components(size: int, a: Ints, b: Ints) -> tuple[int, Ints]:
    """Return the number of connected components of `size` nodes under edges a[i]-b[i], and each node's label."""
    import numpy as np
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    edges = coo_matrix((np.ones(len(a), dtype=np.int8), (a, b)), shape=(size, size))
    count, labels = connected_components(edges, directed=False)
    return int(count), labels.astype(np.int64)


def few_components(size: int, a: Ints, b: Ints) -> Ints:
    """Return each node's label, as `components` does; sooner for a few hundred edges (union-find)."""
    import numpy as np

    parent = list(range(size))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = node = parent[parent[node]]
        return node

    for one, other in zip(a.tolist(), b.tolist(), strict=True):
        parent[root(one)] = root(other)
    return np.array([root(node) for node in range(size)], dtype=np.int64)


def merge_points(size: int, a: Ints, b: Ints, ohm: Floats) -> tuple[int, Ints]:
    """Return the number of nodes after joining all points that zero ohms connect, and each point's node."""
    import numpy as np

    zero = ohm == 0.0
    if not zero.any():
        return size, np.arange(size, dtype=np.int64)
    return components(size, a[zero], b[zero])


@dataclass(slots=True)
class Factored:
    """A factored matrix on the rows `kept` of a larger set of nodes.

    `row` maps a node to its row, or -1 where it is the reference or lies in an island.
    """

    lu: Any
    matrix: Any
    row: Ints
    kept: Ints

    def solve(self, right: Floats) -> Floats:
        """Solve for one or several right-hand sides (rows × columns), with one step of iterative refinement."""
        solved = self.lu.solve(right)
        solved += self.lu.solve(right - self.matrix @ solved)
        found: Floats = solved
        return found


def laplacian(size: int, a: Ints, b: Ints, siemens: Floats) -> tuple[Ints, Ints, Floats]:
    """Return rows, columns and values of the conductance matrix of branches a[i]-b[i]."""
    import numpy as np

    rows = np.concatenate((a, b, a, b))
    columns = np.concatenate((a, b, b, a))
    return rows, columns, np.concatenate((siemens, siemens, -siemens, -siemens))


def sparse_factors(matrix: Any, *, ordered: bool) -> Any:
    """Return SuperLU's factors of a nodal matrix (CSC), with its pivots on the diagonal (symmetric mode).

    `ordered` says that rows and columns stand in an order of little fill already. Narrow panels suit these matrices: a
    harness is nearly a tree.

    Raises
    ------
    RuntimeError
        If the matrix is singular.
    """
    from scipy.sparse.linalg import splu

    return splu(
        matrix,
        permc_spec="NATURAL" if ordered else "MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        panel_size=1,
        options={"SymmetricMode": True},
    )


def factor(
    size: int,
    rows: Ints,
    columns: Ints,
    values: Floats,
    keep: Bools,
    *,
    symmetric: bool,
    order: Ints | None = None,
) -> Factored:
    """Factor the matrix given in coordinates, on the nodes that `keep` marks.

    Parameters
    ----------
    size
        Number of nodes.
    rows, columns, values
        Coordinates; equal ones are summed.
    keep
        Nodes that are unknowns; shape (size,).
    symmetric
        Whether the values are symmetric: SuperLU then pivots on the diagonal (symmetric mode).
    order
        An order of elimination of all nodes with little fill, where one is known.

    Raises
    ------
    RuntimeError
        If the matrix is singular (from SuperLU).
    """
    import numpy as np
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import splu

    kept = np.flatnonzero(keep) if order is None else order[keep[order]]
    row = np.full(size, -1, dtype=np.int64)
    row[kept] = np.arange(len(kept))
    inside = keep[rows] & keep[columns]
    matrix = coo_matrix(
        (values[inside], (row[rows[inside]], row[columns[inside]])), shape=(len(kept), len(kept))
    ).tocsc()
    if symmetric:
        lu = sparse_factors(matrix, ordered=order is not None)
    else:
        lu = splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.001)
    return Factored(lu, matrix, row, kept)
