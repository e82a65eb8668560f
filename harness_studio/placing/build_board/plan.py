"""Where breakouts, runs and ends lie on the build board: every run straight and in its true length.

The longest way through the bundle is laid level; each branch takes the angle at which it crosses nothing, keeps clear
of its neighbours and stays within reach across the bench. A run that would close a ring is drawn from one breakout and
names the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from harness_studio.base.geometry import Box, Point
from harness_studio.model.harness import Harness

from .angles import BRANCH_ANGLES, RUN_CLEAR_MM, TAIL_ANGLES, TAIL_CLEAR_MM, best_angle, polar
from .stretch import Stretch
from .tails import tails

UNKNOWN_MM = 200.0
"""Drawn, dashed, for a run whose length is not known."""
_BETWEEN_MM = 150.0
"""Between bundles that do not hang together."""


@dataclass(slots=True)
class Plan:
    """The whole build board.

    Parameters
    ----------
    nodes
        Breakout → its place.
    things
        What sits at the end of a tail → its place. One that hangs at several breakouts stands at each, as
        'X1 at bk2'; the first has the plain id.
    splices
        Splice → its place on its run.
    unplaced
        Wires that no run is recorded for, by their whole length only.
    """

    nodes: dict[str, Point] = field(default_factory=dict)
    stretches: list[Stretch] = field(default_factory=list)
    things: dict[str, Point] = field(default_factory=dict)
    splices: dict[str, Point] = field(default_factory=dict)
    unplaced: list[str] = field(default_factory=list)

    @property
    def extent(self) -> Box:
        """The box around all pieces."""
        points = [p for s in self.stretches for p in (s.start, s.end)]
        left, top = min(p.x_mm for p in points), min(p.y_mm for p in points)
        wide, high = max(p.x_mm for p in points) - left, max(p.y_mm for p in points) - top
        return Box(left, top, max(wide, 1.0), max(high, 1.0))

    def tail_of(self, thing: str) -> Stretch:
        """Return the tail at whose end a thing sits."""
        return next(s for s in self.stretches if s.kind == "tail" and s.id == thing)


def known_as(thing: str) -> str:
    """Return the id in the harness of a thing of the plan."""
    return thing.partition(" at ")[0]


def plan(harness: Harness) -> Plan:
    """Lay the bundle of a harness out; empty where no run is recorded."""
    made = Plan()
    if not harness.runs:
        return made
    hanging = tails(harness)
    for group in _groups(harness):
        part = _bundle(harness, group, hanging)
        below = made.extent.bottom_mm + _BETWEEN_MM - part.extent.top_mm if made.stretches else 0.0
        made.nodes |= {node: at.moved(0.0, below) for node, at in part.nodes.items()}
        made.stretches += [s.moved(0.0, below) for s in part.stretches]
    made.things = {s.id: s.end for s in made.stretches if s.kind == "tail"}
    for splice in harness.splices.values():
        spot = splice.at
        run = next((s for s in made.stretches if spot and s.kind == "run" and s.id == spot.run), None)
        if spot and run and spot.mm is not None:
            made.splices[splice.id] = run.along(spot.mm)
        elif spot and spot.breakout in made.nodes:
            made.splices[splice.id] = made.nodes[spot.breakout]
    made.unplaced = [w.id for w in harness.wires.values() if not w.runs]
    return made


def _length(harness: Harness, run: str) -> float:
    known = harness.runs[run].length_mm
    return UNKNOWN_MM if known is None else known


def _groups(harness: Harness) -> list[list[str]]:
    """Return the runs that hang together, the longest bundle first."""
    import networkx as nx

    graph: nx.MultiGraph[str] = nx.MultiGraph()
    for run in harness.runs.values():
        graph.add_edge(*run.ends, key=run.id)
    parts = [[k for _, _, k in graph.subgraph(c).edges(keys=True)] for c in nx.connected_components(graph)]
    return sorted(parts, key=lambda runs: (-sum(_length(harness, r) for r in runs), runs))


def _bundle(harness: Harness, runs: Sequence[str], hanging: dict[tuple[str, str], float]) -> Plan:
    """Lay runs that hang together, and the tails at their breakouts."""
    import networkx as nx

    made = Plan()
    graph: nx.Graph[str] = nx.Graph()
    spare: list[str] = []
    for run in sorted(runs):
        first, second = harness.runs[run].ends
        if first == second or (first in graph and second in graph and nx.has_path(graph, first, second)):
            spare.append(run)
        else:
            graph.add_edge(first, second, run=run, mm=_length(harness, run))
    if not graph:
        graph.add_node(harness.runs[runs[0]].ends[0])
    trunk = _longest(graph)
    made.nodes[trunk[0]] = Point(0.0, 0.0)
    for before, here in pairwise(trunk):
        _run(harness, made, graph[before][here]["run"], before, here, 0.0)
    for node in trunk:
        _branches(harness, made, graph, node, 0.0)
    for run in spare:
        _spare(harness, made, run)
    _tails(made, hanging)
    return made


def _longest(graph: object) -> list[str]:
    """Return the longest way through a tree: from the node farthest from any, to the one farthest from that."""
    import networkx as nx

    known: nx.Graph[str] = graph  # type: ignore[assignment]
    start = min(known.nodes)
    for _ in range(2):
        lengths = nx.single_source_dijkstra_path_length(known, start, weight="mm")
        last, start = start, max(lengths, key=lambda n: (lengths[n], n))
    return list(nx.dijkstra_path(known, min(last, start), max(last, start), weight="mm"))


def _run(harness: Harness, made: Plan, run: str, before: str, here: str, angle: float) -> None:
    """Lay a run from a breakout that has its place; the stretch keeps the run's own direction."""
    length = _length(harness, run)
    start = made.nodes[before]
    end = polar(start, angle, length)
    made.nodes[here] = end
    forward = harness.runs[run].ends[0] == before
    a, b = (start, end) if forward else (end, start)
    made.stretches.append(Stretch(run, "run", a, b, length, harness.runs[run].length_mm is not None))


def _branches(harness: Harness, made: Plan, graph: object, node: str, angle: float) -> None:
    """Lay what branches off at a breakout, and what branches off of that."""
    import networkx as nx

    known: nx.Graph[str] = graph  # type: ignore[assignment]
    for other in sorted(known[node], key=lambda n: (-known[node][n]["mm"], n)):
        if other in made.nodes:
            continue
        edge = known[node][other]
        turns = (*BRANCH_ANGLES, 0) if angle else BRANCH_ANGLES
        ways = [angle + turn for turn in turns]
        best = best_angle(made.stretches, made.nodes[node], edge["mm"], ways, RUN_CLEAR_MM)
        _run(harness, made, edge["run"], node, other, best)
        _branches(harness, made, graph, other, best)


def _spare(harness: Harness, made: Plan, run: str) -> None:
    """Draw a run that would close a ring from its first breakout; its end says where it goes on."""
    first, second = harness.runs[run].ends
    length = _length(harness, run)
    start = made.nodes[first]
    end = polar(start, best_angle(made.stretches, start, length, TAIL_ANGLES, RUN_CLEAR_MM), length)
    known = harness.runs[run].length_mm is not None
    made.stretches.append(Stretch(run, "run", start, end, length, known, onward=second))


def _tails(made: Plan, hanging: dict[tuple[str, str], float]) -> None:
    """Lay a tail from its breakout to each thing, the longest first."""
    placed: set[str] = set()
    for (node, thing), length in sorted(hanging.items(), key=lambda i: (-i[1], i[0])):
        name = thing if thing not in placed else f"{thing} at {node}"
        placed.add(thing)
        if node not in made.nodes:
            continue
        start = made.nodes[node]
        best = best_angle(made.stretches, start, max(length, 1.0), TAIL_ANGLES, TAIL_CLEAR_MM)
        made.stretches.append(Stretch(name, "tail", start, polar(start, best, length), length))
