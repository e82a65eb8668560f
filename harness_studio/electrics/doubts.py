"""What cannot be as a file says: ratings that no part has, and returns that lead nowhere. The rest is solved."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from harness_studio.network.network import Assumption, Element, Network

from .laws.discrete import pull_in_of, thresholds
from .laws.sources import REST_V, SET_V
from .solution import Unsolved

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

TWO_ENDED = frozenset(
    {"lamp", "motor", "resistor", "heater", "coil", "converter", "current_load", "led", "relay", "voltmeter", "starter"}
)  # fmt: skip
"""Kinds through which current passes from a feed to a return, which stands last among their terminals."""


def doubtful_ratings(network: Network) -> Iterator[Assumption]:
    """Yield the ratings that contradict one another, with what is taken in their place or what follows."""
    most_v = _most_volts(network)
    for element in network.elements:
        ratings = element.ratings
        if element.kind in ("relay", "starter"):
            pull_in, drop_out = ratings.pull_in_v, ratings.drop_out_v
            if pull_in and drop_out and drop_out >= pull_in:
                taken = thresholds(pull_in, drop_out)[1]
                what = f"drops out at {drop_out:g} V, not below its pull-in at {pull_in:g} V: {taken:.3g} V taken"
                yield Assumption(element.address, what)
            needed_v = pull_in_of(element)
            if needed_v > most_v > 0.0:
                what = f"pulls in at {needed_v:g} V, more than all sources give ({most_v:g} V): it never does"
                yield Assumption(element.address, what)
        if element.kind == "battery" and ratings.internal_mohm is not None and ratings.internal_mohm < 1e-3:
            yield Assumption(
                element.address, "without internal resistance a loop of sources has no limit: 0.001 mΩ taken"
            )


def _most_volts(network: Network) -> float:
    """Return the most volts that the sources can give: all batteries in series, or a machine."""
    batteries = sum(e.ratings.rest_v or REST_V for e in network.elements if e.kind == "battery")
    machines = [e.ratings.set_v or SET_V for e in network.elements if e.kind in ("alternator", "dynamo")]
    return max([batteries, *machines])


def unconnected(network: Network) -> Iterator[Unsolved]:
    """Yield the loads with a feed whose return leads nowhere: nothing is joined to that terminal."""
    import numpy as np

    joined = np.zeros(network.size, dtype=bool)
    joined[network.branches.a] = True
    joined[network.branches.b] = True
    for element in network.elements:
        if element.kind in TWO_ENDED and element.state != "off":
            yield from _without_return(network, element, joined)


def _without_return(network: Network, element: Element, joined: NDArray[np.bool_]) -> Iterator[Unsolved]:
    *feeds, back = element.terminals.values()
    if not joined[back] and any(joined[p] for p in feeds):
        name = network.points[back]
        yield Unsolved(f"{name} is not connected: nothing returns from {element.address}", (name,))
