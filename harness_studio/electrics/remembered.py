"""Laws that remember what they gave for an element in a state, from one network of a harness to the next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from harness_studio.network.network import Element, Network

from .laws import discrete
from .laws.catalogue import pieces_of
from .laws.pieces import Pieces
from .lawset import FULL, LawSet

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


def remembering() -> LawSet:
    """Return the laws of `FULL`; what they give for an element is kept as long as it is the same object.

    An element in a state gives the same whatever the rest of its network is; `Expansion` keeps elements from one
    position to the next.
    """
    memory = Memory()
    return LawSet(memory.pieces, discrete.initial, memory.flips, FULL.choices)


class Memory:
    """What the laws gave for elements in a state: their pieces, and the bounds within which the state holds."""

    def __init__(self) -> None:
        self._pieces: dict[tuple[str, str | None], tuple[Element, Pieces]] = {}
        self._bounds: dict[tuple[str, str], tuple[Element, tuple[discrete.Bounds, ...]]] = {}

    def pieces(self, network: Network, states: Mapping[str, str]) -> Pieces:
        """Return what `pieces_of` does."""
        whole = Pieces()
        for element in network.elements:
            key = (element.address, states.get(element.address))
            kept = self._pieces.get(key)
            if kept is None or kept[0] is not element:
                some = pieces_of(replace(network, elements=(element,)), states)
                kept = self._pieces[key] = (element, some)
            whole.stamps += kept[1].stamps
            whole.poles += kept[1].poles
            whole.notes += kept[1].notes
        return whole

    def flips(
        self, network: Network, states: Mapping[str, str], volts: Floats, memo: dict[str, Any] | None
    ) -> list[discrete.Flip]:
        """Return what `discrete.flips` does."""
        return discrete.flips(network, states, volts, memo, self._bounds_of)

    def _bounds_of(self, element: Element, state: str) -> tuple[discrete.Bounds, ...]:
        kept = self._bounds.get((element.address, state))
        if kept is None or kept[0] is not element:
            kept = self._bounds[element.address, state] = (element, discrete.bounds_of(element, state))
        return kept[1]
