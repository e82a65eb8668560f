"""A track of its own for every wire: stretches beside each other are moved apart, so that no two lie on each other.

The left-edge rule of channel routing (A. Hashimoto and J. Stevens, 'Wire routing by optimizing channel assignment
within large apertures', Proc. 8th Design Automation Workshop, 1971, 155-169), with an order of tracks that is given,
and for stretches each of which has a range of its own instead of one common channel.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from harness_studio.base.geometry import Box

from .stretches import Bools, Floats, Ints, Stretches, Way, limit, put_back, stretches
from .track_order import NEAR_MM, beside, narrow, ordered

PITCH_MM = 4.0
_SHRINK = 0.7
_TRIES = 14
_REACH_MM = 10.0
_FARTHEST_MM = 60.0
_CROWDED_MM = 2.4
_PASSES = 2

Which = tuple[int, int]
"""(way, stretch of it)."""


def separate(ways: Sequence[Way], boxes: Sequence[Box], passes: int = _PASSES) -> list[Which]:
    """Move the loose stretches of all ways apart, in place, and return those that had to move too close to others.

    Parameters
    ----------
    ways
        Some of them may be held throughout: the others make way.
    boxes
        What must be kept clear.
    """
    crowded: list[Which] = []
    for turn in range(passes):
        for upright in (True, False):
            found = stretches(ways, upright)
            limit(found, boxes, upright)
            narrow(found, np.arange(len(found.at)), _FARTHEST_MM)
            for group in groups(found):
                if found.loose[group].any():
                    tight = _place(found, group)
                    if turn == passes - 1:
                        crowded += zip(found.way[tight].tolist(), found.number[tight].tolist(), strict=True)
            put_back(ways, found, upright)
    return crowded


def groups(found: Stretches) -> Iterator[Ints]:
    """Yield the sets of stretches that may come to lie beside each other, directly or through others."""
    count = len(found.at)
    label = np.arange(count)
    active = np.zeros(0, np.int64)
    for number in np.argsort(found.low, kind="stable").tolist():
        active = active[found.high[active] + NEAR_MM > found.low[number]]
        near = active[
            (found.least[active] < found.most[number] + PITCH_MM)
            & (found.least[number] < found.most[active] + PITCH_MM)
            & (found.loose[active] | found.loose[number])
        ]
        for other in np.unique(label[near]).tolist():
            if other != label[number]:
                label[label == other] = label[number]
        active = np.append(active, number)
    in_order = np.argsort(label, kind="stable")
    starts = np.flatnonzero(np.diff(label[in_order], prepend=-1))
    yield from np.split(in_order, starts[1:])


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
    low, binding = _packed(near, least, most, pitch)
    for _ in range(_TRIES):
        tight = np.flatnonzero(low > most + 1e-9)
        if not len(tight):
            break
        chain = _chain(tight.tolist(), binding)
        pitch[chain] *= _SHRINK
        low, binding = _packed(near, least, most, pitch)
    high, _ = _packed(near[::-1, ::-1], -most[::-1], -least[::-1], pitch[::-1])
    at = np.clip((low + np.maximum(-high[::-1], low)) / 2, least, most)
    found.at[order] = np.where(loose, at, found.at[order])
    return np.asarray(order[loose & (pitch < _CROWDED_MM)], np.int64)


def _packed(near: Bools, least: Floats, most: Floats, pitch: Floats) -> tuple[Floats, list[int]]:
    """Return the least coordinate of each stretch, and which one before it binds it (-1 for none).

    Order, who is beside whom, and distances are given.
    """
    at = least.copy()
    binding = [-1] * len(at)
    for number in range(1, len(at)):
        # An order that the ranges contradict binds nobody.
        before = np.flatnonzero(near[number, :number] & (least[:number] < most[number]))
        if len(before):
            wanted = at[before] + np.minimum(pitch[before], pitch[number])
            most_binding = int(np.argmax(wanted))
            if wanted[most_binding] > at[number]:
                at[number] = wanted[most_binding]
                binding[number] = int(before[most_binding])
    return at, binding


def _chain(tight: list[int], binding: list[int]) -> list[int]:
    """Return the stretches that push others beyond their range, and these."""
    found: set[int] = set()
    for number in tight:
        while number >= 0 and number not in found:
            found.add(number)
            number = binding[number]
    return sorted(found)
