"""The order of symbols within columns that crosses few wires: barycentre sweeps.

K. Sugiyama, S. Tagawa and M. Toda, 'Methods for visual understanding of hierarchical system structures', IEEE Trans.
Systems, Man and Cybernetics SMC-11 (1981) 109-125.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .columns import Columns, Strand

_SWEEPS = 12
_PAIRS_MOST = 1500
"""Crossings between two columns with more strands than this are not counted."""


def order_columns(columns: Columns, fixed: Sequence[bool]) -> None:
    """Bring the nodes of each column into an order that crosses few wires, in place.

    Parameters
    ----------
    fixed
        For each node, whether its wires leave in a fixed order (a box); a comb's teeth follow the order.

    Notes
    -----
    Sweeps go to the right and back; each sorts a column by the mean place of the neighbours in the column before it.
    The best of all orders is kept. Ties keep the order, so that the result is the same for the same harness.
    """
    left, right = _sides(columns)
    best = [list(column) for column in columns.columns]
    fewest = crossings(columns, fixed)
    for sweep in range(_SWEEPS):
        forward = sweep % 2 == 0
        numbers = range(1, len(columns.columns)) if forward else range(len(columns.columns) - 2, -1, -1)
        place = _places(columns)
        for number in numbers:
            _sort_column(columns, number, left if forward else right, place, fixed)
        found = crossings(columns, fixed)
        if found < fewest:
            fewest = found
            best = [list(column) for column in columns.columns]
    columns.columns = best


Beside = list[list[tuple[int, float, int]]]
"""For each node its neighbours on one side: (node, share of its height where the wires leave it, wires)."""


def _sides(columns: Columns) -> tuple[Beside, Beside]:
    left: Beside = [[] for _ in columns.nodes]
    right: Beside = [[] for _ in columns.nodes]
    for strand in columns.strands:
        if columns.nodes[strand.first].column == columns.nodes[strand.second].column:
            continue
        share_a, share_b = _shares(columns, strand)
        left[strand.second].append((strand.first, share_a, len(strand.offsets_mm)))
        right[strand.first].append((strand.second, share_b, len(strand.offsets_mm)))
    return left, right


def _shares(columns: Columns, strand: Strand) -> tuple[float, float]:
    """Return where, as a share of each node's height about its middle, the wires of a strand leave on average."""
    count = max(1, len(strand.offsets_mm))
    a, b = columns.nodes[strand.first], columns.nodes[strand.second]
    return (
        sum(x for x, _ in strand.offsets_mm) / count / (a.above_mm + a.below_mm),
        sum(y for _, y in strand.offsets_mm) / count / (b.above_mm + b.below_mm),
    )


def _places(columns: Columns) -> dict[int, int]:
    return {node: place for column in columns.columns for place, node in enumerate(column)}


def _sort_column(
    columns: Columns, number: int, beside: Beside, place: dict[int, int], fixed: Sequence[bool]
) -> None:
    column = columns.columns[number]
    wish: dict[int, float] = {}
    for node in column:
        weight = sum(n for _, _, n in beside[node])
        if weight:
            wish[node] = (
                sum((place[other] + (share if fixed[other] else 0.0)) * n for other, share, n in beside[node])
                / weight
            )
    # A node without neighbours on that side keeps its place; the others are sorted among themselves.
    moving = iter(sorted((n for n in column if n in wish), key=lambda n: (wish[n], place[n])))
    columns.columns[number] = [next(moving) if n in wish else n for n in column]
    place.update({node: i for i, node in enumerate(columns.columns[number])})


def crossings(columns: Columns, fixed: Sequence[bool]) -> int:
    """Return how many pairs of wires cross between neighbouring columns when each runs straight."""
    place = _places(columns)
    by_channel: dict[int, list[tuple[float, float, int]]] = {}
    for strand in columns.strands:
        a, b = columns.nodes[strand.first], columns.nodes[strand.second]
        if a.column == b.column:
            continue
        share_a, share_b = _shares(columns, strand)
        ya = place[strand.first] + (share_a if fixed[strand.first] else 0.0)
        yb = place[strand.second] + (share_b if fixed[strand.second] else 0.0)
        by_channel.setdefault(a.column, []).append((ya, yb, len(strand.offsets_mm)))
    return sum(_inversions(np.array(some)) for some in by_channel.values() if len(some) <= _PAIRS_MOST)


def _inversions(ends: NDArray[np.float64]) -> int:
    """Return the weighted number of pairs whose order is not the same at both sides; `ends` is (n, 3)."""
    a, b, weight = ends[:, 0], ends[:, 1], ends[:, 2]
    crossed = (a[:, None] < a[None, :]) & (b[:, None] > b[None, :])
    return int((crossed * np.outer(weight, weight)).sum())
