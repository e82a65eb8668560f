"""Which wires carry the circuits that share a joint, and how many of their amperes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from harness_studio.network.network import Network

from .returns import Metal
from .sinks import Sink, Sinks
from .solution import Solution

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_ON_THE_WAY = 1e-6
"""Share of a unit current above which a wire counts as on the way; far above rounding, far below any real path."""


class Row(Protocol):
    """What is needed of a share."""

    @property
    def point(self) -> str:
        """Where the load is joined to the metal."""
        ...

    @property
    def element(self) -> str | None:
        """The element's address."""
        ...

    @property
    def way(self) -> str:
        """Class of the share."""
        ...


def carriers_of(
    network: Network,
    solution: Solution,
    metal: Metal,
    rows: Sequence[Row],
    label: int,
    sink: Sink,
    sinks: Sinks,
) -> tuple[dict[str, float], frozenset[str]]:
    """Return (amperes of the sharing circuits by wire, wires on a way of a sharing circuit).

    In each component that a sharing circuit touches, its currents are put in together and taken out at the
    component's sink: one solve for all with two columns, units (is the wire on the way?) and amperes (how much?).
    """
    import numpy as np

    sharing = {r.element for r in rows if r.way not in ("minor", "none") and r.element}
    ends: dict[int, list[tuple[int, float]]] = {}
    solved = {
        e.address: dict(zip(e.points, e.amperes, strict=True))
        for e in solution.elements
        if e.address in sharing
    }
    node_of, label_of = metal.node.tolist(), metal.label.tolist()
    for element in network.elements:
        if element.address in sharing:
            amperes = solved.get(element.address, {})
            for index in element.terminals.values():
                node = node_of[index]
                ends.setdefault(label_of[node], []).append((node, -amperes.get(index, 0.0)))
    for row in rows:
        if row.element is None and row.way not in ("minor", "none"):
            node = int(metal.node[network.index[row.point]])
            ends.setdefault(label, []).append((node, 0.0))
    injected = np.zeros((metal.count, 2))
    counted: set[int] = set()
    all_on_way = set() if sink.nodes else {label}
    for here, entries in ends.items():
        own = sink if here == label else sinks.of(here)
        if not own.nodes:
            all_on_way.add(here)
            continue
        counted.add(here)
        at, given = [node for node, _ in entries], np.array([(1.0, amperes) for _, amperes in entries])
        np.add.at(injected, at, given)
        for node, weight in own.nodes:
            injected[node] -= weight * given.sum(axis=0)
    label_at = metal.label[metal.a]
    flows = np.where(np.isin(label_at, list(counted))[:, None], metal.balanced_flows(injected), 0.0)
    on_way = (np.abs(flows[:, 0]) > _ON_THE_WAY) | np.isin(label_at, list(all_on_way))
    amount = np.abs(flows[:, 1])
    return _by_wire(network, metal, amount, on_way)


def _by_wire(
    network: Network, metal: Metal, amount: Floats, on_way: NDArray[np.bool_]
) -> tuple[dict[str, float], frozenset[str]]:
    import numpy as np

    amperes: dict[str, float] = {}
    kind, address = network.branches.kind, network.branches.address
    at = np.flatnonzero(on_way)
    for number, most in zip(metal.number[at].tolist(), amount[at].tolist(), strict=True):
        if kind[number] == "wire":
            amperes[address[number]] = most
    return amperes, frozenset(amperes)
