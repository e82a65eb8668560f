"""One network solved again and again in many discrete states: what its equations share is worked out once.

A contact that opens is an edge of 0 S, not an edge less: rows, edges and the order of elimination stay those of the
network with every contact closed. Pieces of an element are kept by its state, whole systems by all states.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Protocol

from harness_studio.base.errors import SolveError
from harness_studio.network.network import Network

from .laws.pieces import Pieces
from .reduced import Reduced, reduce_network
from .remembered import Memory
from .system import System, system_on

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .passes import Pass

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

STAND_IN_OHM = 1e-6
"""Resistance given to joints of zero ohms, so that they are edges that can get worse."""
NEAR_V = 1e-4
"""Accuracy of what is solved again: far below what a meter shows."""
MOST_KEPT = 400
"""Systems kept at a time; each takes some hundred kilobytes."""


class Near(Protocol):
    """Finds solutions near a known one."""

    def solve(self, states: Mapping[str, str], ohm: Floats, start: Floats | None) -> Pass | None:
        """Return the pass in given states at given resistances, started from volts of rows; None if it is not near."""


@dataclass(slots=True)
class Again:
    """What the systems of a network have in common, and those built so far.

    `order` (rows,) is one of elimination; `near` finds what is near a solution that is inverted.
    """

    network: Network
    reduced: Reduced
    order: Ints
    contacts: Ints
    memory: Memory = field(default_factory=Memory)
    systems: dict[tuple[tuple[str, str], ...], tuple[System, Pieces, dict[str, Any]]] = field(
        default_factory=dict
    )
    near: Near | None = None
    at: Floats | None = None
    found: dict[tuple[tuple[str, str], ...], Pass | SolveError] = field(default_factory=dict)

    def system(self, states: Mapping[str, str], ohm: Floats) -> tuple[System, Pieces, dict[str, Any]]:
        """Return the system in given states at given resistances, its pieces, and what judging these states needs."""
        key = tuple(states.items())
        known = self.systems.get(key)
        siemens = self.siemens(ohm)
        if known is not None:
            return replace(known[0], edge_siemens=siemens), known[1], known[2]
        pieces = self.memory.pieces(self.network, states)
        system = system_on(self.network, self.reduced, siemens, pieces, self.order)
        if len(self.systems) >= MOST_KEPT:
            self.systems.pop(next(iter(self.systems)))
        self.systems[key] = (system, pieces, {})
        return self.systems[key]

    def once(self, states: Mapping[str, str], ohm: Floats, solve: Callable[[], Pass]) -> Pass:
        """Return what `solve` finds for states at resistances (the same object as before); each is asked once.

        Raises
        ------
        SolveError
            If `solve` raised it, now or before.
        """
        if self.at is not ohm:
            self.at = ohm
            self.found.clear()
        key = tuple(states.items())
        if key not in self.found:
            last = next(reversed(self.found.values()), None)
            start = last.settled.high if last is not None and not isinstance(last, SolveError) else None
            done = self.near.solve(states, ohm, start) if self.near is not None else None
            try:
                self.found[key] = done or solve()
            except SolveError as error:
                self.found[key] = error
        found = self.found[key]
        if isinstance(found, SolveError):
            raise found
        return found

    def siemens(self, ohm: Floats) -> Floats:
        """Return the conductance of each edge from the resistances of the branches, that of an open one 0."""
        import numpy as np

        at = ohm.copy()
        at[self.contacts] = np.maximum(at[self.contacts], STAND_IN_OHM)
        found: Floats = 1.0 / self.reduced.edge_ohm(at)
        return found


def again(network: Network, system: System, closed_ohm: Floats) -> Again | None:
    """Return what the states of a network share; None where its rows are not the same in all of them.

    Parameters
    ----------
    system
        Its system in one state.
    closed_ohm
        Resistance of each branch with every contact closed.
    """
    import numpy as np

    contacts = np.array([c.branch for c in network.contacts], dtype=np.int64)
    ohm = closed_ohm.copy()
    ohm[contacts] = np.maximum(ohm[contacts], STAND_IN_OHM)
    reduced = reduce_network(network, ohm, network.worked)
    if not np.array_equal(reduced.outer, system.reduced.outer):
        return None
    rest = np.setdiff1d(np.arange(len(reduced.outer)), system.kept)
    return Again(network, reduced, np.concatenate([system.kept, rest]), contacts)
