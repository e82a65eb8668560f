"""Where breakouts, runs and ends lie on the build board: every run straight and in its true length.

The longest way through the bundle is laid level; each branch takes the angle at which it crosses nothing, keeps clear
of its neighbours and makes the build board least large. A run that would close a ring is drawn from one breakout and
names the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from harness_studio.base.geometry import Point
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner

UNKNOWN_MM = 200.0
"""Drawn, dashed, for a run whose length is not known."""
_CLEAR_MM = 45.0
"""Branches keep this distance where they can, so that hands and labels have room (own choice)."""
_ANGLES = (
    90,
    -90,
    60,
    -60,
    120,
    -120,
    45,
    -45,
    135,
    -135,
    30,
    -30,
    150,
    -150,
    75,
    -75,
    105,
    -105,
    15,
    -15,
    165,
    -165,
)
_TAIL_ANGLES = tuple(a for step in (0, 15, 30) for a in range(step, 360, 45))


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight piece: a run, or the tail from a breakout to a thing at its end.

    `known` is whether its length is; `onward` whether a run goes on elsewhere on the build board.
    """

    id: str
    kind: str
    start: Point
    end: Point
    length_mm: float
    known: bool = True
    onward: str = ""

    def along(self, mm: float) -> Point:
        """Return the place so many mm from its start."""
        share = mm / self.length_mm if self.length_mm else 0.0
        dx, dy = self.end.x_mm - self.start.x_mm, self.end.y_mm - self.start.y_mm
        return self.start.moved(dx * share, dy * share)


