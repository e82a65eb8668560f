"""What to mind while taking a proposed reading (common practice, no source; trade words)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

if TYPE_CHECKING:
    import networkx as nx

CRANKING = "stop fuel and ignition first; crank 10 s at most, then let the starter rest two minutes"
RUNNING = "engine running: keep leads, hands and sleeves from belts and fans; a fan can start by itself"
BATTERY = "no spark or flame at the battery; rings and watch off"
UNFUSED = "no fuse feeds this point: the tip must not bridge it to metal"
GROUND_LIFTED = "leave the ground lead on while this is read"


def caution(harness: Harness, network: Network, plus: str, minus: str, mode: str | None) -> str:
    """Return what to mind at a reading between two points, empty where nothing in particular."""
    engine = network.mode.engine
    words = []
    if engine == "cranking":
        words.append(CRANKING)
    elif engine in ("idling", "running"):
        words.append(RUNNING)
    tips = [p for p in (plus, minus) if p != network.grounded]
    batteries = {p.id for p in harness.parts.values() if p.kind == "battery"}
    if any(p.split(".", 1)[0] in batteries for p in tips):
        words.append(BATTERY)
    unfused = unfused_points(network)
    if any(network.index.get(p, -1) in unfused for p in tips):
        words.append(UNFUSED)
    return "; ".join(words)


def unfused_points(network: Network) -> frozenset[int]:
    """Return the points that hang on a live battery post without a fuse between."""
    import networkx as nx

    graph: nx.Graph[int] = nx.Graph()
    branches = network.branches
    for number, kind in enumerate(branches.kind):
        if kind != "fuse":
            graph.add_edge(int(branches.a[number]), int(branches.b[number]))
    found: set[int] = set()
    grounded = network.index.get(network.grounded or "", -1)
    for element in network.elements:
        if element.kind == "battery":
            for post in ("30", "31"):
                at = network.index.get(f"{element.part}.{post}", -1)
                if at >= 0 and at != grounded and at in graph:
                    found |= nx.node_connected_component(graph, at)
    return frozenset(found - _with(graph, grounded))


def _with(graph: nx.Graph[int], point: int) -> set[int]:
    import networkx as nx

    return set(nx.node_connected_component(graph, point)) if point in graph else set()
