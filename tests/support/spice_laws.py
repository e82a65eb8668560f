"""Every element's law written as a SPICE netlist a second time, from the ratings of its part and the frozen states.

Nothing of the laws of `harness_studio.electrics` is used: the equations stand here again, as 4 lines a kind. Wire
temperatures and the states of relays and regulators are taken as solved. Diodes are the simulator's own model. What
lies beside the equations on purpose is the same: 1 nS beside every curve with flat stretches, kT/q 25.865 mV (27 °C).
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

import networkx as nx
import numpy as np

from harness_studio.electrics.solution import Solution
from harness_studio.network.network import Network

from .spice import OPTIONS, TEMPERATURE_C, Circuit, assert_agrees, run_batch
from .spice_cards import CARDS, QUIET_A, QUIET_V, Card, _or


def closed_ohm(network: Network, states: Mapping[str, str], warm: "np.ndarray | None" = None) -> "np.ndarray":
    """Return each branch's ohms with relay contacts as the states say (a relay that chatters counts as released)."""
    ohm = (network.branches.resistance_ohm if warm is None else warm).copy()
    for contact in network.contacts:
        made = (states[contact.relay] == "pulled in") == contact.makes
        ohm[contact.branch] = network.branches.resistance_ohm[contact.branch] if made else math.inf
    return ohm


def circuit(network: Network, states: Mapping[str, str], solution: Solution | None = None) -> Circuit:
    """Return the netlist of a network in discrete states; of a solution: as warm as it is, started from its volts."""
    assert network.grounded is not None
    ohm = closed_ohm(network, states, None if solution is None else solution.ohm)
    if solution is not None:
        states = {**states, **_batteries(solution)}
    cards = list(_cards(network, states))
    reference = network.index[network.grounded]
    alive = _reached(network, ohm, cards, reference)
    merged = _drawn_together(network, ohm, cards, solution)
    name = {merged[reference]: "0"}
    nodes = tuple(name.setdefault(merged[i], f"n{i}") if i in alive else None for i in range(network.size))
    lines = ["a harness", f".options {OPTIONS} temp={TEMPERATURE_C!r} tnom={TEMPERATURE_C!r}"]
    lines += _metal(network, ohm, nodes)
    for card in cards:
        at = [nodes[p] for p in card.points]
        if all(at) and (card.junction is None or at[0] != at[1]):
            lines += card.lines(at, None if solution is None else solution.volts)
    if solution is not None:
        guess = {n: float(v) for n, v in zip(nodes, solution.volts, strict=True) if n not in (None, "0")}
        lines += [f".nodeset v({n})={v!r}" for n, v in guess.items() if math.isfinite(v)]
    return Circuit((*lines, ".op", ".end"), nodes)


def assert_ngspice_agrees(solution: Solution) -> float | None:
    """Assert that ngspice finds the volts of every point.

    Returns
    -------
    float or None
        How near the worst point came to its tolerance; None if the simulator finds no operating point (its rounding
        keeps it from its tolerances; two more tries have more steps, and a larger conductance at junctions).
    """
    drawn = circuit(solution.network, solution.states, solution)
    for old, new in (("", ""), ("itl1=500", "itl1=5000"), ("gmin=1e-15", "gmin=1e-13")):
        tried = replace(drawn, lines=tuple(line.replace(old, new) for line in drawn.lines))
        try:
            volts = run_batch(tried)
        except AssertionError as error:
            if "no operating point" not in str(error):
                raise
        else:
            return assert_agrees(solution, drawn, volts)
    return None


def _batteries(solution: Solution) -> dict[str, str]:
    """Return on which of its two straight lines each battery stands: a bent source costs the simulator digits."""
    found = {}
    for e in solution.network.elements:
        if e.kind == "battery":
            over = solution.volts[e.terminals["30"]] - solution.volts[e.terminals["31"]]
            found[e.address] = "charging" if over > _or(e.ratings.rest_v, 12.65) else "discharging"
    return found


def _reached(network: Network, ohm: "np.ndarray", cards: list[Card], start: int) -> set[int]:
    graph: nx.Graph[int] = nx.Graph()
    graph.add_node(start)
    live = np.flatnonzero(np.isfinite(ohm))
    graph.add_edges_from(
        zip(network.branches.a[live].tolist(), network.branches.b[live].tolist(), strict=True)
    )
    for card in cards:
        graph.add_edges_from((card.points[0], p) for p in card.points[1:])
    return set(nx.node_connected_component(graph, start))


def _drawn_together(
    network: Network, ohm: "np.ndarray", cards: list[Card], solution: Solution | None
) -> nx.utils.UnionFind:
    """Return points that need no node of their own.

    They are joined by no ohms, dangle, or have a small branch without current or a diode without volts between
    them. The simulator's 0 V sources and dangling chains cost it digits (its pivots cancel), so none is written.
    """
    merged = nx.utils.UnionFind(range(network.size))
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    ends = zip(network.branches.a.tolist(), network.branches.b.tolist(), ohm.tolist(), strict=True)
    for number, (a, b, value) in enumerate(ends):
        if math.isfinite(value) and a != b:
            graph.add_edge(a, b)
            amperes = math.inf if solution is None else abs(float(solution.amperes[number]))
            if value == 0.0 or (amperes <= QUIET_A and amperes * value <= QUIET_V):
                merged.union(a, b)
    for card in cards:
        if card.junction is not None and solution is not None:
            first, second = card.points
            if abs(solution.volts[first] - solution.volts[second]) <= QUIET_V:
                merged.union(first, second)
    used = {p for card in cards for p in card.points}
    ends = [p for p in graph if graph.degree(p) == 1 and p not in used]
    while ends:
        end = ends.pop()
        if end not in graph or graph.degree(end) != 1:
            continue
        (neighbour,) = graph.neighbors(end)
        merged.union(neighbour, end)
        graph.remove_node(end)
        if graph.degree(neighbour) == 1 and neighbour not in used:
            ends.append(neighbour)
    return merged


def _metal(network: Network, ohm: "np.ndarray", nodes: tuple[str | None, ...]) -> Iterator[str]:
    ends = zip(network.branches.a.tolist(), network.branches.b.tolist(), ohm.tolist(), strict=True)
    for number, (a, b, value) in enumerate(ends):
        if math.isfinite(value) and nodes[a] is not None and nodes[a] != nodes[b]:
            yield f"Rm{number} {nodes[a]} {nodes[b]} {value!r}"


def _cards(network: Network, states: Mapping[str, str]) -> Iterator[Card]:
    for number, element in enumerate(network.elements):
        state = states.get(element.address, "")
        working = element.state != "off" or element.kind in ("battery", "alternator", "dynamo", "starter")
        if working and (element.kind == "control_unit" or state not in ("cut out", "hiccups")):
            yield from CARDS[element.kind](f"e{number}", element, state)
