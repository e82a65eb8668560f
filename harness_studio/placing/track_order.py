"""Which of the stretches beside each other comes first: the order that crosses least."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from .stretches import Bools, Floats, Ints, Stretches

NEAR_MM = 2.0
"""Ends of two stretches nearer than this read as touching."""
_RUNS_INTO = 1000.0
_TOUCHES = 1.5
_FOLDS = 6.0
_SAME_PLACE_MM = 6.0
_OUT_MM = 5.0
_OUT_OF_RANGE = 1e4
_A_WHILE_MM = 12.0
_BESIDE_KIN = 0.4
_GATHERINGS = 2
_SORT_MOST = 500
"""Groups larger than this are ordered in parts, by where they would like to be."""


def beside(found: Stretches, a: Ints, b: Ints) -> Bools:
    """Tell for each of `a` (rows) and `b` (columns) whether two stretches overlap along the axis, or nearly."""
    return (found.low[a][:, None] < found.high[b][None, :] + NEAR_MM) & (
        found.low[b][None, :] < found.high[a][:, None] + NEAR_MM
    )


def narrow(found: Stretches, group: Ints, reach_mm: float) -> Floats:
    """Return where each stretch of a group would like to be, and narrow its range to `reach_mm` about that.

    A stretch between two that go on to opposite sides likes the middle; one that turns back stays where it is, and does
    not go out much farther than it must: by a track for each that turns back at the same place.
    """
    opposite = found.turn_low[group] * found.turn_high[group] < 0
    middle = (found.beyond_low[group] + found.beyond_high[group]) / 2
    wish = np.where(opposite, middle, found.at[group])
    wish = np.clip(wish, found.least[group], found.most[group])
    loose = found.loose[group]
    found.least[group] = np.where(loose, np.maximum(found.least[group], wish - reach_mm), found.least[group])
    found.most[group] = np.where(loose, np.minimum(found.most[group], wish + reach_mm), found.most[group])
    back = np.flatnonzero(loose & (found.turn_low[group] * found.turn_high[group] > 0))
    at = np.sort(found.at[group[back]])
    for i in back.tolist():
        number = group[i]
        here = found.at[number]
        beside_it = np.searchsorted(at, here + _SAME_PLACE_MM) - np.searchsorted(at, here - _SAME_PLACE_MM)
        out = min(reach_mm, _OUT_MM * float(beside_it))
        if found.turn_low[number] > 0:
            found.least[number] = max(found.least[number], here - out)
        else:
            found.most[number] = min(found.most[number], here + out)
    return wish


def ordered(found: Stretches, group: Ints, wish: Floats) -> Ints:
    """Return a group in the order from the least to the greatest coordinate that crosses least.

    Notes
    -----
    For each two stretches the crossings of either order are counted; then, again and again, the one is taken that is
    best before all that are left; then neighbours that are better the other way round are exchanged.
    """
    by_wish = np.lexsort((group, wish))
    group, wish = group[by_wish], wish[by_wish]
    if len(group) < 2:
        return group
    if len(group) > _SORT_MOST:
        # What stretches like is in agreement with their ranges, so that parts can be ordered by themselves.
        parts = np.array_split(np.arange(len(group)), -(-len(group) // _SORT_MOST))
        return np.concatenate([ordered(found, group[p], wish[p]) for p in parts])
    before = costs_before(found, group)
    gain = before - before.T
    score = gain.sum(axis=1) + np.arange(len(group)) * 1e-6
    order: list[int] = []
    for _ in range(len(group)):
        best = int(score.argmin())
        order.append(best)
        # What all others gain on the one that is taken counts no longer: minus a column of what is antisymmetric.
        score += gain[best]
        score[best] = np.inf
    _exchange(order, gain)
    order = gathered(order, gain, _kin(found, group))
    return np.asarray(group[np.array(order)], np.int64)


def _exchange(order: list[int], gain: Floats) -> None:
    for _ in range(len(order)):
        changed = False
        if not (gain[order[:-1], order[1:]] > 1e-3).any():
            return
        for i in range(len(order) - 1):
            if gain[order[i], order[i + 1]] > 1e-3:
                order[i], order[i + 1] = order[i + 1], order[i]
                changed = True
        if not changed:
            return


def _kin(found: Stretches, group: Ints) -> Bools:
    """Tell for each two stretches of a group whether they share a run and run beside each other for a while."""
    mark = found.mark[group]
    if np.count_nonzero(mark) < 2:
        return np.zeros((0, 0), bool)
    low, high = found.low[group], found.high[group]
    shared = np.minimum(high[:, None], high[None, :]) - np.maximum(low[:, None], low[None, :])
    kin: Bools = np.logical_and(mark[:, None] & mark[None, :] != 0, shared > _A_WHILE_MM)
    kin &= found.way[group][:, None] != found.way[group][None, :]
    return kin


def gathered(order: list[int], gain: Floats, kin: Bools) -> list[int]:
    """Return an order in which more of those that are kin follow each other, where that makes no more crossings.

    Parameters
    ----------
    gain
        (n, n): what it costs if one (row) comes before another, less what the other way round costs.
    kin
        (n, n), or (0, 0) for none: which would like to be beside each other.

    Notes
    -----
    Those that follow each other already move as one, to the place where they cost least; beside kin is worth less than
    the least crossing.
    """
    if not kin.any():
        return order
    now = np.array(order)
    for _ in range(_GATHERINGS):
        changed = False
        for block in _blocks(now.tolist(), kin):
            first, last = block[0], block[-1]
            mine = np.zeros(len(now), bool)
            mine[block] = True
            at, rest = int((now == first).argmax()), now[~mine[now]]
            # What each place costs: all of the rest from there on come after the block.
            cost = np.zeros(len(rest) + 1)
            after = gain[first, rest] if first == last else gain[block][:, rest].sum(axis=0)
            cost[:-1] = after[::-1].cumsum()[::-1]
            cost[1:] -= _BESIDE_KIN * kin[first, rest]
            cost[:-1] -= _BESIDE_KIN * kin[last, rest]
            cost[1:-1] += _BESIDE_KIN * np.asarray(kin[rest[:-1], rest[1:]], float)
            best = int(cost.argmin())
            if cost[best] < cost[at] - 1e-3:
                now = np.concatenate((rest[:best], block, rest[best:]))
                changed = True
        if not changed:
            break
    return [int(n) for n in now]


def _blocks(order: Sequence[int], kin: Bools) -> list[list[int]]:
    """Return the sequences of kin in an order, and those that stand alone but have kin elsewhere."""
    has_kin = np.asarray(kin.any(axis=1), bool)
    found: list[list[int]] = []
    for a, b in pairwise([-1, *order]):
        if a >= 0 and kin[a, b] and found and found[-1][-1] == a:
            found[-1].append(b)
        elif has_kin[b]:
            found.append([b])
    return found


def costs_before(found: Stretches, group: Ints) -> Floats:
    """Return for each two stretches of a group what it costs if the first (row) has the lesser coordinate."""
    total = np.zeros((len(group), len(group)))
    ends = (
        (found.low[group], found.turn_low[group], found.held_low[group]),
        (found.high[group], found.turn_high[group], found.held_high[group]),
    )
    low, high = found.low[group], found.high[group]
    for at, turn, held in ends:
        # What goes on to the greater side crosses every stretch that is there, and the other way round.
        onwards, back = np.flatnonzero(turn > 0), np.flatnonzero(turn < 0)
        total[onwards] += _inside(at[onwards], low, high)
        total[:, back] += _inside(at[back], low, high).T
        rows = np.flatnonzero(turn >= 0)
        for other_at, other_turn, other_held in ends:
            columns = np.flatnonzero(other_turn <= 0)
            i, j = (np.abs(at[rows, None] - other_at[None, columns]) < NEAR_MM).nonzero()
            i, j = rows[i], columns[j]
            meets = (turn[i] > 0) & (other_turn[j] < 0)
            cost = np.where(meets & held[i] & other_held[j], _RUNS_INTO, _TOUCHES)
            total[i, j] += np.where((turn[i] > 0) | (other_turn[j] < 0), cost, 0.0)
    _keep_own_turns(found, group, total)
    # What ranges alone decide holds for all, beside each other or not: so no chain of stretches contradicts it.
    total += _OUT_OF_RANGE * (found.least[group][:, None] > found.most[group][None, :] - 1e-9)
    np.fill_diagonal(total, 0.0)
    return total


def _inside(at: Floats, low: Floats, high: Floats) -> Bools:
    """Tell for each place (row) whether it lies within each stretch (column)."""
    return (at[:, None] > low[None, :] + 1e-3) & (at[:, None] < high[None, :] - 1e-3)


def _keep_own_turns(found: Stretches, group: Ints, total: Floats) -> None:
    """Let stretches of one wire cost nothing against each other, but for a fold where one wire would turn back."""
    way, number, at = found.way[group], found.number[group], found.at[group]
    i, j = (way[:, None] == way[None, :]).nonzero()
    folds = (np.abs(number[i] - number[j]) == 2) & (at[i] > at[j] + 1e-6)
    total[i, j] = np.where(folds, _FOLDS, 0.0)
