"""What several loads share: the joints that all of them pass, feed side and return side apart.

For each load one unit of current is put in where it is joined, and taken out at the sink of that side; what flows in a
joint is the load's share there. A joint common to all loads is one that no load passes by.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from harness_studio.base.errors import AddressError, nearest
from harness_studio.network.network import Element, Network

from .returns import Metal, metal_of
from .sinks import sink_of
from .solution import Solution

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEAST = 0.05
"""Share below which a load is said to pass a joint by."""


@dataclass(frozen=True, slots=True)
class CommonJoint:
    """A joint that every chosen load passes with at least `least`, the smallest of their shares."""

    joint: str
    side: Literal["feed", "return"]
    least: float
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Common:
    """Joints common to all chosen loads, and those that only some pass: a fault there is ruled out as the one cause.

    Both are ranked, the joint that the loads pass most wholly first.
    """

    loads: tuple[str, ...]
    joints: tuple[CommonJoint, ...]
    ruled_out: tuple[CommonJoint, ...]

    def side(self, side: Literal["feed", "return"]) -> tuple[CommonJoint, ...]:
        """Return the common joints of one side."""
        return tuple(j for j in self.joints if j.side == side)


def common_joints(
    network: Network, solution: Solution, loads: Sequence[str], metal: Metal | None = None
) -> Common:
    """Return what loads share.

    Parameters
    ----------
    network, solution
        The network and its solution.
    loads
        Addresses of elements, or ids of parts with one element.
    metal
        The metal of the same solution, to use its factors again.

    Raises
    ------
    AddressError
        If an element is not in the network.
    """
    metal = metal or metal_of(network, solution.ohm)
    elements = [_element(network, load) for load in loads]
    joints: list[CommonJoint] = []
    others: list[CommonJoint] = []
    for side in ("feed", "return"):
        for joint in _of_side(network, solution, metal, elements, "feed" if side == "feed" else "return"):
            (joints if joint.least >= LEAST else others).append(joint)
    ranked = sorted(joints, key=lambda j: (-round(j.least, 6), j.joint))
    partly = sorted(others, key=lambda j: (-max(j.shares), j.joint))
    return Common(tuple(loads), tuple(ranked), tuple(partly))


def _element(network: Network, load: str) -> Element:
    for element in network.elements:
        if element.address == load or element.part == load:
            return element
    near = nearest(load, [e.address for e in network.elements])
    raise AddressError(f"'{load}' is no load of this network" + (f"; nearest is '{near}'" if near else ""))


def _of_side(
    network: Network,
    solution: Solution,
    metal: Metal,
    elements: Sequence[Element],
    side: Literal["feed", "return"],
) -> Iterator[CommonJoint]:
    import numpy as np

    flows = [_flows(network, solution, metal, element, side) for element in elements]
    if any(f is None for f in flows):
        return
    shares = np.array([f for f in flows if f is not None])
    branches = network.branches
    for at, number in enumerate(metal.number.tolist()):
        if branches.kind[number] in ("wire", "body"):
            continue
        column = shares[:, at]
        if column.max() >= LEAST:
            yield CommonJoint(branches.address[number], side, float(column.min()), tuple(column.tolist()))


def _flows(
    network: Network, solution: Solution, metal: Metal, element: Element, side: Literal["feed", "return"]
) -> Floats | None:
    """Return the share of a load in every branch of its feed or return; None if that side leads nowhere."""
    import numpy as np

    for index in element.terminals.values():
        node = int(metal.node[index])
        sink = sink_of(network, solution, metal, int(metal.label[node]))
        if sink.side != side or not sink.nodes:
            continue
        injected = np.zeros((metal.count, 1))
        injected[node, 0] = 1.0
        total = np.zeros(len(metal.number))
        for at, weight in sink.nodes:
            total += weight * np.abs(metal.flows(at, injected)[:, 0])
        inside = metal.label[metal.a] == metal.label[node]
        return np.where(inside, total, 0.0)
    return None


def grounds_of(
    network: Network, solution: Solution, load: str, metal: Metal | None = None
) -> dict[str, float]:
    """Return the ground points through which a load returns, with its share, the greatest first.

    Only the joint between stud and body counts; a case bolted to metal counts as its mount.
    """
    metal = metal or metal_of(network, solution.ohm)
    flows = _flows(network, solution, metal, _element(network, load), "return")
    if flows is None:
        return {}
    branches = network.branches
    found = {
        branches.address[number]: float(flows[at])
        for at, number in enumerate(metal.number.tolist())
        if branches.kind[number] in ("stud", "mount") and flows[at] > 1e-6
    }
    return dict(sorted(found.items(), key=lambda item: -item[1]))
