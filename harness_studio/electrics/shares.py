"""Who shares a joint: which loads return (or are fed) through it, and how much of each.

One adjoint solve per joint on the network without loads and sources. *Only way* is decided by the graph, never by
a number; *main way* is half or more, *some* a twentieth or more, *minor* less.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from harness_studio.base.errors import AddressError
from harness_studio.network.network import Element, Network

from .carriers import carriers_of
from .returns import Metal, metal_of
from .sinks import Sink, Sinks
from .solution import Solution, branch_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Side = Literal["return", "feed"]
Way = Literal["only", "main", "some", "minor", "none"]
MAIN, SOME = 0.5, 0.05
_EDGE = 1e-9
"""Accuracy of a share: of two equal ways both are the main way, whatever the last digits say."""
_STAND_IN_OHM = 1e-6
"""Resistance given to a joint of zero ohms, so that its two sides are told apart; its share is found with none."""


@dataclass(frozen=True, slots=True)
class Share:
    """One load at one joint.

    Parameters
    ----------
    point
        Where the load is joined to the shared metal.
    part, element
        The part, and the element's address; the element is None for the unknown end of an imported harness.
    share
        Signed part of its current that passes the joint from its first side to its second; for a splice the part
        that passes it in any direction.
    amperes
        Current from the load into the metal (return) or from the metal into the load (feed).
    moved_mv
        What its current moves the joint's volts by: share × amperes × resistance.
    """

    point: str
    part: str
    element: str | None
    side: Side
    circuit: str | None
    share: float
    way: Way
    amperes: float
    moved_mv: float


@dataclass(frozen=True, slots=True)
class Shares:
    """Everything that shares one joint (or one splice or bus, over all its legs).

    `joint_amperes` is the solved current through it, `rise_v` the volts of its first side against the grounded post,
    None in an island. `carriers` gives for each wire the amperes of the sharing circuits in it; `sharing_wires` are the
    wires on a way of a sharing circuit, on its feed as well as on its return.
    """

    joint: str
    mode: str | None
    sink: str | None
    side: Side
    rise_v: float | None
    joint_amperes: float
    drop_v: float
    ohm: float
    rows: tuple[Share, ...]
    carriers: Mapping[str, float]
    sharing_wires: frozenset[str]


@dataclass(frozen=True, slots=True)
class _Place:
    """What is looked at: one branch, or all branches at a node."""

    branches: tuple[int, ...]
    node: int | None
    point: str


def shares(network: Network, solution: Solution, joint: str, metal: Metal | None = None) -> Shares:
    """Return who shares a joint.

    Parameters
    ----------
    network, solution
        The network and its solution in one mode.
    joint
        A joint's address, a wire's or fuse's id, or the id of a splice or bus (then all that passes it).
    metal
        The metal of the same solution, to use its factors again.

    Raises
    ------
    AddressError
        If the joint is not in the network.
    """
    place = _place(network, joint)
    metal = metal or metal_of(network, solution.ohm)
    opened: Metal | None = None
    if place.node is None and solution.ohm[place.branches[0]] == 0.0:
        ohm = solution.ohm.copy()
        ohm[place.branches[0]] = _STAND_IN_OHM
        metal = metal_of(network, ohm)
        ohm[place.branches[0]] = float("inf")
        opened = metal_of(network, ohm)
    sinks = Sinks(network, solution, metal)
    label, sink = _sink(network, metal, place, sinks)
    amperes, drop_v, ohm_here = _solved(solution, place)
    rows = sorted(
        _rows(network, solution, metal, sink, label, place, ohm_here, opened, sinks),
        key=lambda r: (
            -round(abs(r.moved_mv), 6),
            -round(abs(r.share * r.amperes), 6),
            -round(abs(r.share), 6),
            r.point,
        ),
    )
    carriers, wires = carriers_of(network, solution, metal, rows, label, sink, sinks)
    return Shares(
        joint=joint,
        mode=network.mode.id,
        sink=sink.name,
        side=sink.side,
        rise_v=solution.volt(place.point) if place.point in network.index else None,
        joint_amperes=amperes,
        drop_v=drop_v,
        ohm=ohm_here,
        rows=tuple(rows),
        carriers=carriers,
        sharing_wires=wires,
    )


def _place(network: Network, joint: str) -> _Place:
    if joint in network.joints:
        number = network.joints[joint]
        return _Place((number,), None, network.points[int(network.branches.a[number])])
    for inner in (joint, f"~{joint}"):
        point = network.index.get(inner)
        if point is not None and "." not in joint and "@" not in joint:
            here = [
                i
                for i in range(len(network.branches))
                if point in (network.branches.a[i], network.branches.b[i])
            ]
            if not here:
                raise AddressError(f"no wire ends at '{joint}'")
            return _Place(tuple(here), point, inner)
    number = branch_of(network, joint)
    return _Place((number,), None, network.points[int(network.branches.a[number])])


def _sink(network: Network, metal: Metal, place: _Place, sinks: Sinks) -> tuple[int, Sink]:
    """Return the component looked at and its sink; of an open joint's two sides the one that has a sink."""
    if place.node is not None:
        sides = [place.node]
    else:
        sides = [int(network.branches.b[place.branches[0]]), int(network.branches.a[place.branches[0]])]
    found: tuple[int, Sink] | None = None
    for point in sides:
        label = int(metal.label[metal.node[point]])
        sink = sinks.of(label)
        if found is None or (not found[1].nodes and sink.nodes):
            found = (label, sink)
    assert found is not None
    return found


