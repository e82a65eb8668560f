"""The voltage staircase: from the positive post through a load back to the grounded post, a step per joint and wire."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from harness_studio.base.errors import AddressError, nearest
from harness_studio.network.network import Element, Network
from harness_studio.tracing.graph import point_graph, way

from .rated import SOURCE_KINDS
from .sinks import POSTS
from .solution import Solution

if TYPE_CHECKING:
    import networkx as nx


@dataclass(frozen=True, slots=True)
class Step:
    """One tread: what is passed from point to point, volts before and after it, and the current along the way."""

    address: str
    kind: str
    side: Literal["feed", "load", "return"]
    from_v: float
    to_v: float
    amperes: float
    from_point: str
    to_point: str

    @property
    def lost_v(self) -> float:
        """Volts lost on this step."""
        return self.from_v - self.to_v


def staircase(network: Network, solution: Solution, load: str, via: str | None = None) -> list[Step]:
    """Return the steps from the battery's positive post through a load to its grounded post.

    The way of least resistance is taken on either side, as a meter would be walked; empty where the load is not fed
    through metal. The steps' losses add up to the volts between the two posts. With `via` the way leads through that
    joint on the side where it can; where it cannot, or there is no such joint, it is as without.

    Raises
    ------
    AddressError
        If there is no such load.
    """
    element = next((e for e in network.elements if load in (e.address, e.part)), None)
    if element is None:
        near = nearest(load, [e.address for e in network.elements])
        raise AddressError(
            f"'{load}' is no load of this network" + (f"; nearest is '{near}'" if near else "")
        )
    graph = point_graph(network, solution.ohm)
    feed, back = _posts(network)
    terminals = list(element.terminals.values())
    best: list[Step] = []
    for first, last in ((terminals[0], terminals[-1]), (terminals[-1], terminals[0])):
        to_load = _shortest(graph, feed, first)
        from_load = _shortest(graph, back, last)
        if to_load is None or from_load is None:
            continue
        start, route = to_load
        end, home = from_load
        number = network.joints.get(via) if via is not None else None
        if number is not None and number not in (*route, *home):
            around = _through(graph, network, number, end, last)
            if around is not None:
                home = around
            else:
                route = _through(graph, network, number, start, first) or route
        best = _along(network, solution, start, route, "feed")
        best.append(_load_step(solution, element, first, last))
        best += _along(network, solution, last, list(reversed(home)), "return")
        break
    return best


def _posts(network: Network) -> tuple[list[int], list[int]]:
    """Return the points of the positive and of the grounded posts: the battery's, else the generators'."""
    sources = [e for e in network.elements if e.kind in SOURCE_KINDS]
    sources = [e for e in sources if e.kind == "battery"] or sources
    pairs = [(e.terminals, POSTS[e.kind]) for e in sources]
    positive = [terminals[posts[0]] for terminals, posts in pairs]
    negative = [terminals[posts[1]] for terminals, posts in pairs]
    if network.grounded is not None and network.grounded.endswith(".30"):
        return negative, positive
    return positive, negative


def _shortest(graph: nx.MultiGraph[int], posts: list[int], point: int) -> tuple[int, list[int]] | None:
    """Return (post, branches from it to the point) of the least resistance, or None."""
    routes = [(post, route) for post in posts if (route := way(graph, post, point)) is not None]
    return min(routes, key=lambda r: sum(float(graph_ohm) for graph_ohm in _ohms(graph, r[1])), default=None)


def _through(
    graph: nx.MultiGraph[int], network: Network, number: int, post: int, point: int
) -> list[int] | None:
    """Return the branches from a post through a joint to a point by least resistance; None if that passes one twice."""
    a, b = int(network.branches.a[number]), int(network.branches.b[number])
    found = []
    for near, far in ((a, b), (b, a)):
        before, after = way(graph, post, near), way(graph, far, point)
        if before is None or after is None or number in (*before, *after) or set(before) & set(after):
            continue
        found.append([*before, number, *after])
    return min(found, key=lambda route: sum(_ohms(graph, route)), default=None)


def _ohms(graph: nx.MultiGraph[int], route: list[int]) -> list[float]:
    wanted = set(route)
    return [d["resistance_ohm"] for _, _, key, d in graph.edges(keys=True, data=True) if key in wanted]


def _along(
    network: Network, solution: Solution, start: int, route: list[int], side: Literal["feed", "return"]
) -> list[Step]:
    branches, here, steps = network.branches, start, []
    for number in route:
        a, b = int(branches.a[number]), int(branches.b[number])
        there, sign = (b, 1.0) if a == here else (a, -1.0)
        steps.append(
            Step(
                branches.address[number],
                branches.kind[number],
                side,
                float(solution.volts[here]),
                float(solution.volts[there]),
                sign * float(solution.amperes[number]),
                network.points[here],
                network.points[there],
            )
        )
        here = there
    return steps


def _load_step(solution: Solution, element: Element, first: int, last: int) -> Step:
    found = next((e for e in solution.elements if e.address == element.address), None)
    into = dict(zip(found.points, found.amperes, strict=True)) if found else {}
    volts = solution.volts
    return Step(
        element.address,
        element.kind,
        "load",
        float(volts[first]),
        float(volts[last]),
        into.get(first, 0.0),
        solution.network.points[first],
        solution.network.points[last],
    )


def volts_along(steps: Sequence[Step], solution: Solution) -> list[float]:
    """Return the volts at the points of a staircase in another solution of the same harness: one more than steps.

    NaN where a point is not there, or in an island.
    """
    points = [s.from_point for s in steps[:1]] + [s.to_point for s in steps]
    index, volts = solution.network.index, solution.volts
    return [float(volts[index[p]]) if p in index else math.nan for p in points]
