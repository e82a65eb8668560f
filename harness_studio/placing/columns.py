"""Symbols in columns: which column each stands in, and the passing places of wires that cross columns."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from harness_studio.base.geometry import Box

ASPECT = 1.6
"""Width over height that the columns should come to."""
CHANNEL_MM = 24.0
"""A usual distance between columns, for the estimate of the aspect."""
GAP_MM = 6.0
"""From one symbol to the next below it."""
PITCH_MM = 4.0
"""From one wire to the next."""


@dataclass(slots=True)
class Node:
    """A symbol, or the passing place of a bundle of wires, in a column.

    `above_mm` and `below_mm` reach from its middle; `symbol` is None for a passing place; `rank` is its place in the
    order from which sorting starts.
    """

    symbol: str | None
    column: int
    above_mm: float
    below_mm: float
    rank: float


@dataclass(slots=True)
class Strand:
    """Wires between two nodes: of neighbouring columns (the left one first), or of one column.

    `offsets_mm` has one pair for each wire: how far below the middle of either node it leaves.
    """

    first: int
    second: int
    offsets_mm: list[tuple[float, float]] = field(default_factory=list)


@dataclass(slots=True)
class Columns:
    """All nodes, those of each column from the top, and the strands between them."""

    nodes: list[Node]
    columns: list[list[int]]
    strands: list[Strand]


Bundle = tuple[str, str, list[tuple[float, float]]]
"""Two symbols and, for each wire between them, how far below the middle of either it leaves."""


def in_columns(
    depth: Mapping[str, int], before: Mapping[str, str | None], clear: Mapping[str, Box]
) -> tuple[dict[str, int], list[str]]:
    """Return the column of each symbol, and all symbols in the order in which branches follow each other.

    A harness that would make columns too tall is laid out like a newspaper: whole branches go on in further columns at
    the right, so that the columns come to about `ASPECT` in all.
    """
    tree = _Tree(depth, before, clear)
    total = max(tree.profile_of_all().values(), default=0.0)
    best: tuple[float, dict[str, int]] | None = None
    tallest = total
    while tallest > 30.0:
        columns = tree.fold(tallest)
        width, height = _extent(columns, clear)
        miss = abs(math.log(max(width, 1.0) / max(height, 1.0) / ASPECT))
        if best is None or miss < best[0] - 1e-9:
            best = (miss, columns)
        if width > height * ASPECT:
            break
        tallest *= 0.85
    return (best[1] if best else tree.fold(math.inf)), tree.order


class _Tree:
    """The branches of a harness: each symbol hangs on the one from which the feed reaches it."""

    def __init__(
        self, depth: Mapping[str, int], before: Mapping[str, str | None], clear: Mapping[str, Box]
    ) -> None:
        self.depth = depth
        self.height = {s: clear[s].height_mm + GAP_MM for s in depth}
        self.children: dict[str, list[str]] = {s: [] for s in depth}
        self.roots: list[str] = []
        for symbol in depth:
            parent = before[symbol]
            if parent is None:
                self.roots.append(symbol)
            else:
                self.children[parent].append(symbol)
        # What stands alone (a generator, an unwired connector) comes first, beside the start of the feed.
        self.roots.sort(key=lambda s: bool(self.children[s]))
        self.order = list(self._walk(self.roots))
        self.profiles: dict[str, dict[int, float]] = {}
        for symbol in reversed(self.order):
            profile = {depth[symbol]: self.height[symbol]}
            for child in self.children[symbol]:
                _add(profile, self.profiles[child])
            self.profiles[symbol] = profile

    def _walk(self, starts: Sequence[str]) -> Iterable[str]:
        waiting = list(reversed(starts))
        while waiting:
            symbol = waiting.pop()
            yield symbol
            waiting += reversed(self.children[symbol])

    def profile_of_all(self) -> dict[int, float]:
        """Return the height of each depth when nothing is folded."""
        total: dict[int, float] = {}
        for root in self.roots:
            _add(total, self.profiles[root])
        return total

    def fold(self, tallest: float) -> dict[str, int]:
        """Return each symbol's column when none may be taller than `tallest` mm, as far as that can be."""
        found: dict[str, int] = {}
        first_column = 0
        group: list[str] = []
        filled: dict[int, float] = {}

        def close() -> None:
            nonlocal first_column
            if group:
                least = min(self.depth[s] for s in group)
                found.update({s: first_column + self.depth[s] - least for s in group})
                first_column += max(self.depth[s] for s in group) - least + 1
            group.clear()
            filled.clear()

        waiting = list(reversed(self.roots))
        while waiting:
            symbol = waiting.pop()
            whole = self.profiles[symbol]
            fits = all(filled.get(d, 0.0) + h <= tallest for d, h in whole.items())
            if not fits and max(whole.values()) <= tallest:
                close()
                fits = True
            if fits:
                group += self._walk([symbol])
                _add(filled, whole)
                continue
            own = self.depth[symbol]
            if filled.get(own, 0.0) and filled[own] + self.height[symbol] > tallest:
                close()
            group.append(symbol)
            _add(filled, {own: self.height[symbol]})
            waiting += reversed(self.children[symbol])
        close()
        return found


