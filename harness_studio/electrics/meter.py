"""What a meter between two points shows, and what a reading of nothing would mean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from harness_studio.network.network import Network
from harness_studio.tracing.graph import point_graph, way

from .solution import Solution

FLOWS_A = 1e-3
"""Current from which a drop means something."""


@dataclass(frozen=True, slots=True)
class MeterReading:
    """Volts from the plus tip to the minus tip, now and in a clean harness.

    `between` says what lies between the tips: 'one point', 'metal' (wires and joints only), or 'a load or a source';
    `amperes` is the greatest current on the metal way between them, None where there is none. A reading of 0 V says
    something only while current flows.
    """

    plus: str
    minus: str
    volts: float | None
    clean_volts: float | None
    between: Literal["one point", "metal", "a load or a source"]
    amperes: float | None

    @property
    def current_flows(self) -> bool:
        """Whether current flows between the tips through metal."""
        return self.amperes is not None and abs(self.amperes) >= FLOWS_A


def volts_between(solution: Solution, plus: str, minus: str) -> float | None:
    """Return volts from plus to minus, None if either tip is in an island.

    Raises
    ------
    AddressError
        If a point is not there.
    """
    first, second = solution.volt(plus), solution.volt(minus)
    return None if first is None or second is None else first - second


def meter(network: Network, now: Solution, clean: Solution, plus: str, minus: str) -> MeterReading:
    """Return what a meter shows between two points, now and in the clean harness.

    Raises
    ------
    AddressError
        If a point is not there; the nearest name is suggested.
    """
    volts, clean_volts = volts_between(now, plus, minus), volts_between(clean, plus, minus)
    start, end = network.index[plus], network.index[minus]
    if start == end:
        return MeterReading(plus, minus, volts, clean_volts, "one point", None)
    route = way(point_graph(network, now.ohm), start, end)
    if route is None:
        return MeterReading(plus, minus, volts, clean_volts, "a load or a source", None)
    amperes = max((abs(float(now.amperes[n])) for n in route), default=0.0)
    return MeterReading(plus, minus, volts, clean_volts, "metal", amperes)