@dataclass(slots=True)
class Plan:
    """The whole build board.

    Parameters
    ----------
    nodes
        Breakout → its place.
    things
        What sits at the end of a tail, or at a breakout without one → its place.
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


def plan(harness: Harness) -> Plan:
    """Lay the bundle of a harness out; empty where no run is recorded."""
    made = Plan()
    if not harness.runs:
        return made
    below = 0.0
    for group in _groups(harness):
        _lay(harness, made, group, below)
        below = max((max(s.start.y_mm, s.end.y_mm) for s in made.stretches), default=0.0) + 150.0
    _tails(harness, made)
    for splice in harness.splices.values():
        spot = splice.at
        run = next((s for s in made.stretches if spot and s.id == spot.run), None)
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


def _lay(harness: Harness, made: Plan, runs: Sequence[str], top: float) -> None:
    import networkx as nx

    graph: nx.Graph[str] = nx.Graph()
    spare: list[str] = []
    for run in sorted(runs):
        first, second = harness.runs[run].ends
        if first == second or graph.has_edge(first, second) or _joined(graph, first, second):
            spare.append(run)
        else:
            graph.add_edge(first, second, run=run, mm=_length(harness, run))
    if not graph:
        graph.add_node(harness.runs[runs[0]].ends[0])
    trunk = _longest(graph)
    made.nodes[trunk[0]] = Point(0.0, top)
    for before, here in pairwise(trunk):
        _run(harness, made, graph[before][here]["run"], before, here, 0.0)
    for node in trunk:
        _branches(harness, made, graph, node, 0.0)
    for run in spare:
        _spare(harness, made, run)


def _joined(graph: object, first: str, second: str) -> bool:
    import networkx as nx

    known: nx.Graph[str] = graph  # type: ignore[assignment]
    return first in known and second in known and nx.has_path(known, first, second)


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
    known = harness.runs[run].length_mm
    length = _length(harness, run)
    start = made.nodes[before]
    end = _polar(start, angle, length)
    made.nodes[here] = end
    forward = harness.runs[run].ends[0] == before
    a, b = (start, end) if forward else (end, start)
    made.stretches.append(Stretch(run, "run", a, b, length, known is not None))


def _polar(start: Point, angle: float, length: float) -> Point:
    return start.moved(length * math.cos(math.radians(angle)), length * math.sin(math.radians(angle)))


def _branches(harness: Harness, made: Plan, graph: object, node: str, angle: float) -> None:
    """Lay what branches off at a breakout, and what branches off of that."""
    import networkx as nx

    known: nx.Graph[str] = graph  # type: ignore[assignment]
    for other in sorted(known[node], key=lambda n: (-known[node][n]["mm"], n)):
        if other in made.nodes:
            continue
        edge = known[node][other]
        turns = (*_ANGLES, 0) if angle else _ANGLES
        best = min(
            turns, key=lambda a: (_cost(made, made.nodes[node], angle + a, edge["mm"]), turns.index(a))
        )
        _run(harness, made, edge["run"], node, other, angle + best)
        _branches(harness, made, graph, other, angle + best)


def _spare(harness: Harness, made: Plan, run: str) -> None:
    """Draw a run that would close a ring from its first breakout; its end says where it goes on."""
    first, second = harness.runs[run].ends
    length = _length(harness, run)
    start = made.nodes[first]
    best = min(_TAIL_ANGLES, key=lambda a: _cost(made, start, a, length))
    known = harness.runs[run].length_mm is not None
    made.stretches.append(
        Stretch(run, "run", start, _polar(start, best, length), length, known, onward=second)
    )


def _cost(made: Plan, start: Point, angle: float, length: float) -> float:
    """Return how bad it is to lay a straight piece at an angle: crossings, nearness, then the size of it all."""
    end = _polar(start, angle, length)
    clear = min(_CLEAR_MM, length * 0.6)
    cost = 0.0
    for other in made.stretches:
        if _cross(start, end, other.start, other.end):
            cost += 1e6
        near = _nearest(end, other)
        middle = _nearest(_polar(start, angle, length * 0.6), other)
        cost += 1e3 * (max(0.0, 1 - near / clear) + max(0.0, 1 - middle / (clear * 0.6)))
    xs = [p.x_mm for s in made.stretches for p in (s.start, s.end)] or [start.x_mm]
    ys = [p.y_mm for s in made.stretches for p in (s.start, s.end)] or [start.y_mm]
    wide = max(*xs, end.x_mm) - min(*xs, end.x_mm)
    high = max(*ys, end.y_mm) - min(*ys, end.y_mm)
    return cost + (wide + 2 * high) / 100


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Tell whether two pieces cross away from a common end."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q.x_mm - p.x_mm) * (r.y_mm - p.y_mm) - (q.y_mm - p.y_mm) * (r.x_mm - p.x_mm)

    eps = 1e-6
    return side(a, b, c) * side(a, b, d) < -eps and side(c, d, a) * side(c, d, b) < -eps


def _nearest(p: Point, other: Stretch) -> float:
    """Return the distance of a point from a straight piece."""
    dx, dy = other.end.x_mm - other.start.x_mm, other.end.y_mm - other.start.y_mm
    square = dx * dx + dy * dy
    share = ((p.x_mm - other.start.x_mm) * dx + (p.y_mm - other.start.y_mm) * dy) / square if square else 0.0
    share = min(1.0, max(0.0, share))
    return math.hypot(p.x_mm - other.start.x_mm - share * dx, p.y_mm - other.start.y_mm - share * dy)


def _tails(harness: Harness, made: Plan) -> None:
    """Lay a tail from its breakout to each thing that wires of the bundle end at, as long as the longest of them."""
    for (node, thing), length in sorted(tails(harness, made.nodes).items(), key=lambda i: (-i[1], i[0])):
        start = made.nodes[node]
        name = thing if thing not in made.things else f"{thing} at {node}"
        reach = max(length, 1.0)
        best = min(_TAIL_ANGLES, key=lambda a: _cost(made, start, a, reach))
        end = _polar(start, best, length)
        made.stretches.append(Stretch(name, "tail", start, end, length))
        made.things[name] = end


def tails(harness: Harness, nodes: Iterable[str]) -> dict[tuple[str, str], float]:
    """Return (breakout, thing) → length in mm of the longest tail that wires have there."""
    known = set(nodes)
    found: dict[tuple[str, str], float] = {}
    for wire in harness.wires.values():
        way = breakouts_at_ends(harness, wire)
        for number, node in enumerate(way):
            point = wire.ends[number].point
            if node not in known or point is None or owner(point) in harness.splices:
                continue
            length = wire.tails_mm[number] if wire.tails_mm else 0.0
            key = (str(node), owner(point))
            found[key] = max(found.get(key, 0.0), length)
    return found


def breakouts_at_ends(harness: Harness, wire: Wire) -> tuple[str | None, str | None]:
    """Return the breakouts at which a wire leaves the bundle at its first and second end; None where not known."""
    runs = [harness.runs[r] for r in wire.runs if r in harness.runs]
    if not runs:
        return None, None
    if len(runs) > 1:
        first = next((e for e in runs[0].ends if e not in runs[1].ends), None)
        last = next((e for e in runs[-1].ends if e not in runs[-2].ends), None)
        return first, last
    a, b = runs[0].ends
    seats = [_seat(harness, wire, n, runs[0].id) for n in (0, 1)]
    for n, seat in enumerate(seats):
        if seat in (a, b):
            other = b if seat == a else a
            return (seat, other) if n == 0 else (other, seat)
    return None, None


def _seat(harness: Harness, wire: Wire, number: int, run: str) -> str | None:
    """Return the breakout at which the thing at a wire's end sits, by its place, the box that holds it, or its zone."""
    point = wire.ends[number].point
    section = harness.section_of(owner(point)) if point else None
    if point is None or section is None:
        return None
    thing = harness.tables[section][owner(point)]
    holder = next(
        (p for p in harness.parts.values() if p.kind == "box" and thing.id in p.ratings.holds), None
    )
    for one in filter(None, (thing, holder)):
        spot = getattr(one, "at", None)
        if spot and spot.breakout:
            return str(spot.breakout)
        here = [
            b for b in harness.runs[run].ends if _zone(harness, b) == getattr(one, "zone", None) is not None
        ]
        if len(here) == 1:
            return here[0]
    return None


def _zone(harness: Harness, breakout: str) -> str | None:
    found = harness.tables["breakouts"].get(breakout)
    return found.zone if found else None
