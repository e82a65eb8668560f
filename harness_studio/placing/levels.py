"""Heights of nodes in columns that let as many wires as possible run straight, without changing the order."""

from __future__ import annotations

from bisect import bisect
from collections.abc import Sequence
from itertools import pairwise

from .columns import GAP_MM, Columns, Node

_PASSING_GAP_MM = 2.0
_STEP_MM = 2.0
_SWEEPS = 6
_BAND_MM = 10.0


def levels(columns: Columns, start: Sequence[float] | None = None) -> list[float]:
    """Return the height of each node's middle in mm, y downwards.

    Parameters
    ----------
    start
        Heights to start from; stacked from zero if not given.

    Notes
    -----
    Each sweep goes through the columns and gives every column the heights that are nearest in sum to those its wires
    would like, with the least distances kept: isotonic regression in the L1 norm by pooling adjacent violators, where a
    pool stands at the median of its wishes. A median lets one wire run exactly straight where a mean lets none. Wires
    from one sheaf of columns to another wish for nothing: all sheaves stand at the same height.
    """
    y = list(start) if start is not None else _stacked(columns)
    left, right = _wishes(columns)
    both = [a + b for a, b in zip(left, right, strict=True)]
    count = len(columns.columns)
    for sweep in range(_SWEEPS):
        forward = sweep % 2 == 0
        last = sweep >= _SWEEPS - 2
        for number in range(count) if forward else range(count - 1, -1, -1):
            wishes = both if last else left if forward else right
            _settle_column(columns, columns.columns[number], wishes, y)
    for sheaf in sorted(set(columns.sheaf)):
        _close_up(columns, sheaf, y)
    return y


Wishes = list[list[tuple[int, float]]]
"""For each node: (neighbour, difference of the heights at which a wire between them is straight)."""


def _wishes(columns: Columns) -> tuple[Wishes, Wishes]:
    left: Wishes = [[] for _ in columns.nodes]
    right: Wishes = [[] for _ in columns.nodes]
    for strand in columns.strands:
        first, second = columns.nodes[strand.first].column, columns.nodes[strand.second].column
        if first == second or columns.sheaf[first] != columns.sheaf[second]:
            continue
        for a, b in strand.offsets_mm:
            left[strand.second].append((strand.first, a - b))
            right[strand.first].append((strand.second, b - a))
    return left, right


def distance(upper: Node, lower: Node) -> float:
    """Return the least distance of two middles, one below the other."""
    gap = GAP_MM if upper.symbol and lower.symbol else _PASSING_GAP_MM
    return upper.below_mm + gap + lower.above_mm


def _stacked(columns: Columns) -> list[float]:
    y = [0.0] * len(columns.nodes)
    for column in columns.columns:
        for upper, lower in pairwise(column):
            y[lower] = y[upper] + distance(columns.nodes[upper], columns.nodes[lower])
        if column:
            middle = (y[column[0]] + y[column[-1]]) / 2
            for node in column:
                y[node] -= middle
    return y


def _settle_column(columns: Columns, column: Sequence[int], wishes: Wishes, y: list[float]) -> None:
    """Move the nodes of one column to where their wires would like them, as far as the distances allow.

    A node without a wish stands close below the one before it.
    """
    offset = 0.0
    offsets: list[float] = []
    pools: list[tuple[list[float], int]] = []  # (wishes, sorted; how many nodes)
    waiting = 0
    for number, node in enumerate(column):
        if number:
            offset += distance(columns.nodes[column[number - 1]], columns.nodes[node])
        offsets.append(offset)
        wanted = sorted(y[other] + shift - offset for other, shift in wishes[node])
        if not wanted:
            if pools:
                pools[-1] = (pools[-1][0], pools[-1][1] + 1)
            else:
                waiting += 1
            continue
        pools.append((wanted, 1 + waiting))
        waiting = 0
        while len(pools) > 1 and _median(pools[-2][0]) > _median(pools[-1][0]):
            later, count = pools.pop()
            earlier, before = pools.pop()
            pools.append((_merged(earlier, later), before + count))
    number = 0
    for wanted, count in pools:
        level = _STEP_MM * round(_median(wanted) / _STEP_MM)
        for _ in range(count):
            y[column[number]] = level + offsets[number]
            number += 1


def _close_up(columns: Columns, sheaf: int, y: list[float]) -> None:
    """Take out level bands of a sheaf in which nothing stands, down to a usual gap, and bring its middle to zero.

    What is straight stays straight.
    """
    spans = sorted(
        (y[i] - n.above_mm, y[i] + n.below_mm, i)
        for i, n in enumerate(columns.nodes)
        if columns.sheaf[n.column] == sheaf
    )
    shift, reached = 0.0, spans[0][0] if spans else 0.0
    for top, bottom, node in spans:
        if top - reached > _BAND_MM:
            shift += _STEP_MM * ((top - reached - _BAND_MM) // _STEP_MM)
        reached = max(reached, bottom)
        y[node] -= shift
    if spans:
        middle = _STEP_MM * round((spans[0][0] + reached - shift) / 2 / _STEP_MM)
        for _, _, node in spans:
            y[node] -= middle


def _median(values: Sequence[float]) -> float:
    """Return the lower median: one of the values, so that one wire is straight."""
    return values[(len(values) - 1) // 2]


def _merged(a: list[float], b: list[float]) -> list[float]:
    if len(b) == 1:
        a.insert(bisect(a, b[0]), b[0])
        return a
    return sorted(a + b)
