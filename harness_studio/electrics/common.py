"""What several loads share: the joints that all of them pass, feed side and return side apart.

For each load one unit of current is put in where it is joined, and taken out at the sink of that side; what flows in a
joint is the load's share there. A joint common to all loads is one that no load passes by.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import AddressError, nearest
from harness_studio.network.network import Element, Network

from .rated import SOURCE_KINDS
from .returns import Metal, metal_of
from .sinks import POSTS, Side, sink_of
from .solution import Solution

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEAST = 0.05
"""Share below which a load is said to pass a joint by."""
SENSES = frozenset({"gauge", "control_unit"})
SENDERS = frozenset({"sender", "ntc"})
LIKELY = (
    "stud",
    "splice_leg",
    "mated",
    "ring",
    "mount",
    "terminal",
    "clip",
    "switch",
    "relay",
    "crimp",
    "bus",
    "fuse",
)
"""Kinds of joint, what goes bad more often first, for joints that are passed alike (common practice, no source)."""
FLOWS_A = 1e-6


@dataclass(frozen=True, slots=True)
class CommonJoint:
    """A joint that every chosen load passes with at least `least`, the smallest of their shares."""

    joint: str
    side: Side
    least: float
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Common:
    """Joints common to all chosen loads, and those that only some pass: a fault there is ruled out as the one cause.

    Both are ranked, the joint that the loads pass most wholly first; of those that are passed alike the kind that goes
    bad more often. `followed` has for each load the elements whose currents were followed: those of the part that are
    on, and the senders it reads. `missing` names by side the loads that have no metal way on it in this mode; nothing
    is common then.
    """

    loads: tuple[str, ...]
    followed: tuple[tuple[str, ...], ...]
    joints: tuple[CommonJoint, ...]
    ruled_out: tuple[CommonJoint, ...]
    missing: Mapping[str, tuple[str, ...]]

    def nothing(self, side: str) -> str:
        """Return in words why a side has no common joint."""
        missing = self.missing[side]
        if missing:
            return f"{', '.join(missing)} {'is' if len(missing) == 1 else 'are'} not connected there in this mode"
        return "nothing that all of them pass"

    def side(self, side: Side) -> tuple[CommonJoint, ...]:
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
        Addresses of elements, or ids of parts: then of all its elements that are on (all of them where none is), a
        joint counts with the greatest of their shares. A gauge passes what its sender passes, too.
    metal
        The metal of the same solution, to use its factors again.

    Raises
    ------
    AddressError
        If an element is not in the network.
    """
    metal = metal or metal_of(network, solution.ohm)
    groups = [followed(network, solution, load, metal) for load in loads]
    joints: list[CommonJoint] = []
    others: list[CommonJoint] = []
    missing: dict[str, tuple[str, ...]] = {}
    sides: tuple[Side, Side] = ("return", "feed")
    for side in sides:
        flows = [_greatest(network, solution, metal, group, side) for group in groups]
        missing[side] = tuple(load for load, flow in zip(loads, flows, strict=True) if flow is None)
        for joint in _of_side(network, metal, flows, side):
            (joints if joint.least >= LEAST else others).append(joint)
    ranked = sorted(joints, key=lambda j: (-round(j.least, 6), _likely(network, j.joint), j.joint))
    partly = sorted(others, key=lambda j: (-round(max(j.shares), 6), _likely(network, j.joint), j.joint))
    names = tuple(tuple(e.address for e in group) for group in groups)
    return Common(tuple(loads), names, tuple(ranked), tuple(partly), missing)


def _likely(network: Network, joint: str) -> int:
    kind = network.branches.kind[network.joints[joint]] if joint in network.joints else ""
    return LIKELY.index(kind) if kind in LIKELY else len(LIKELY)


def followed(network: Network, solution: Solution, load: str, metal: Metal) -> list[Element]:
    """Return the elements whose currents stand for a load, see `common_joints`; AddressError if there is none."""
    first = _element(network, load)
    found = [first]
    if first.address != load:
        own = [e for e in network.elements if e.part == load]
        on = {
            e.address
            for e in solution.elements
            if e.part == load and max((abs(a) for a in e.amperes), default=0.0) >= FLOWS_A
        }
        found = [e for e in own if e.address in on] or own
    return found + [
        s for e in found if e.kind in SENSES for s in _senders(network, metal, e) if s not in found
    ]


def _senders(network: Network, metal: Metal, element: Element) -> list[Element]:
    """Return the senders on a metal of their own with one of the element's terminals: a gauge's S, a sensor input."""
    label = metal.label[metal.node]
    mine = {int(label[i]) for i in element.terminals.values()} - _held(network, metal)
    return [
        e
        for e in network.elements
        if e.kind in SENDERS and any(int(label[i]) in mine for i in e.terminals.values())
    ]


def _element(network: Network, load: str) -> Element:
    for element in network.elements:
        if element.address == load or element.part == load:
            return element
    near = nearest(load, [e.address for e in network.elements])
    raise AddressError(f"'{load}' is no load of this network" + (f"; nearest is '{near}'" if near else ""))


def _held(network: Network, metal: Metal) -> set[int]:
    """Return the components that hold a post of a source, or a body."""
    label = metal.label[metal.node]
    posts = [e.terminals[t] for e in network.elements for t in POSTS.get(e.kind, ())]
    return {int(label[i]) for i in (*posts, *network.body_centres.values())}


def _of_side(
    network: Network, metal: Metal, flows: Sequence[Floats | None], side: Side
) -> Iterator[CommonJoint]:
    import numpy as np

    known = [f for f in flows if f is not None]
    if len(known) < len(flows):
        return
    shares = np.array(known)
    branches = network.branches
    for at, number in enumerate(metal.number.tolist()):
        if branches.kind[number] in ("wire", "body"):
            continue
        column = shares[:, at]
        if column.max() >= LEAST:
            yield CommonJoint(branches.address[number], side, float(column.min()), tuple(column.tolist()))


def _greatest(
    network: Network, solution: Solution, metal: Metal, group: Sequence[Element], side: Side
) -> Floats | None:
    """Return for every branch the greatest share of a load's elements; None if none has a way on that side."""
    import numpy as np

    ways = [_flows(network, solution, metal, element, side) for element in group]
    known = [w for w in ways if w is not None]
    return np.max(np.array(known), axis=0) if known else None


def _flows(network: Network, solution: Solution, metal: Metal, element: Element, side: Side) -> Floats | None:
    """Return the share of a load in every branch of its feed or return; None if that side leads nowhere."""
    import numpy as np

    # A gauge's sender terminal ends in the sender, which is no ground: the true side goes first.
    held = _held(network, metal)
    points = sorted(element.terminals.values(), key=lambda i: int(metal.label[metal.node[i]]) not in held)
    for index in points:
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


def passed_alike(joints: Sequence[CommonJoint]) -> list[tuple[CommonJoint, ...]]:
    """Return joints in groups that all loads pass alike: one metal way, of which any joint would do the same."""
    groups: dict[tuple[str, tuple[float, ...]], list[CommonJoint]] = {}
    for joint in joints:
        groups.setdefault((joint.side, tuple(round(s, 6) for s in joint.shares)), []).append(joint)
    return [tuple(group) for group in groups.values()]


def load_parts(network: Network, ids: Collection[str]) -> tuple[str, ...]:
    """Return the parts among ids that take current, in the network's order: what can be asked for common joints."""
    found = (e.part for e in network.elements if e.part in ids and e.kind not in SOURCE_KINDS)
    return tuple(dict.fromkeys(found))
