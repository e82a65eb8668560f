"""Where returning current ends, or where feeding current comes from.

The sink of the return side is the grounded terminal of the source that supplies: the battery when the engine is off or
cranking, the alternator's case when it carries the loads (a charging battery is then one more load). When both
supply, the two are blended by solved amperes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from harness_studio.network.network import Network

from .rated import SOURCE_KINDS
from .returns import Metal
from .solution import Solution

POSTS = {"battery": ("30", "31"), "alternator": ("B+", "B-"), "dynamo": ("B+", "B-")}
"""Positive and negative terminal of each kind of source (DIN 72552)."""

Side = Literal["return", "feed"]


@dataclass(frozen=True, slots=True)
class Sink:
    """Where the current of a component ends (side return) or starts (side feed).

    `nodes` holds (node, weight), the weights sum to 1; empty when nothing in the component supplies or grounds.
    """

    side: Side
    name: str | None
    nodes: tuple[tuple[int, float], ...]


LEAST_A = 1e-6
"""Less current than this is rounding: what hangs on nothing takes none."""


def sink_of(network: Network, solution: Solution, metal: Metal, label: int) -> Sink:
    """Return the sink of the component with a label; for many of them make one `Sinks`."""
    return Sinks(network, solution, metal).of(label)


class Sinks:
    """The sinks of all components of a metal, looked at once."""

    def __init__(self, network: Network, solution: Solution, metal: Metal) -> None:
        self._network = network
        self._metal = metal
        self._solution = solution
        self._takers: dict[int, int] | None = None
        self._bodies: dict[int, tuple[str, int]] = {}
        for body, centre in network.body_centres.items():
            node = int(metal.node[centre])
            self._bodies.setdefault(int(metal.label[node]), (body, node))
        self._posts: dict[tuple[Side, int], list[tuple[str, int, float]]] = {}
        negative = network.grounded is None or network.grounded.endswith(".31")
        supplied = _supplied(solution)
        for element in network.elements:
            if element.kind not in SOURCE_KINDS:
                continue
            positive, minus = POSTS[element.kind]
            sides: tuple[tuple[Side, str], ...] = (
                ("return", minus if negative else positive),
                ("feed", positive if negative else minus),
            )
            for side, terminal in sides:
                node = int(metal.node[element.terminals[terminal]])
                row = (f"{element.address}.{terminal}", node, supplied.get(element.address, 0.0))
                self._posts.setdefault((side, int(metal.label[node])), []).append(row)

    def of(self, label: int) -> Sink:
        """Return the sink of a component: its source's post, else its body, else the load that takes its current."""
        sides: tuple[Side, Side] = ("return", "feed")
        for side in sides:
            found = self._posts.get((side, label))
            if found:
                return _blend(side, found)
        if label in self._bodies:
            body, node = self._bodies[label]
            return Sink("return", body, ((node, 1.0),))
        if self._takers is None:
            self._takers = _takers(self._solution, self._metal)
        if label in self._takers:
            index = self._takers[label]
            return Sink("return", self._network.points[index], ((int(self._metal.node[index]), 1.0),))
        return Sink("return", None, ())


def _supplied(solution: Solution) -> dict[str, float]:
    """Return the amperes each source gives out at its terminals; nothing for one that takes current in."""
    found = {}
    for element in solution.elements:
        if element.kind in SOURCE_KINDS:
            watts = sum(
                i * float(solution.volts[p]) for p, i in zip(element.points, element.amperes, strict=True)
            )
            if watts < 0.0:
                found[element.address] = max(abs(i) for i in element.amperes)
    return found


def _blend(side: Side, found: list[tuple[str, int, float]]) -> Sink:
    total = sum(amperes for _, _, amperes in found)
    if total <= 0.0:
        name, node, _ = found[0]
        return Sink(side, name, ((node, 1.0),))
    parts = [(name, node, amperes / total) for name, node, amperes in found if amperes > 1e-9 * total]
    if len(parts) == 1:
        return Sink(side, parts[0][0], ((parts[0][1], 1.0),))
    name = " + ".join(f"{name} {weight:.0%}" for name, _, weight in parts)
    return Sink(side, name, tuple((node, weight) for _, node, weight in parts))


def _takers(solution: Solution, metal: Metal) -> dict[int, int]:
    """Return by component the point of the element terminal that takes most current from it."""
    import numpy as np

    points = np.fromiter((p for e in solution.elements for p in e.points), dtype=np.int64)
    amperes = np.fromiter((i for e in solution.elements for i in e.amperes), dtype=np.float64)
    takes = amperes > LEAST_A
    points, amperes = points[takes], amperes[takes]
    label = metal.label[metal.node[points]]
    most = np.lexsort((-amperes, label))
    here, first = np.unique(label[most], return_index=True)
    return dict(zip(here.tolist(), points[most[first]].tolist(), strict=True))