def _add(total: dict[int, float], more: Mapping[int, float]) -> None:
    for key, value in more.items():
        total[key] = total.get(key, 0.0) + value


def _extent(columns: Mapping[str, int], clear: Mapping[str, Box]) -> tuple[float, float]:
    widths: dict[int, float] = {}
    heights: dict[int, float] = {}
    for symbol, column in columns.items():
        widths[column] = max(widths.get(column, 0.0), clear[symbol].width_mm)
        heights[column] = heights.get(column, 0.0) + clear[symbol].height_mm + GAP_MM
    return sum(widths.values()) + CHANNEL_MM * len(widths), max(heights.values(), default=0.0)


def with_passing_places(
    column: Mapping[str, int], order: Sequence[str], clear: Mapping[str, Box], bundles: Iterable[Bundle]
) -> Columns:
    """Return the nodes of all columns, with a passing place in each column that a bundle of wires crosses."""
    index = {symbol: i for i, symbol in enumerate(order)}
    nodes = [
        Node(s, column[s], _even(-clear[s].top_mm), _even(clear[s].bottom_mm), float(i))
        for i, s in enumerate(order)
    ]
    strands: list[Strand] = []
    for first, second, offsets in bundles:
        a, b = index[first], index[second]
        if nodes[a].column > nodes[b].column:
            a, b = b, a
            offsets = [(y, x) for x, y in offsets]
        strands += _chain(nodes, a, b, offsets)
    columns: list[list[int]] = [[] for _ in range(max((n.column for n in nodes), default=-1) + 1)]
    for number, node in enumerate(nodes):
        columns[node.column].append(number)
    for some in columns:
        some.sort(key=lambda n: nodes[n].rank)
    return Columns(nodes, columns, strands)


def _chain(nodes: list[Node], a: int, b: int, offsets: list[tuple[float, float]]) -> list[Strand]:
    """Join two nodes by strands over passing places, which are added to `nodes`."""
    between = nodes[b].column - nodes[a].column - 1
    if between <= 0:
        return [Strand(a, b, offsets)]
    in_order = sorted(range(len(offsets)), key=lambda i: offsets[i])
    place = {wire: (n - (len(offsets) - 1) / 2) * PITCH_MM for n, wire in enumerate(in_order)}
    half = _even(len(offsets) * PITCH_MM / 2)
    found: list[Strand] = []
    last, last_offsets = a, [x for x, _ in offsets]
    for step in range(between):
        share = (step + 1) / (between + 1)
        rank = nodes[a].rank + (nodes[b].rank - nodes[a].rank) * share
        nodes.append(Node(None, nodes[a].column + step + 1, half, half, rank))
        own = [place[i] for i in range(len(offsets))]
        found.append(Strand(last, len(nodes) - 1, list(zip(last_offsets, own, strict=True))))
        last, last_offsets = len(nodes) - 1, own
    found.append(Strand(last, b, list(zip(last_offsets, [y for _, y in offsets], strict=True))))
    return found


def _even(value: float) -> float:
    return 2.0 * math.ceil(value / 2 - 1e-9)
