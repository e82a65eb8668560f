"""How far a simulator that is content with a small mismatch of current may be off in volts, point by point.

ngspice ends its iteration once each node's currents balance within `abstol`. Between two studs that is nothing; at a
point that only a leak of 1 nS ties to the rest, 10 pA are 10 mV. There its answer is as good as that, no better.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from harness_studio.electrics.lawset import LawSet
from harness_studio.electrics.matrix import components
from harness_studio.electrics.solution import Solution


def seen_ohm(solution: Solution, laws: LawSet, points: list[int]) -> dict[int, float]:
    """Return the resistance that each point sees towards the grounded post: volts that 1 A into it would add."""
    network, ohm = solution.network, solution.ohm
    a, b = network.branches.a, network.branches.b
    pieces = laws.pieces(network, solution.states)
    joined = ohm == 0.0
    count, node = components(network.size, a[joined], b[joined])
    rows, columns, values = [], [], []

    def add(first: int, second: int, siemens: float) -> None:
        rows.append(node[first])
        columns.append(node[second])
        values.append(siemens)

    for number in np.flatnonzero(np.isfinite(ohm) & (ohm > 0.0)).tolist():
        for first, second, sign in ((a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)):
            add(first[number], second[number], sign / ohm[number])
    for stamp in pieces.stamps:
        for first, row in zip(stamp.terms, stamp.siemens, strict=True):
            for second, siemens in zip(stamp.terms, row, strict=True):
                add(first, second, siemens)
    for pole in pieces.poles:
        over = np.nan_to_num(np.array([solution.volts[pole.plus] - solution.volts[pole.minus]]))
        slope = float(pole.curve(over, np.array([pole.parameters]))[1][0])
        for first, second, sign in (
            (pole.plus, pole.plus, 1.0), (pole.minus, pole.minus, 1.0),
            (pole.plus, pole.minus, -1.0), (pole.minus, pole.plus, -1.0),
        ):  # fmt: skip
            add(first, second, sign * slope)
    assert network.grounded is not None
    lost = np.isnan(solution.volts)
    row = np.full(count, -1, dtype=np.int64)
    free = np.setdiff1d(np.unique(node[~lost]), [node[network.index[network.grounded]]])
    row[free] = np.arange(len(free))
    r, c, v = row[np.array(rows)], row[np.array(columns)], np.array(values)
    inside = (r >= 0) & (c >= 0)
    lu = splu(coo_matrix((v[inside], (r[inside], c[inside])), shape=(len(free), len(free))).tocsc())
    found = {}
    for point in points:
        at = row[node[point]]
        right: NDArray[np.float64] = np.zeros(len(free))
        right[at] = 1.0
        found[point] = abs(float(lu.solve(right)[at])) if at >= 0 else 0.0
    return found
