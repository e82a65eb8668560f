"""Discrete states: which an element may be in, where it starts, and when it does not fit the solved volts.

Relays and starters have hysteresis, regulators three regions, electronic loads a cut-out. A flip says how badly a
state is violated, so that the worst is turned first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.network.network import Element, Network

from .loads import power_floor_v
from .pieces import Pieces
from .sources import RUNNING, greatest_a, setting

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

PULL_IN_V, DROP_OUT_V = 7.2, 2.4
"""Of a 12 V relay, where not known: 60 % and 20 % of 12 V (common practice, no source)."""
CUT_OUT_V, CUT_IN_V = 6.0, 6.5
"""Of a 12 V control unit, where not known (ISO 16750-2 code A starts at 6 V; the step back is from memory)."""


@dataclass(frozen=True, slots=True)
class Flip:
    """A state that does not fit: the element, the state it wants, and how far off it is (relative)."""

    element: str
    to: str
    by: float


Across = Callable[[str, str], float]
"""Volts between two terminals of the element, by name."""
Judge = Callable[[Element, str, Across], "Flip | None"]


def _hysteresis(
    element: Element, state: str, across: float, pull_in_v: float, drop_out_v: float
) -> Flip | None:
    size = abs(across)
    if state == "released" and size >= pull_in_v:
        return Flip(element.address, "pulled in", size / pull_in_v - 1.0)
    if state == "pulled in" and size < drop_out_v:
        return Flip(element.address, "released", 1.0 - size / drop_out_v)
    return None


def _relay(element: Element, state: str, across: Across) -> Flip | None:
    ratings = element.ratings
    pull_in, drop_out = thresholds(ratings.pull_in_v, ratings.drop_out_v)
    return _hysteresis(element, state, across("86", "85"), pull_in, drop_out)


def thresholds(pull_in_v: float | None, drop_out_v: float | None) -> tuple[float, float]:
    """Return (pull-in, drop-out) volts of a coil; one that is known sets the other in proportion."""
    pull_in = pull_in_v or (drop_out_v * PULL_IN_V / DROP_OUT_V if drop_out_v else PULL_IN_V)
    return pull_in, drop_out_v or pull_in * DROP_OUT_V / PULL_IN_V


def _starter(element: Element, state: str, across: Across) -> Flip | None:
    control_v = across("50", "31")
    if element.state == "cranking" and abs(control_v) < 1e-6:
        return Flip(element.address, "pulled in", 1.0) if state == "released" else None
    ratings = element.ratings
    return _hysteresis(element, state, control_v, ratings.pull_in_v or 7.5, ratings.drop_out_v or 3.0)


def _alternator(element: Element, state: str, across: Across) -> Flip | None:
    if state == "standing":
        return None
    quiet = Pieces()
    set_v, ohm = setting(element, quiet)
    most = greatest_a(element, quiet)
    sensed = across("S", "B-")
    amperes = (set_v - sensed) / ohm
    if state == "regulating" and amperes > most:
        return Flip(element.address, "limited", amperes / most - 1.0)
    if state == "regulating" and amperes < 0.0:
        return Flip(element.address, "idle", min(-amperes / most, 1.0))
    if state == "limited" and sensed > set_v - ohm * most:
        return Flip(element.address, "regulating", sensed / set_v)
    if state == "idle" and sensed < set_v:
        return Flip(element.address, "regulating", 1.0 - sensed / set_v)
    return None


def _stabiliser(element: Element, state: str, across: Across) -> Flip | None:
    over = across("15", "31") / element.ratings.nominal_v - 1.0
    if state == "regulating" and over < 0.0:
        return Flip(element.address, "passing", -over)
    if state == "passing" and over > 0.0:
        return Flip(element.address, "regulating", over)
    return None


def _converter(element: Element, state: str, across: Across) -> Flip | None:
    first, second = tuple(element.terminals)[:2]
    cut_out = element.ratings.cut_out_v
    cut_in = element.ratings.cut_in_v
    lowest = max(cut_out or 0.0, 1.05 * power_floor_v(element))
    return _supplied(element, state, across(first, second), lowest, max(cut_in or 0.0, lowest * 1.02))


def _unit(element: Element, state: str, across: Across) -> Flip | None:
    declared = element.ratings.terminals
    supply = next((n for n, t in declared.items() if t.does == "supply"), None)
    ground = next((n for n, t in declared.items() if t.does == "ground"), None)
    if supply is None or ground is None:
        return None
    cut_out = element.ratings.cut_out_v if element.ratings.cut_out_v is not None else CUT_OUT_V
    return _supplied(element, state, across(supply, ground), cut_out, cut_out + CUT_IN_V - CUT_OUT_V)


def _supplied(element: Element, state: str, volts: float, cut_out_v: float, cut_in_v: float) -> Flip | None:
    if state == "on" and volts < cut_out_v:
        return Flip(element.address, "cut out", 1.0 - volts / cut_out_v)
    if state == "cut out" and volts >= cut_in_v:
        return Flip(element.address, "on", volts / cut_in_v - 1.0)
    return None


JUDGES: Mapping[str, Judge] = {
    "relay": _relay,
    "starter": _starter,
    "alternator": _alternator,
    "dynamo": _alternator,
    "stabiliser": _stabiliser,
    "converter": _converter,
    "control_unit": _unit,
}
STARTS = {
    "relay": "released",
    "starter": "released",
    "alternator": "regulating",
    "dynamo": "regulating",
    "stabiliser": "regulating",
    "converter": "on",
    "control_unit": "on",
}
CHOICES = {
    "relay": ("released", "pulled in"),
    "starter": ("released", "pulled in"),
    "alternator": ("regulating", "limited", "idle"),
    "dynamo": ("regulating", "limited", "idle"),
    "stabiliser": ("regulating", "passing"),
    "converter": ("on", "cut out"),
    "control_unit": ("on", "cut out"),
}
RESTLESS = {"relay": "chatters", "starter": "chatters", "converter": "hiccups", "control_unit": "hiccups"}
"""What an element without a steady state is said to do."""


def initial(network: Network, before: Mapping[str, str] | None = None) -> dict[str, str]:
    """Return the states of the first pass: those of `before` where given, else released, regulating, on."""
    states: dict[str, str] = {}
    for element in network.elements:
        start = STARTS.get(element.kind)
        if start is None:
            continue
        if element.kind in ("alternator", "dynamo") and element.state not in RUNNING:
            start = "standing"
        was = (before or {}).get(element.address)
        states[element.address] = was if was in CHOICES[element.kind] and start != "standing" else start
    return states


def flips(network: Network, states: Mapping[str, str], volts: Floats) -> list[Flip]:
    """Return every state that does not fit the solved volts, the worst first.

    An element in an island (NaN) is taken to have no volts.
    """
    found = []
    for element in network.elements:
        judge = JUDGES.get(element.kind)
        state = states.get(element.address)
        if judge is None or state is None:
            continue

        def across(first: str, second: str, at: Mapping[str, int] = element.terminals) -> float:
            value = float(volts[at[first]] - volts[at[second]])
            return 0.0 if math.isnan(value) else value

        flip = judge(element, state, across)
        if flip:
            found.append(flip)
    return sorted(found, key=lambda f: -f.by)
