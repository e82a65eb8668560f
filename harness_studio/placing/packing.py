"""Coordinates for stretches beside each other, each within its range, in a given order and at a distance.

The left-edge rule of channel routing (A. Hashimoto and J. Stevens, 'Wire routing by optimizing channel assignment
within large apertures', Proc. 8th Design Automation Workshop, 1971, 155-169), with an order of tracks that is given,
and for stretches each of which has a range of its own instead of one common channel.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .stretches import Bools, Floats, Ints

_LEAST_MM = 0.05
_TRIES = 5
_MOST_MOVES = 80
_EFFORT = 5000
"""In a group of n no more than this over n are moved: large ones are only squeezed."""
_MOVES_EACH = 2
_SAME_MM = 1e-9


def packed(near: Bools, least: Floats, most: Floats, pitch_mm: float) -> tuple[Floats, Floats]:
    """Return a coordinate for each stretch, and the distance that it keeps from its neighbours.

    Parameters
    ----------
    near
        (n, n): which of them must keep a distance from each other.
    least, most
        The range of each. They are given in the order in which they should lie.
    pitch_mm
        The distance they would like.

    Notes
    -----
    Packed to the least coordinates in order and packed to the greatest, each stands in the middle between the two:
    alone in the middle of its range, several as a bundle about it. Where there is no room in that order, those with
    room elsewhere are taken out of it; where that is not enough, they come closer together.
    """
    pitch = np.full(len(least), pitch_mm)
    # An order that the ranges contradict binds nobody.
    below = [row.nonzero()[0] for row in near & (least < most[:, None] + _SAME_MM)]
    order, low, binding = _made_room(below, least, most, pitch_mm)
    for _ in range(_TRIES):
        tight = low > most + _SAME_MM
        if not tight.any():
            break
        _squeeze(order, tight, binding, low, least, most, pitch)
        low, binding = _lowest(order, below, least, pitch)
    above = [row.nonzero()[0] for row in near & (most > least[:, None] - _SAME_MM)]
    high, _ = _lowest(order[::-1], above, -most, pitch)
    return np.clip((low + np.maximum(-high, low)) / 2, least, most), pitch


def _lowest(
    order: Sequence[int],
    beside: Sequence[Ints],
    least: Floats,
    pitch: Floats,
    before: tuple[Floats, list[int], int] | None = None,
) -> tuple[Floats, list[int]]:
    """Return the least coordinate of each stretch, and which one before it binds it (-1 for none).

    Parameters
    ----------
    beside
        For each those that it must keep a distance from.
    before
        What this gave for an order that was the same up to a place, and that place; it is brought up to date.
    """
    at, binding, first = before or (np.full(len(order), -np.inf), [-1] * len(order), 0)
    rest = order[first:]
    at[rest] = -np.inf
    even = float(pitch[0]) if (pitch == pitch[0]).all() else None
    start = least.tolist()
    for number in rest:
        some, lowest, binds = beside[number], start[number], -1
        if len(some):
            if even is not None:
                highest = some[at.take(some).argmax()]
                wanted = at[highest] + even
            else:
                apart = at[some] + np.minimum(pitch[some], pitch[number])
                first = apart.argmax()
                highest, wanted = some[first], apart[first]
            if wanted > lowest:
                lowest, binds = float(wanted), int(highest)
        at[number], binding[number] = lowest, binds
    return at, binding


def _made_room(
    beside: Sequence[Ints], least: Floats, most: Floats, pitch_mm: float
) -> tuple[list[int], Floats, list[int]]:
    """Return the order, changed so that fewer are pushed beyond their range, and what `_lowest` gives for it.

    Of the stretches that push one beyond its range, one that may lie lower than all of them is taken before them, or
    one that may lie higher after them.
    """
    order = list(range(len(least)))
    moves = [0] * len(order)
    hopeless: set[int] = set()
    pitch = np.full(len(order), pitch_mm)
    low, binding = _lowest(order, beside, least, pitch)
    for _ in range(min(len(order), _MOST_MOVES, _EFFORT // len(order))):
        pushed = set(np.flatnonzero(low > most + _SAME_MM).tolist()) - hopeless
        if not pushed:
            break
        tight = next(n for n in order if n in pushed)
        chain = [tight]
        while binding[chain[-1]] >= 0:
            chain.append(binding[chain[-1]])
        lower = [n for n in chain[:-1] if least[n] < least[chain[-1]] - pitch_mm and moves[n] < _MOVES_EACH]
        higher = [n for n in chain[1:] if most[n] > most[tight] + pitch_mm and moves[n] < _MOVES_EACH]
        if lower:
            moving = min(lower, key=lambda n: least[n])
            from_place = order.index(moving)
            del order[from_place]
            place = order.index(chain[-1])
        elif higher:
            moving = max(higher, key=lambda n: most[n])
            from_place = order.index(moving)
            del order[from_place]
            place = order.index(tight) + 1
        else:
            hopeless.add(tight)
            continue
        order.insert(place, moving)
        moves[moving] += 1
        low, binding = _lowest(order, beside, least, pitch, (low, binding, min(place, from_place)))
    return order, low, binding


def _squeeze(
    order: Sequence[int],
    tight: Bools,
    binding: Sequence[int],
    low: Floats,
    least: Floats,
    most: Floats,
    pitch: Floats,
) -> None:
    """Lessen the distances of the stretches that push others beyond their range, so that these come to lie within."""
    start = list(range(len(order)))
    share = [1.0] * len(order)
    for number in order:
        if binding[number] >= 0:
            start[number] = start[binding[number]]
        if tight[number]:
            first = float(least[start[number]])
            room = max(float(most[number]) - first, 0.0)
            share[number] = room / max(float(low[number]) - first, 1e-9)
    for number in reversed(order):
        other = binding[number]
        if other >= 0 and share[number] < share[other]:
            share[other] = share[number]
    np.minimum(pitch, np.maximum(pitch.max() * np.array(share), _LEAST_MM), out=pitch)