def _solved(solution: Solution, place: _Place) -> tuple[float, float, float]:
    if place.node is None:
        number = place.branches[0]
        i, ohm = float(solution.amperes[number]), float(solution.ohm[number])
        return i, (i * ohm if ohm != float("inf") else 0.0), ohm
    through = 0.5 * sum(abs(float(solution.amperes[n])) for n in place.branches)
    return through, 0.0, 0.0


def _rows(
    network: Network,
    solution: Solution,
    metal: Metal,
    sink: Sink,
    label: int,
    place: _Place,
    ohm: float,
    opened: Metal | None,
    sinks: Sinks,
) -> Iterator[Share]:
    import numpy as np

    through = _through(network, metal, sink, place, opened)
    reached = _reached(network, metal, sink, place)
    sign = 1.0 if sink.side == "return" or place.node is not None else -1.0
    into_metal = {e.address: e for e in solution.elements}
    resistance = 0.0 if ohm == float("inf") else ohm
    points = np.fromiter((p for e in network.elements for p in e.terminals.values()), dtype=np.int64)
    nodes, listed = metal.node[points], points.tolist()
    here = set(points[metal.label[nodes] == label].tolist())
    passing = dict(zip(listed, through[nodes].tolist(), strict=True))
    still = dict(zip(listed, reached[nodes].tolist(), strict=True))
    source = _source(network, metal, sink)
    lost: _Lost | None = None
    for element in network.elements:
        ends = [i for i in element.terminals.values() if i in here]
        if element.address == source:
            # What else it takes here, such as by its sense wire, is a load like others.
            ends = [i for i in ends if int(metal.node[i]) != sink.nodes[0][0]]
        if not ends:
            if element.address != source and sink.side == "return":
                lost = lost or _Lost(network, metal, sinks)
                if lost.holds(element):
                    yield _row(network, element, _return_point(element), "return", 0.0, "none", 0.0, 0.0)
            continue
        main, most, passes = ends[-1], 0.0, 0.0
        solved = into_metal.get(element.address)
        if solved:
            for point, taken in zip(solved.points, solved.amperes, strict=True):
                if taken and point in ends:
                    passes += taken * passing[point]
                    size = abs(taken) - abs(most)
                    if size > 0.0 or (size == 0.0 and ends.index(point) < ends.index(main)):
                        main, most = point, taken
        share = sign * (passes / most if most else passing[main])
        amperes = 0.0 - most if sink.side == "return" else most  # without a minus at zero
        only = not still[main]
        moved_mv = share * amperes * resistance * 1000.0
        yield _row(network, element, main, sink.side, share, _way(share, only, sink), amperes, moved_mv)
    if not into_metal:
        yield from _unknown_rows(network, metal, sink, label, through, reached)


