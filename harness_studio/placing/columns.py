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
    """All nodes, those of each column from the top, and the strands between them.

    A harness that was folded has several sheaves of columns, which stand at the same height; `sheaf` tells for each
    column which one it belongs to.
    """

    nodes: list[Node]
    columns: list[list[int]]
    strands: list[Strand]
    sheaf: list[int]


@dataclass(frozen=True, slots=True)
class Folded:
    """Which column each symbol stands in, and which sheaf of columns each column belongs to."""

    column: dict[str, int]
    sheaf: list[int]


Bundle = tuple[str, str, list[tuple[float, float]]]
"""Two symbols and, for each wire between them, how far below the middle of either it leaves."""


def in_columns(
    depth: Mapping[str, int],
    before: Mapping[str, str | None],
    clear: Mapping[str, Box],
    near: Mapping[str, Mapping[str, int]],
) -> tuple[Folded, list[str]]:
    """Return the column of each symbol, and all symbols in the order in which branches follow each other.

    Parameters
    ----------
    depth, before
        Distance from the feed, and from which symbol that is.
    clear
        Extent of each symbol.
    near
        What each symbol is joined to.

    Notes
    -----
    A harness that would make columns too tall is laid out like a newspaper: whole branches go on in further columns at
    the right, so that the columns come to about `ASPECT` in all.
    """
    tree = _Tree(depth, before, clear, near)
    folded, height = tree.fold(math.inf)
    best = (math.inf, folded)
    area = sum((box.width_mm + CHANNEL_MM) * (box.height_mm + GAP_MM) for box in clear.values())
    tallest = min(height, 2.5 * math.sqrt(area / ASPECT))
    while tallest > 30.0:
        folded, height = tree.fold(tallest)
        ratio = _width(folded.column, clear) / max(height, 1.0)
        miss = abs(math.log(max(ratio, 1e-3) / ASPECT))
        if miss < best[0] - 1e-9:
            best = (miss, folded)
        if ratio > ASPECT:
            break
        tallest *= 0.85
    folded = best[1]
    columns = folded.column
    for lone in tree.lone:
        # A second source stands before what it feeds, wherever that has come to stand.
        beside = min(columns[other] for other in near[lone] if other in columns)
        columns[lone] = beside - 1 if beside else 1
    filled = dict.fromkeys(range(len(folded.sheaf)), 0.0)
    for symbol, column in columns.items():
        filled[column] = filled.get(column, 0.0) + tree.height[symbol]
    for symbol in tree.unwired:
        shortest = min(filled or [0], key=lambda c: (filled.get(c, 0.0), c))
        columns[symbol] = shortest
        filled[shortest] = filled.get(shortest, 0.0) + tree.height[symbol]
    return folded, tree.order


class _Tree:
    """The branches of a harness: each symbol hangs on the one from which the feed reaches it."""

    def __init__(
        self,
        depth: Mapping[str, int],
        before: Mapping[str, str | None],
        clear: Mapping[str, Box],
        near: Mapping[str, Mapping[str, int]],
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
        starting = [s for s in self.roots if self.children[s]]
        self.lone = [s for s in self.roots if not self.children[s] and near[s]]
        unwired = [s for s in self.roots if not self.children[s] and not near[s]]
        self.unwired = unwired
        self.order = [*self.lone, *self._walk(starting), *unwired]
        self.roots = starting
        self.is_root = set(self.roots)
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

    def fold(self, tallest: float) -> tuple[Folded, float]:
        """Return each symbol's column when none may be taller than `tallest` mm, as far as that can be.

        Also return the height that comes to. Parts of the harness that are not joined stand below each other.
        """
        found = Folded({}, [])
        first_column, height = 0, 0.0
        group = _Group(tallest)
        waiting = list(reversed(self.roots))
        groups = [group]
        while waiting:
            symbol = waiting.pop()
            whole = self.profiles[symbol]
            is_root = symbol in self.is_root
            if not group.takes(whole, is_root) and max(whole.values()) <= tallest:
                group = _Group(tallest)
                groups.append(group)
            if group.takes(whole, is_root):
                group.add(self._walk([symbol]), whole, is_root)
                continue
            own = {self.depth[symbol]: self.height[symbol]}
            if not group.takes(own, is_root):
                group = _Group(tallest)
                groups.append(group)
            group.add([symbol], own, is_root)
            waiting += reversed(self.children[symbol])
        for some in groups:
            if some.symbols:
                depths = [self.depth[s] for s in some.symbols]
                found.column.update({s: first_column + self.depth[s] - min(depths) for s in some.symbols})
                count = max(depths) - min(depths) + 1
                found.sheaf.extend([found.sheaf[-1] + 1 if found.sheaf else 0] * count)
                first_column += count
                height = max(height, some.height())
        return found, height


class _Group:
    """Branches that share columns, and how far these are filled at each depth."""

    def __init__(self, tallest: float) -> None:
        self.tallest = tallest
        self.symbols: list[str] = []
        self.filled: dict[int, float] = {}
        self.floor = 0.0

    def height(self) -> float:
        return max(self.filled.values(), default=0.0)

    def takes(self, more: Mapping[int, float], below_all: bool) -> bool:
        """Tell whether there is room for a branch; `below_all`, for one that is joined to nothing in here."""
        if not self.symbols:
            return max(more.values()) <= self.tallest
        floor = self.height() if below_all else self.floor
        filled = {} if below_all else self.filled
        return all(max(filled.get(d, 0.0), floor) + h <= self.tallest for d, h in more.items())

    def add(self, symbols: Iterable[str], more: Mapping[int, float], below_all: bool) -> None:
        if below_all:
            self.floor = self.height()
        self.symbols += symbols
        for d, h in more.items():
            self.filled[d] = max(self.filled.get(d, 0.0), self.floor) + h


def _add(total: dict[int, float], more: Mapping[int, float]) -> None:
    for key, value in more.items():
        total[key] = total.get(key, 0.0) + value


def _width(columns: Mapping[str, int], clear: Mapping[str, Box]) -> float:
    widths: dict[int, float] = {}
    for symbol, column in columns.items():
        widths[column] = max(widths.get(column, 0.0), clear[symbol].width_mm)
    return sum(widths.values()) + CHANNEL_MM * len(widths)


def with_passing_places(
    folded: Folded, order: Sequence[str], clear: Mapping[str, Box], bundles: Iterable[Bundle]
) -> Columns:
    """Return the nodes of all columns, with a passing place in each column that a bundle of wires crosses."""
    column = folded.column
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
    sheaf = [
        *folded.sheaf,
        *([folded.sheaf[-1]] * (len(columns) - len(folded.sheaf)) if folded.sheaf else []),
    ]
    return Columns(nodes, columns, strands, sheaf)


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
