"""Sneak paths: current through a load against its direction, or while nothing feeds it or takes its current away.

The metal of a network falls into components. From the positive posts supply reaches some of them, through metal and
through parts meant to be passed (gauges on their way to a sender, series resistors, stabilisers, diodes, control units,
generators); from the grounded posts the return reaches others the same way. A load between the two with current from
supply to return works as intended. Any other load that carries current lies on a sneak path: through another load.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from harness_studio.network.network import Element, Network

from .rated import SOURCE_KINDS
from .returns import Metal, metal_of
from .sinks import POSTS
from .solution import ElementCurrents, Solution

PASSED = frozenset(
    [
        "gauge",
        "stabiliser",
        "resistor",
        "diode",
        "control_unit",
        "alternator",
        "dynamo",
        "starter",
        "sender",
        "ntc",
    ],
)
"""Kinds that current is meant to pass on its way to or from another part."""
NOTICED_A = 5e-3
"""Current from which a sneak path is told."""
NOTICED_V = 1.0
"""Volts across a load from which a sneak path is told. Less does nothing to any load, yet drives tens of milliamperes
through every cold filament whose ground rises a little more than its neighbour's (from memory)."""


@dataclass(frozen=True, slots=True)
class SneakPath:
    """A load that carries current it should not.

    `why` is 'backwards' (against its direction), 'not fed' (its feed is fed through another load), or 'no return'
    (its current leaves through another load). `path` names the parts on the way from supply to return.
    """

    element: str
    amperes: float
    why: str
    path: tuple[str, ...]


def sneak_paths(network: Network, solution: Solution, metal: Metal | None = None) -> list[SneakPath]:
    """Return every load that carries current against its direction or without a feed or return of its own."""
    metal = metal or metal_of(network, solution.ohm)
    supply, ground = _posts(network, metal)
    fed, returned = _reach(network, metal, supply), _reach(network, metal, ground)
    graph = _flow_graph(solution, metal)
    by_address = {e.address: e for e in network.elements}
    found = []
    for currents in solution.elements:
        element = by_address[currents.address]
        if element.kind in SOURCE_KINDS or element.kind in PASSED or len(currents.points) != 2:
            continue
        why = _why(element, currents, metal, fed, returned)
        if why and not _across(element, solution) >= NOTICED_V:
            why = None
        if why:
            amperes = max(abs(i) for i in currents.amperes)
            path = tuple(_path(graph, currents, metal, supply, ground))
            found.append(SneakPath(element.address, amperes, why, path))
    return sorted(found, key=lambda s: -s.amperes)


def _across(element: Element, solution: Solution) -> float:
    """Return the size of the volts across an element, NaN in an island."""
    points = list(element.terminals.values())
    return abs(float(solution.volts[points[0]] - solution.volts[points[-1]]))


def _posts(network: Network, metal: Metal) -> tuple[set[int], set[int]]:
    """Return the components of the positive and of the negative posts; each way round for the vehicle's grounding."""
    positive: set[int] = set()
    negative: set[int] = set()
    for element in network.elements:
        if element.kind in SOURCE_KINDS:
            plus, minus = POSTS[element.kind]
            positive.add(_label(metal, element.terminals[plus]))
            negative.add(_label(metal, element.terminals[minus]))
    return positive, negative


def _label(metal: Metal, point: int) -> int:
    return int(metal.label[metal.node[point]])


def _reach(network: Network, metal: Metal, start: set[int]) -> set[int]:
    """Return the components that are reached from some through parts meant to be passed."""
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(start)
    for element in network.elements:
        if element.kind in PASSED:
            labels = [_label(metal, p) for p in element.terminals.values()]
            graph.add_edges_from((labels[0], other) for other in labels[1:])
    reached: set[int] = set()
    for label in start:
        reached |= nx.node_connected_component(graph, label)
    return reached


def _why(
    element: Element, currents: ElementCurrents, metal: Metal, fed: set[int], returned: set[int]
) -> str | None:
    into = dict(zip(currents.points, currents.amperes, strict=True))
    terminals = list(element.terminals.values())
    first, last = terminals[0], terminals[-1]
    amperes = into.get(first, 0.0)
    if abs(amperes) < NOTICED_A:
        return None
    start, end = _label(metal, first), _label(metal, last)
    if amperes < 0.0 and element.kind not in ("relay", "heater", "resistor", "coil"):
        return "backwards"
    if amperes < 0.0:
        start, end = end, start
    if start not in fed:
        return "not fed"
    return None if end in returned else "no return"


def _flow_graph(solution: Solution, metal: Metal) -> nx.MultiDiGraph[int]:
    """Return the currents between components as arrows, each through the element that carries it."""
    graph: nx.MultiDiGraph[int] = nx.MultiDiGraph()
    for element in solution.elements:
        if element.kind in SOURCE_KINDS:
            continue
        entering = [p for p, i in zip(element.points, element.amperes, strict=True) if i > NOTICED_A / 10]
        leaving = [p for p, i in zip(element.points, element.amperes, strict=True) if i < -NOTICED_A / 10]
        for a in entering:
            for b in leaving:
                graph.add_edge(_label(metal, a), _label(metal, b), element=element.address)
    return graph


def _path(
    graph: nx.MultiDiGraph[int], currents: ElementCurrents, metal: Metal, supply: set[int], ground: set[int]
) -> Iterator[str]:
    """Yield the elements on a way from supply through this element to the return, following the currents."""
    pairs = sorted(zip(currents.amperes, currents.points, strict=True))
    leaves, enters = _label(metal, pairs[0][1]), _label(metal, pairs[-1][1])
    yield from _elements(graph, supply, {enters})
    yield currents.address
    yield from _elements(graph, {leaves}, ground)


def _elements(graph: nx.MultiDiGraph[int], starts: set[int], ends: set[int]) -> Iterator[str]:
    if starts & ends:
        return
    routes = []
    for start in starts & set(graph):
        found = nx.single_source_shortest_path(graph, start)
        routes += [route for end, route in found.items() if end in ends]
    if routes:
        best = min(routes, key=len)
        for a, b in pairwise(best):
            yield str(next(iter(graph[a][b].values()))["element"])
