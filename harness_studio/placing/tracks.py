"""A track of its own for every wire: stretches beside each other are moved apart, so that no two lie on each other.

Stretches that may come to lie beside each other form a group; each group gets an order that crosses little
(`track_order`), and in that order each stretch its coordinate (`packing`).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from .pace import Tell, silent
from .packing import packed
from .stretches import Bools, Floats, Held, Ints, Stretches, Way, Which, limit, put_back, some_of
from .track_order import NEAR_MM, beside, narrow, ordered

PITCH_MM = 4.0
_REACH_MM = 10.0
_CROWDED_MM = 2.4
_STRIP_MM = 8.0
_PASSES = 2
_BESIDE_MM = 2 * NEAR_MM


def separate(
    ways: Sequence[Way],
    boxes: Floats,
    passes: int = _PASSES,
    only: Collection[int] | None = None,
    held: Held | None = None,
    tell: Tell = silent,
) -> list[Which]:
    """Move the loose stretches of all ways apart, in place, and return those that had to move too close to others.

    Parameters
    ----------
    ways
        Some of them may be held throughout: the others make way.
    boxes
        What must be kept clear, as `table_of` gives it.
    passes
        How often upright and level stretches take turns.
    only
        Numbers of the ways that have changed since all were separated; None for all. What is not near them stays.
    held
        More ways that are held.
    tell
        Hears how far it is; may stop it.
    """
    held = held or Held()
    changed = None if only is None else np.array(sorted(only), np.int64)
    crowded: list[Which] = []
    for turn in range(passes):
        for upright in (True, False):
            found = held.beside(ways, upright)
            limit(found, boxes, upright)
            found = _near_loose(found, len(ways))
            every = list(groups(found))
            for number, group in enumerate(every):
                tell((2 * turn + (not upright) + number / len(every)) / (2 * passes))
                if changed is None or np.isin(found.way[group], changed).any():
                    tight = _place(found, group, len(ways))
                    if turn == passes - 1:
                        crowded += zip(found.way[tight].tolist(), found.number[tight].tolist(), strict=True)
            put_back(ways, found, upright)
    return crowded


def _near_loose(found: Stretches, ways: int) -> Stretches:
    """Return the stretches without those of held ways beyond the first `ways` that no loose one can come to."""
    own = int((found.way < ways).sum())
    if own == len(found.at):
        return found
    return some_of(found, np.flatnonzero(_counts(found, np.arange(len(found.at)), ways)))


def _counts(found: Stretches, group: Ints, ways: int) -> Bools:
    """Tell which of a group are of the first `ways`, or near enough to where a loose one may come."""
    counts = found.way[group] < ways
    held, loose = group[~counts], group[found.loose[group]]
    low, high = found.low[loose, None] - _BESIDE_MM, found.high[loose, None] + _BESIDE_MM
    least, most = found.least[loose, None] - PITCH_MM, found.most[loose, None] + PITCH_MM
    near = (found.low[held] < high) & (found.high[held] > low)
    near &= (found.at[held] < most) & (found.at[held] > least)
    counts[~counts] = near.any(axis=0)
    return counts


def groups(found: Stretches) -> Iterator[Ints]:
    """Yield the sets of stretches that may come to lie beside each other, directly or through others.

    Sets in which none may move are left out.
    """
    count = len(found.at)
    label = np.arange(count)
    strip = np.floor((found.least - PITCH_MM / 2) / _STRIP_MM).astype(np.int64)
    strips = np.floor((found.most + PITCH_MM / 2) / _STRIP_MM).astype(np.int64) - strip + 1
    # One entry for each stretch and strip that it may come to lie in; strip by strip, in the order in which they start.
    which = np.repeat(label, strips)
    strip = np.repeat(strip - np.concatenate(([0], np.cumsum(strips)[:-1])), strips) + np.arange(len(which))
    in_order = np.lexsort((found.low[which], strip))
    which, strip = which[in_order], strip[in_order]
    starts = np.flatnonzero(_starts(strip, found.low[which], found.high[which] + NEAR_MM))
    sizes = np.diff(np.append(starts, len(which)))
    while count:
        least = np.repeat(np.minimum.reduceat(label[which], starts), sizes)
        lower = label.copy()
        np.minimum.at(lower, which, least)
        lower = lower[lower]
        if (lower == label).all():
            break
        label = lower
    moves = np.bincount(label, found.loose, minlength=count) > 0 if count else np.zeros(0, bool)
    some = np.flatnonzero(moves[label])
    in_order = some[np.argsort(label[some], kind="stable")]
    if not len(in_order):
        return
    yield from np.split(in_order, np.flatnonzero(np.diff(label[in_order])) + 1)


def _starts(strip: Ints, low: Floats, high: Floats) -> Bools:
    """Tell for each entry whether it overlaps none of those before it in its strip."""
    # Strips are set so far apart that the running maximum of one does not reach into the next.
    apart = float(high.max() - low.min()) + 1.0 if len(low) else 0.0
    reached = np.maximum.accumulate(high + strip * apart)
    first = np.ones(len(low), bool)
    first[1:] = low[1:] + strip[1:] * apart > reached[:-1]
    return first


def _place(found: Stretches, group: Ints, ways: int) -> Ints:
    """Order the stretches of a group, give each its coordinate, and return those that stand too close.

    Parameters
    ----------
    ways
        How many ways may change; of those that are held beyond these only what is near counts.
    """
    reach = _REACH_MM + PITCH_MM * float(found.loose[group].sum()) / 2
    wish = narrow(found, group, reach)
    if (found.way[group] >= ways).any():
        counts = _counts(found, group, ways)
        group, wish = group[counts], wish[counts]
    order = ordered(found, group, wish)
    loose = found.loose[order]
    near = beside(found, order, order)
    near &= loose[:, None] | loose[None, :]
    np.fill_diagonal(near, False)
    at, pitch = packed(near, found.least[order], found.most[order], PITCH_MM)
    found.at[order] = np.where(loose, at, found.at[order])
    return np.asarray(order[loose & (pitch < _CROWDED_MM)], np.int64)
