"""The metal of a solved network as networkx sees it: ways, cuts, and where a unit of current goes.

Built from the list of branches alone. Loads and sources are not in it.
"""

from collections.abc import Iterator
from functools import cached_property
from itertools import pairwise

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from harness_studio.electrics.solution import Solution

POSTS = {"battery": ("30", "31"), "alternator": ("B+", "B-"), "dynamo": ("B+", "B-")}


class ReturnGraph:
    """The branches of a solution that are closed, as a multigraph of points; its keys are branch numbers."""

    def __init__(self, solution: Solution) -> None:
        self.solution = solution
        self.network = solution.network
        self.graph: nx.MultiGraph[int] = nx.MultiGraph()
        self.graph.add_nodes_from(range(self.network.size))
        branches = self.network.branches
        for number, ohm in enumerate(solution.ohm.tolist()):
            if np.isfinite(ohm):
                self.graph.add_edge(int(branches.a[number]), int(branches.b[number]), number)
        self.component = {
            point: number for number, part in enumerate(nx.connected_components(self.graph)) for point in part
        }

    def sources(self) -> Iterator[tuple[str, dict[str, int], float]]:
        """Yield (kind, terminals, amperes given out) of each source."""
        given = {}
        for e in self.solution.elements:
            watts = sum(
                float(self.solution.volts[p]) * i for p, i in zip(e.points, e.amperes, strict=True) if i
            )
            given[e.address] = max(map(abs, e.amperes)) if watts < 0.0 else 0.0
        for element in self.network.elements:
            if element.kind in POSTS:
                yield element.kind, dict(element.terminals), given.get(element.address, 0.0)

    @cached_property
    def sinks(self) -> dict[int, dict[int, float]]:
        """By component: the points where its current ends (or comes from), and the part of it that does.

        The post of the source that supplies; of several that do, each by its amperes; of none, the first.
        """
        found: dict[int, dict[int, float]] = {}
        for pole in (0, 1):
            here: dict[int, list[tuple[int, float]]] = {}
            for kind, terminals, amperes in self.sources():
                point = terminals[POSTS[kind][pole]]
                here.setdefault(self.component[point], []).append((point, amperes))
            for component, rows in here.items():
                total = sum(amperes for _, amperes in rows)
                if total > 0.0:
                    found[component] = {p: i / total for p, i in rows if i > 1e-9 * total}
                else:
                    found[component] = {rows[0][0]: 1.0}
        return found

    def reaches_without(self, point: int, branch: int) -> bool:
        """Tell whether a point still reaches any of its sinks when a branch is taken out."""
        network = self.network.branches
        a, b = int(network.a[branch]), int(network.b[branch])
        there = self.graph.has_edge(a, b, branch)
        if there:
            self.graph.remove_edge(a, b, branch)
        try:
            return any(nx.has_path(self.graph, point, s) for s in self.sinks[self.component[point]])
        finally:
            if there:
                self.graph.add_edge(a, b, branch)

    def cuts(self, point: int) -> Iterator[list[tuple[int, float]]]:
        """Yield edge cuts between a point and its sinks, as (branch, +1 if it points towards the sinks, else −1).

        Every layer by distance from the point up to the nearest sink, and a smallest cut.
        """
        sinks = self.sinks[self.component[point]]
        distance = nx.single_source_shortest_path_length(self.graph, point)
        for layer in range(min(distance[s] for s in sinks)):
            yield self._cut({p for p, d in distance.items() if d <= layer})
        simple = nx.Graph(self.graph.subgraph(distance))
        for first, second in pairwise(sinks):
            simple.add_edge(first, second)
        edges = nx.minimum_edge_cut(simple, point, next(iter(sinks))) if point not in sinks else set()
        if not edges & {frozenset(pair) for pair in pairwise(sinks)}:
            simple.remove_edges_from(edges)
            side = nx.node_connected_component(simple, point)
            if not side & set(sinks):
                yield self._cut(side)

    def _cut(self, side: set[int]) -> list[tuple[int, float]]:
        branches = self.network.branches
        found = []
        for _, _, number in self.graph.edges(side, keys=True):
            a_in, b_in = int(branches.a[number]) in side, int(branches.b[number]) in side
            if a_in != b_in:
                found.append((number, 1.0 if a_in else -1.0))
        return found

    @cached_property
    def _merged(self) -> dict[int, int]:
        union = nx.utils.UnionFind(range(self.network.size))
        for number in np.flatnonzero(self.solution.ohm == 0.0).tolist():
            union.union(int(self.network.branches.a[number]), int(self.network.branches.b[number]))
        return {point: union[point] for point in range(self.network.size)}

    def unit_currents(self, component: int) -> tuple[dict[int, int], NDArray[np.float64], list[int]]:
        """Return (column of each point, the current of each branch for one ampere from there to the sinks, branches).

        From networkx's Laplacian of the component, inverted densely with one correction.
        """
        points = [p for p, c in self.component.items() if c == component]
        nodes = sorted({self._merged[p] for p in points})
        simple: nx.Graph[int] = nx.Graph()
        simple.add_nodes_from(nodes)
        inside: list[int] = []
        for a, b, number in self.graph.subgraph(points).edges(keys=True):
            first, second, ohm = self._merged[a], self._merged[b], float(self.solution.ohm[number])
            if first != second:
                inside.append(number)
                known = simple.get_edge_data(first, second, {"siemens": 0.0})["siemens"]
                simple.add_edge(first, second, siemens=known + 1.0 / ohm)
        laplacian = nx.laplacian_matrix(simple, nodelist=nodes, weight="siemens").toarray()
        # An even outflow at every node makes it regular; only differences of volts are used, of balanced currents.
        regular = laplacian + np.full_like(laplacian, laplacian.max() / len(nodes))
        inverse = np.linalg.inv(regular)
        inverse += inverse @ (np.eye(len(nodes)) - regular @ inverse)
        row = {node: i for i, node in enumerate(nodes)}
        sinks = self.sinks[component]
        away = sum(w * inverse[:, row[self._merged[s]]] for s, w in sinks.items())
        volts = inverse - np.asarray(away)[:, None]
        branches = self.network.branches
        first = [row[self._merged[int(branches.a[n])]] for n in inside]
        second = [row[self._merged[int(branches.b[n])]] for n in inside]
        currents = (volts[first] - volts[second]) / self.solution.ohm[inside][:, None]
        return {p: row[self._merged[p]] for p in points}, currents, inside