def _row(
    network: Network,
    element: Element,
    point: int,
    side: Side,
    share: float,
    way: Way,
    amperes: float,
    moved_mv: float,
) -> Share:
    address = network.points[point]
    circuit = network.circuits.get(element.part) or network.circuits.get(address)
    return Share(address, element.part, element.address, side, circuit, share, way, amperes, moved_mv)


def _unknown_rows(
    network: Network, metal: Metal, sink: Sink, label: int, through: Floats, reached: NDArray[np.bool_]
) -> Iterator[Share]:
    for address in network.unknown_returns:
        node = int(metal.node[network.index[address]])
        if int(metal.label[node]) != label:
            continue
        share, only = float(through[node]), not bool(reached[node])
        part = address.split(".", 1)[0]
        circuit = network.circuits.get(address)
        yield Share(address, part, None, sink.side, circuit, share, _way(share, only, sink), 0.0, 0.0)


def _through(network: Network, metal: Metal, sink: Sink, place: _Place, opened: Metal | None) -> Floats:
    """Return for each node the part of a unit current from it to the sink that passes the place.

    `opened` is the metal with the place held open, where that is a joint of zero ohms; nodes are the same.
    """
    import numpy as np

    total = np.zeros(metal.count)
    for node, weight in sink.nodes:
        if opened is not None:
            branches, number = network.branches, place.branches[0]
            a, b = (int(metal.node[ends[number]]) for ends in (branches.a, branches.b))
            total += weight * opened.shorted_drop(node, a, b)
            continue
        drops = metal.unit_drop(node, list(place.branches))
        if place.node is None:
            total += weight * drops[0]
            continue
        here = int(metal.node[place.node])
        part = 0.5 * np.abs(drops).sum(axis=0)
        part[here] += 0.5
        if here == node:
            part[metal.label == metal.label[node]] += 0.5
        total += weight * part
    return total


def _reached(network: Network, metal: Metal, sink: Sink, place: _Place) -> NDArray[np.bool_]:
    """Return which nodes still reach a sink without the place."""
    import numpy as np

    found = np.zeros(metal.count, dtype=bool)
    for node, _ in sink.nodes:
        if place.node is None:
            found |= metal.reached_without(node, set(place.branches), set())
        elif int(metal.node[place.node]) != node:
            found |= metal.reached_without(node, set(), {int(metal.node[place.node])})
    return found


def _way(share: float, only: bool, sink: Sink) -> Way:
    if not sink.nodes:
        return "none"
    if only:
        return "only"
    size = abs(share)
    return "main" if size >= MAIN - _EDGE else "some" if size >= SOME - _EDGE else "minor"


def _source(network: Network, metal: Metal, sink: Sink) -> str | None:
    """Return the element that is the one source which the whole current goes to."""
    if len(sink.nodes) != 1 or sink.nodes[0][1] != 1.0 or sink.name is None:
        return None
    address, _, terminal = sink.name.rpartition(".")
    for element in network.elements:
        if element.address == address and any(
            t == terminal and int(metal.node[i]) == sink.nodes[0][0] for t, i in element.terminals.items()
        ):
            return address
    return None


def _return_point(element: Element) -> int:
    return list(element.terminals.values())[-1]


class _Lost:
    """Tells which loads have a return that is wired but leads to nothing: no sink where it is, only returns like it."""

    def __init__(self, network: Network, metal: Metal, sinks: Sinks) -> None:
        import numpy as np

        self._label: list[int] = metal.label[metal.node].tolist()
        self._count: list[int] = np.bincount(metal.label).tolist()
        self._sinks = sinks
        self._leading = {  # components that some element touches by another terminal than its return
            self._label[index]
            for element in network.elements
            for index in tuple(element.terminals.values())[:-1]
        }

    def holds(self, element: Element) -> bool:
        """Tell whether a load is one of them."""
        label = self._label[_return_point(element)]
        return label not in self._leading and self._count[label] >= 2 and not self._sinks.of(label).nodes
