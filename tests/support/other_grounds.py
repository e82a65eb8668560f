"""Which other grounds a load has, by plain searches with networkx: the slow reference for `electrics.other_grounds`."""

from __future__ import annotations

from collections.abc import Collection

import networkx as nx

from harness_studio.network.network import Network

CROSSINGS = ("stud", "mount")
"""Kinds of joint by which a loom reaches the metal of a body."""


def other_grounds(
    graph: nx.MultiGraph[int],
    network: Network,
    joint: Collection[int],
    start: int,
    sink: int,
    grounds: Collection[str],
) -> list[str]:
    """Return the grounds by which a current gets from a point to the sink without passing a joint, in file order.

    They are looked for where the joint stands: among the studs of the loom that the point belongs to, or, for a joint
    near the sink, among those of the sink's own loom. A stud that lies in series with the joint is none: with the joint
    open it leads nowhere, or it carries the same current once more. Plain searches, O(V + E).

    Parameters
    ----------
    graph
        The metal, see `point_graph`.
    joint
        Number of the joint's branch, of a splice those of its legs; they are taken as open.
    start, sink
        Indices of points: where the load is joined, and where its current ends.
    grounds
        Ids of the harness's grounds; other crossings, such as a case on its block, are passed and not named.
    """
    kind, address = network.branches.kind, network.branches.address
    crossings = {n for n, k in enumerate(kind) if k in CROSSINGS}
    without = frozenset(joint)
    touched = {int(end[n]) for n in without for end in (network.branches.a, network.branches.b)}
    for first, last in ((start, sink), (sink, start)):
        loom, studs = _loom(graph, crossings, frozenset(), first)
        if not (without & studs or touched & loom):
            continue
        _, left = _loom(graph, crossings, without, first)
        home = _reached(graph, without, last)
        found = []
        for stud in sorted(left - without):
            ends = int(network.branches.a[stud]), int(network.branches.b[stud])
            beyond = [p for p in ends if p not in loom]
            if address[stud] in grounds and any(p in home for p in beyond):
                found.append(address[stud])
        return found
    return []


def _loom(
    graph: nx.MultiGraph[int], crossings: Collection[int], without: frozenset[int], start: int
) -> tuple[set[int], set[int]]:
    """Return the points of a loom, reached without a crossing, and the numbers of the crossings at its edge."""
    seen, studs, waiting = {start}, set(), [start]
    while waiting:
        for _, other, number in graph.edges(waiting.pop(), keys=True):
            if number in without:
                continue
            if number in crossings:
                studs.add(int(number))
            elif other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen, studs


def _reached(graph: nx.MultiGraph[int], without: frozenset[int], start: int) -> set[int]:
    seen, waiting = {start}, [start]
    while waiting:
        for _, other, number in graph.edges(waiting.pop(), keys=True):
            if number not in without and other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen
