"""A track of its own for every wire: stretches beside each other are moved apart, so that no two lie on each other.

The left-edge rule of channel routing (A. Hashimoto and J. Stevens, 'Wire routing by optimizing channel assignment
within large apertures', Proc. 8th Design Automation Workshop, 1971, 155-169), with an order of tracks that is given,
and for stretches each of which has a range of its own instead of one common channel.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from harness_studio.base.geometry import Box

from .stretches import Bools, Floats, Ints, Stretches, Way, Which, limit, put_back, stretches
from .track_order import NEAR_MM, beside, narrow, ordered

PITCH_MM = 4.0
_LEAST_MM = 0.05
_TRIES = 5
_REACH_MM = 10.0
_CROWDED_MM = 2.4
_STRIP_MM = 8.0
_PASSES = 2


def separate(
    ways: Sequence[Way], boxes: Sequence[Box], passes: int = _PASSES, only: Collection[int] | None = None
) -> list[Which]:
    """Move the loose stretches of all ways apart, in place, and return those that had to move too close to others.

    Parameters
    ----------
    ways
        Some of them may be held throughout: the others make way.
    boxes
        What must be kept clear.
    passes
        How often upright and level stretches take turns.
    only
        Numbers of the ways that have changed since all were separated; None for all. What is not near them stays.
    """
    changed = None if only is None else np.array(sorted(only), np.int64)
    crowded: list[Which] = []
    for turn in range(passes):
        for upright in (True, False):
            found = stretches(ways, upright)
            limit(found, boxes, upright)
            for group in groups(found):
                if found.loose[group].any() and (changed is None or np.isin(found.way[group], changed).any()):
                    tight = _place(found, group)
                    if turn == passes - 1:
                        crowded += zip(found.way[tight].tolist(), found.number[tight].tolist(), strict=True)
            put_back(ways, found, upright)
    return crowded


def groups(found: Stretches) -> Iterator[Ints]:
    """Yield the sets of stretches that may come to lie beside each other, directly or through others."""
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
    in_order = np.argsort(label, kind="stable")
    yield from np.split(in_order, np.flatnonzero(np.diff(label[in_order])) + 1)


def _starts(strip: Ints, low: Floats, high: Floats) -> Bools:
    """Tell for each entry whether it overlaps none of those before it in its strip."""
    # Strips are set so far apart that the running maximum of one does not reach into the next.
    apart = float(high.max() - low.min()) + 1.0 if len(low) else 0.0
    reached = np.maximum.accumulate(high + strip * apart)
    first = np.ones(len(low), bool)
    first[1:] = low[1:] + strip[1:] * apart > reached[:-1]
    return first


def _place(found: Stretches, group: Ints) -> Ints:
    """Order the stretches of a group, give each its coordinate, and return those that stand too close."""
    reach = _REACH_MM + PITCH_MM * float(found.loose[group].sum()) / 2
    wish = narrow(found, group, reach)
    order = ordered(found, group, wish)
    near = beside(found, order, order)
    loose = found.loose[order]
    near &= loose[:, None] | loose[None, :]
    least, most = found.least[order], found.most[order]
    pitch = np.full(len(order), PITCH_MM)
    before, after = _bound(near, least, most)
    low, binding = _packed(before, least, pitch)
    for _ in range(_TRIES):
        tight = low > most + 1e-9
        if not tight.any():
            break
        _squeeze(tight, binding, low, least, most, pitch)
        low, binding = _packed(before, least, pitch)
    last = len(order) - 1
    from_above = [last - some[::-1] for some in reversed(after)]
    high, _ = _packed(from_above, -most[::-1], pitch[::-1])
    at = np.clip((low + np.maximum(-high[::-1], low)) / 2, least, most)
    found.at[order] = np.where(loose, at, found.at[order])
    return np.asarray(order[loose & (pitch < _CROWDED_MM)], np.int64)


def _bound(near: Bools, least: Floats, most: Floats) -> tuple[list[Ints], list[Ints]]:
    """Return for each stretch those before it, and those after it, that it must keep its distance from.

    An order that the ranges contradict binds nobody.
    """
    before: list[Ints] = []
    after: list[Ints] = []
    for number, row in enumerate(near):
        before.append((row[:number] & (least[:number] < most[number])).nonzero()[0])
        after.append((row[number + 1 :] & (most[number + 1 :] > least[number])).nonzero()[0] + (number + 1))
    return before, after


def _packed(before: Sequence[Ints], least: Floats, pitch: Floats) -> tuple[Floats, list[int]]:
    """Return the least coordinate of each stretch, and which one before it binds it (-1 for none).

    Parameters
    ----------
    before
        For each stretch those in front of it that it must keep its distance from.
    """
    at = least.copy()
    binding = [-1] * len(at)
    for number, some in enumerate(before):
        if len(some):
            wanted = at[some] + np.minimum(pitch[some], pitch[number])
            most_binding = int(wanted.argmax())
            if wanted[most_binding] > at[number]:
                at[number] = wanted[most_binding]
                binding[number] = int(some[most_binding])
    return at, binding


def _squeeze(
    tight: Bools, binding: Sequence[int], low: Floats, least: Floats, most: Floats, pitch: Floats
) -> None:
    """Lessen the distances of the stretches that push others beyond their range, so that these come to lie within."""
    count = len(pitch)
    start = list(range(count))
    share = [1.0] * count
    for number in range(count):
        if binding[number] >= 0:
            start[number] = start[binding[number]]
        if tight[number]:
            first = float(least[start[number]])
            share[number] = max(float(most[number]) - first, 0.0) / max(float(low[number]) - first, 1e-9)
    for number in range(count - 1, -1, -1):
        other = binding[number]
        if other >= 0 and share[number] < share[other]:
            share[other] = share[number]
    np.minimum(pitch, np.maximum(PITCH_MM * np.array(share), _LEAST_MM), out=pitch)
