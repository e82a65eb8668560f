"""How far apart columns stand: room for a track for every wire that has to go up or down between them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .columns import PITCH_MM, Columns
from .outlines import Ends
from .symbols import Key, Symbol

_LEAST_MM = 18.0
_BESIDE_MM = 14.0
"""From the outermost track to a symbol."""
_STRAIGHT_MM = 0.5
Stretch = tuple[float, float]


def column_middles(
    ends: Ends, symbols: Mapping[str, Symbol], columns: Columns, y: Sequence[float], mirrored: set[str]
) -> list[float]:
    """Return the x of the middle line of each column in mm, from zero.

    Parameters
    ----------
    y
        Height of each node.
    mirrored
        Symbols that are mirrored left to right.
    """
    count = len(columns.columns)
    reach = [(0.0, 0.0)] * count
    for node in columns.nodes:
        if node.symbol:
            box = symbols[node.symbol].clear
            left, right = -box.left_mm, box.right_mm
            if node.symbol in mirrored:
                left, right = right, left
            reach[node.column] = (max(reach[node.column][0], left), max(reach[node.column][1], right))
    needed = _tracks(ends, symbols, columns, y, mirrored)
    x: list[float] = []
    edge = 0.0
    for number in range(count):
        left, right = reach[number]
        if number:
            tracks = needed.get(number - 1, 0)
            edge += max(_LEAST_MM, (tracks - 1) * PITCH_MM + _BESIDE_MM)
        x.append(edge + left)
        edge += left + right
    return x


def _tracks(
    ends: Ends, symbols: Mapping[str, Symbol], columns: Columns, y: Sequence[float], mirrored: set[str]
) -> dict[int, int]:
    """Return how many tracks lie beside each other in the channel right of each column (-1: left of the first)."""
    stretches: dict[int, list[Stretch]] = {}
    for strand in columns.strands:
        first, second = columns.nodes[strand.first], columns.nodes[strand.second]
        for a, b in strand.offsets_mm:
            top, bottom = sorted((y[strand.first] + a, y[strand.second] + b))
            if bottom - top > _STRAIGHT_MM or first.column == second.column:
                stretches.setdefault(first.column, []).append((top, bottom))
    level = {n.symbol: y[i] for i, n in enumerate(columns.nodes) if n.symbol}
    column = {n.symbol: n.column for n in columns.nodes if n.symbol}
    foot = max(y, default=0.0) + 1000.0
    for key, far in ends.far.items():
        here, there = ends.symbol_of(key), ends.symbol_of(far)
        if here in column and here is not None and there is not None and there not in column:
            channel = column[here] - (_leaves_left(symbols[here], key, here in mirrored))
            stretches.setdefault(channel, []).append((level[here], foot))
    return {channel: most_beside(some) for channel, some in stretches.items()}


def _leaves_left(symbol: Symbol, key: Key, mirrored: bool) -> bool:
    side = symbol.wire_anchors[key].side
    return side == ("right" if mirrored else "left")


def most_beside(stretches: Sequence[Stretch]) -> int:
    """Return how many of the stretches overlap at most."""
    events = sorted([(a, 1) for a, _ in stretches] + [(b, -1) for _, b in stretches])
    most = now = 0
    for _, step in events:
        now += step
        most = max(most, now)
    return most
