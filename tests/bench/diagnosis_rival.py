"""Half-splitting: halve the accessible segments of the complaint's loop, its return first or its feed.

The loop of the load that was complained of is its easiest way from the live post and back to the grounded post. The
first reading tells feed from return; after that the bad part is halved until one segment is left, and then gone over
again from the other side. Same points, noise and stop as the proposed readings.
"""

import networkx as nx
import numpy as np

from harness_studio.casebook.access import permitted
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case
from harness_studio.network.expand import expand
from harness_studio.network.network import Network
from tests.bench.diagnosis_truth import Truth


class Halver:
    """Chooses the next reading of a loop: `way` are its touchable points from the load to the post."""

    def __init__(self, ways: dict[str, list[str]], post: str, clean: dict[str, float]) -> None:
        self.ways, self.post, self.clean = ways, post, clean
        self.side: str | None = None
        self.low = self.high = 0
        self.asked: set[str] = set()

    def next(self, case: Case) -> tuple[str, str] | None:
        """Return the tips of the next reading."""
        if case.readings:
            self._learn(case)
        else:
            return self._ask(self.ways["return"][0]) if self.ways["return"] else self._ask_feed()
        if self.side is None:
            return self._ask_feed()
        way = self.ways[self.side]
        while self.high - self.low > 1:
            middle = (self.low + self.high) // 2
            if way[middle] not in self.asked:
                return self._ask(way[middle])
            self._narrow(case, middle)
        left = [p for p in (*way[self.low : self.high + 1], *way) if p not in self.asked]
        return self._ask(left[0]) if left else None

    def _ask(self, point: str) -> tuple[str, str]:
        self.asked.add(point)
        self.last = point
        return point, self.post

    def _ask_feed(self) -> tuple[str, str] | None:
        self.side = "feed"
        way = self.ways["feed"]
        self.low, self.high = 0, len(way) - 1
        return self._ask(way[0]) if way and way[0] not in self.asked else self._any(way)

    def _any(self, way: list[str]) -> tuple[str, str] | None:
        left = [p for p in way if p not in self.asked]
        return self._ask(left[len(left) // 2]) if left else None

    def _learn(self, case: Case) -> None:
        volts = case.readings[-1].value or 0.0
        off = abs(volts - self.clean[self.last])
        if self.side is None and self.ways["return"] and self.last == self.ways["return"][0]:
            if off > max(0.1, 0.5 * abs(self.clean[self.last])):
                self.side, self.low, self.high, self.whole = "return", 0, len(self.ways["return"]) - 1, off
            return
        way = self.ways[self.side or "feed"]
        if self.last not in way:  # a load without a touchable feed: the answer says nothing of it
            return
        if self.side == "feed" and self.last == way[0]:
            self.whole = off
        self._narrow(case, way.index(self.last))

    def _narrow(self, case: Case, at: int) -> None:
        value = next((r.value for r in case.readings if r.plus == self.ways[self.side or "feed"][at]), None)
        if value is None or not self.low < at < self.high:
            return
        off = abs(value - self.clean[self.ways[self.side or "feed"][at]])
        if off > 0.5 * getattr(self, "whole", 0.2):
            self.low = at
        else:
            self.high = at


def halving(truth: Truth, case: Case) -> Halver:
    """Return what half-splitting does in a case: on the first load that changed, else on the first watched."""
    network = expand(truth.harness, truth.mode)
    clean = solve(network)
    touch = permitted(truth.harness, network)
    changed = [s.on for s in case.sightings if s.seen != "stays"] or [s.on for s in case.sightings]
    watched = [e for e in network.elements if e.address in changed[:1] or e.part in changed[:1]]
    element = (watched or [e for e in network.elements if e.kind in ("lamp", "motor")])[0]
    ends = sorted(element.terminals.values(), key=lambda t: abs(float(np.nan_to_num(clean.volts[t]))))
    post = str(network.grounded)
    live = next(
        p
        for e in network.elements
        if e.kind == "battery"
        for p in (f"{e.address}.30", f"{e.address}.31")
        if p != post
    )
    ways = {
        "return": _touchable(network, clean.ohm, touch, ends[0], network.index[post]),
        "feed": _touchable(network, clean.ohm, touch, ends[-1], network.index[live]),
    }
    volts = {n: float(np.nan_to_num(clean.volts[i])) for n, i in network.index.items()}
    ways["return"] = [p for p in ways["return"] if p != post]
    return Halver(ways, post, volts)


def _touchable(network: Network, ohm: np.ndarray, touch: tuple[bool, ...], start: int, end: int) -> list[str]:
    graph = nx.Graph()
    for number in np.flatnonzero(np.isfinite(ohm)).tolist():
        a, b = int(network.branches.a[number]), int(network.branches.b[number])
        graph.add_edge(a, b, weight=float(ohm[number]) + 1e-9)
    try:
        way = nx.shortest_path(graph, start, end, weight="weight")
    except (nx.NetworkXNoPath, nx.NodeNotFound):
        return []
    return [network.points[p] for p in way if touch[p]]
