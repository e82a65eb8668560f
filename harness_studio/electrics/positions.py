"""One harness solved in one position of its switches after the other: what its equations share is worked out once.

The contact of another position, or of a relay in another state, is an edge of 0 S, not an edge less: rows, edges,
chains and the order of elimination are those of the network with every contact closed. The pieces of a state are kept
as long as its elements are the same, and solved states are what the next position starts from. What is sought is the
same from any start, to a microvolt: the way through the states is walked anew each time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from harness_studio.network.network import Element, Network

from .laws import curves
from .laws.pieces import Pieces
from .placed import Every, Placed, placed
from .returns import Metal, metal_of, metal_on
from .system import Common, System, common, elimination

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .passes import Pass

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

MOST_PASSES, MOST_STATES, MOST_ALIVE = 8, 24, 4
"""Passes, states and sets of live rows that are kept; a pass takes some hundred kilobytes."""
ALIKE = 1e-3
"""Relative change of a hot resistance within which a branch is taken to carry what it did in the last position."""

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


@dataclass(slots=True)
class _Warming:
    """What warming made of the resistances of its first round, and by how much it moved the volts of rows."""

    first: Floats
    last: Floats
    moved: Floats | None = None


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
        self._passes: dict[States, Pass] = {}
        self._hot: _Warming | None = None

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

    def warmer(self, network: Network, cold: Pass, first: Floats) -> tuple[Floats, Pass, bool]:
        """Return where the warming of a cold pass is likely to end: resistances and volts; and whether all is known.

        A branch whose resistance in the first round (`first`) is that which it had there in the last position ends
        where it ended then. Volts move by what they moved there.
        """
        import numpy as np

        place, known = self._place(network), self._hot
        if place is None or known is None:
            return first, cold, False
        before, last = known.first[place.number], known.last[place.number]
        with np.errstate(invalid="ignore"):  # of open branches, and those not seen yet
            alike = (np.abs(before - first) <= ALIKE * first) & (first > 0.0)
        ohm = first.copy()
        ohm[alike] *= last[alike] / before[alike]
        settled, start = cold.settled, cold
        if known.moved is not None and len(known.moved) == len(settled.high):
            high = settled.high + settled.low + known.moved
            start = replace(cold, settled=replace(settled, high=high, low=np.zeros(len(high))))
        stays = first == network.branches.resistance_ohm
        return ohm, start, bool((alike | stays).all())

    def warmed(self, network: Network, cold: Pass, first: Floats, done: Pass, last: Floats) -> None:
        """Keep what the warming made of a cold pass and of the resistances of its first round."""
        import numpy as np

        place = self._place(network)
        if place is not None:
            nothing = np.full(len(self._every.ohm), np.nan)
            known = self._hot or _Warming(nothing, nothing.copy())
            known.first[place.number], known.last[place.number] = first, last
            known.moved = None
            if cold.system.reduced.outer is done.system.reduced.outer is place.reduced.outer:
                one, other = cold.settled, done.settled
                known.moved = (other.high + other.low) - (one.high + one.low)
            self._hot = known

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

    def near(self, system: System, states: Mapping[str, str], last: Pass | None) -> Pass | None:
        """Return the solved pass that a system's states are likely to lie nearest to: of `last` and those kept.

        None where a load of constant power would be sought at fewer volts than it works at.
        """
        own = tuple(states.items())
        best, fewest = None, len(own) + 1
        if last is not None and last.system.reduced.outer is system.reduced.outer:
            best = last
            fewest = sum(1 for k, v in last.states.items() if states.get(k) != v)
        for key, kept in list(self._passes.items()):  # another thread may add one
            if len(key) == len(own):
                others = 0 if key == own else sum(1 for a, b in zip(key, own, strict=True) if a != b)
                if others < fewest or (others == fewest == 0):
                    best, fewest = kept, others
        return best if best is not None and _works(system, best) else None

    def keep(self, done: Pass) -> None:
        """Keep a pass for the next position."""
        key = tuple(done.states.items())
        self._passes.pop(key, None)
        self._passes[key] = done
        if len(self._passes) > MOST_PASSES:
            self._passes.pop(next(iter(self._passes)))


def _works(system: System, last: Pass) -> bool:
    """Tell whether all loads of constant power stand above their floors in a pass.

    From below one, or from a row that was dead, the iteration could end where the load draws most amperes.
    """
    import numpy as np

    high = last.settled.high
    for poles, (plus, minus) in zip(system.poles, system.pole_rows, strict=True):
        if poles.curve is curves.constant_power:
            on = system.alive[plus] & system.alive[minus]
            if (on & (np.abs(high[plus] - high[minus]) <= poles.parameters[:, 1])).any():
                return False
    return True
