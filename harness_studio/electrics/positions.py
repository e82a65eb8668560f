"""One harness solved in one position of its switches after the other: what its equations share is worked out once.

The contact of another position, or of a relay in another state, is an edge of 0 S, not an edge less: rows, edges,
chains and the order of elimination are those of the network with every contact closed. The pieces of a state are kept
as long as its elements are the same. Volts are not taken over, and the way through the states is walked anew each time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from harness_studio.network.network import Element, Network

from .laws.pieces import Pieces
from .placed import Every, Placed, placed
from .returns import Metal, metal_of, metal_on
from .system import Common, System, common, elimination

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

MOST_STATES, MOST_ALIVE = 24, 4
"""States and sets of live rows of each that are kept; one takes some hundred kilobytes."""
States = tuple[tuple[str, str], ...]
PiecesOf = Callable[[Network, Mapping[str, str]], Pieces]


@dataclass(slots=True)
class _Kept:
    """The equations of one set of states, whatever contacts of switches are closed."""

    elements: tuple[Element, ...]
    pieces: Pieces
    common: Common
    memo: dict[str, Any] = field(default_factory=dict)
    systems: dict[bytes, System] = field(default_factory=dict)


class Positions:
    """What the positions of one harness share.

    Parameters
    ----------
    every
        Its network with the contacts of all positions closed.
    """

    def __init__(self, every: Network) -> None:
        self._every = Every(every)
        self._order: Ints | None = None
        self._placed: tuple[tuple[str, ...], Placed | None] | None = None
        self._states: dict[tuple[States, tuple[int, ...]], _Kept] = {}

    def system(
        self, network: Network, states: Mapping[str, str], ohm: Floats, pieces: PiecesOf
    ) -> tuple[System, Pieces, dict[str, Any]] | None:
        """Return the system of a position in given states, its pieces, and what judging these states needs.

        None for a network that has other branches open or of zero ohms than its contacts: its rows are others.
        """
        place = self._place(network)
        if place is None or network.grounded is None or not place.fits(ohm):
            return None
        kept = self._kept(network, place, states, pieces)
        siemens = 1.0 / place.reduced.edge_ohm(ohm)
        alive = kept.common.alive(siemens)
        key = alive.tobytes()
        system = kept.systems.get(key)
        if system is None:
            if len(kept.systems) >= MOST_ALIVE:
                kept.systems.pop(next(iter(kept.systems)))
            system = kept.systems[key] = kept.common.system(siemens, alive)
        return replace(system, reduced=place.reduced, edge_siemens=siemens), kept.pieces, kept.memo

    def metal(self, network: Network, ohm: Floats) -> Metal:
        """Return the metal of a position at given resistances, on its chains taken together where it shares them."""
        import numpy as np

        place = self._place(network)
        if place is None or self._order is None or not place.fits(ohm):
            return metal_of(network, ohm)
        rest = np.setdiff1d(np.arange(len(place.reduced.outer)), self._order)
        return metal_on(place.reduced, ohm, np.concatenate((self._order, rest)))

    def _place(self, network: Network) -> Placed | None:
        addresses, found = network.branches.address, self._placed
        if found is None or found[0] is not addresses:
            found = self._placed = (addresses, placed(network, self._every))
        return found[1]

    def _kept(self, network: Network, place: Placed, states: Mapping[str, str], pieces: PiecesOf) -> _Kept:
        key = (tuple(states.items()), tuple(map(id, network.elements)))
        kept = self._states.get(key)
        if kept is None:
            some = pieces(network, states)
            shared = common(network, place.reduced, some)
            if self._order is None:
                self._order = elimination(shared)
            shared.put_in_order(self._order)
            shared.switch(self._every.contact_edges)
            if len(self._states) >= MOST_STATES:
                self._states.pop(next(iter(self._states)))
            kept = self._states[key] = _Kept(network.elements, some, shared)
        return kept
