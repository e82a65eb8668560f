"""The network as a networkx MultiGraph: nodes are points, edges are wires, joints, contacts, bodies and bonds."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, cast

import networkx as nx

from harness_studio.network.network import Network

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


def point_graph(network: Network, ohm: Floats | None = None) -> nx.MultiGraph[int]:
    """Return the metal of a network as a graph.

    Nodes are indices of points with `address`; edges are keyed by the branch's number with `address`, `kind` and
    `resistance_ohm`. Open branches are left out, loads and sources are no edges.

    Parameters
    ----------
    network
        The network.
    ohm
        Resistance of each branch where it differs from the network's (relay contacts in their state).
    """
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    graph.add_nodes_from((i, {"address": a}) for i, a in enumerate(network.points))
    branches = network.branches
    values = (branches.resistance_ohm if ohm is None else ohm).tolist()
    for number, (a, b, value) in enumerate(
        zip(branches.a.tolist(), branches.b.tolist(), values, strict=True)
    ):
        if value != float("inf"):
            graph.add_edge(
                a,
                b,
                key=number,
                address=branches.address[number],
                kind=branches.kind[number],
                resistance_ohm=value,
            )
    return graph


def way(graph: nx.MultiGraph[int], start: int, end: int) -> list[int] | None:
    """Return the branches of the way of least resistance between two points, or None if there is none.

    Dijkstra's algorithm, O(E log V).
    """
    if start == end:
        return []
    try:
        points = nx.dijkstra_path(graph, start, end, weight=_least)
    except nx.NetworkXNoPath:
        return None
    found = []
    for a, b in pairwise(points):
        edges = graph[a][b]
        found.append(int(min(edges, key=lambda k: edges[k]["resistance_ohm"])))
    return found


def _least(_a: int, _b: int, edges: dict[str, Any]) -> float:
    """Return the weight of the best of parallel edges; a micro-ohm keeps zero-ohm ways from counting as no step."""
    return float(min(e["resistance_ohm"] for e in edges.values())) + 1e-6


def bridges(graph: nx.MultiGraph[int], start: int, end: int) -> list[int]:
    """Return the branches that every way between two points passes, in order from the start; empty if there is none.

    A branch is a bridge of the graph exactly if it lies on no cycle (chain decomposition, O(V + E)); those on one
    way between the two points are the ones all ways share.
    """
    route = way(graph, start, end)
    if not route:
        return []
    component = graph.subgraph(nx.node_connected_component(graph, start))
    simple: nx.Graph[int] = nx.Graph(component)
    alone = {frozenset(edge) for edge in cast("Iterable[tuple[int, int]]", nx.bridges(simple))}
    found = []
    for number in route:
        a, b = _ends(graph, number, start)
        if frozenset((a, b)) in alone and graph.number_of_edges(a, b) == 1:
            found.append(number)
        start = b
    return found


def _ends(graph: nx.MultiGraph[int], number: int, start: int) -> tuple[int, int]:
    return next((a, b) for a, b, key in graph.edges(start, keys=True) if key == number)
