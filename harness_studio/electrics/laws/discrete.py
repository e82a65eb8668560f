"""Discrete states: which an element may be in, where it starts, and between which volts each of them holds.

A state holds while one difference of two terminals' volts lies within bounds; below or above them another state is
wanted. Relays and starters have hysteresis, regulators three regions, electronic loads a cut-out. One description
serves the solver (one solution) and sweeps (many columns at once).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.network.network import Element, Network

from .loads import power_floor_v
from .pieces import Pieces
from .sources import OVER_PART, RUNNING, greatest_a, setting

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]

PULL_IN_V, DROP_OUT_V = 7.2, 2.4
"""Of a 12 V relay, where not known: 60 % and 20 % of 12 V (common practice, no source)."""
STARTER_IN_V, STARTER_OUT_V = 7.5, 3.0
"""Of a 12 V starter's solenoid, where not known (from memory)."""
CUT_OUT_V, CUT_IN_STEP_V = 6.0, 0.5
"""Of a 12 V control unit, where not known (ISO 16750-2 code A starts at 6 V; the step back is from memory)."""
EDGE_V = 1e-6
"""How far past its edges a regulating machine is let be: one without load stands at the edge to idle, to rounding."""


@dataclass(frozen=True, slots=True)
class Flip:
    """A state that does not fit: the element, the state it wants, and how far off it is (relative)."""

    element: str
    to: str
    by: float


@dataclass(frozen=True, slots=True)
class Bounds:
    """A state holds while low ≤ v < high, v being the volts from `first` to `second` (their size if `sized`).

    `first` and `second` are terminal names; `below` and `above` the states wanted outside, None where there is none.
    """

    first: str
    second: str
    low: float
    high: float
    below: str | None
    above: str | None
    sized: bool = False


def _coil(state: str, first: str, second: str, pull_in_v: float, drop_out_v: float) -> tuple[Bounds, ...]:
    if state == "released":
        return (Bounds(first, second, 0.0, pull_in_v, None, "pulled in", True),)
    return (Bounds(first, second, drop_out_v, math.inf, "released", None, True),)


def _relay(element: Element, state: str) -> tuple[Bounds, ...]:
    return _coil(state, "86", "85", *thresholds(element.ratings.pull_in_v, element.ratings.drop_out_v))


def thresholds(pull_in_v: float | None, drop_out_v: float | None) -> tuple[float, float]:
    """Return (pull-in, drop-out) volts of a coil; one that is known sets the other in proportion."""
    pull_in = pull_in_v or (drop_out_v * PULL_IN_V / DROP_OUT_V if drop_out_v else PULL_IN_V)
    return pull_in, drop_out_v or pull_in * DROP_OUT_V / PULL_IN_V


def _starter(element: Element, state: str) -> tuple[Bounds, ...]:
    ratings = element.ratings
    pull_in, drop_out = ratings.pull_in_v or STARTER_IN_V, ratings.drop_out_v or STARTER_OUT_V
    return _coil(state, "50", "31", pull_in, drop_out)


def _alternator(element: Element, state: str) -> tuple[Bounds, ...]:
    if state == "standing":
        return ()
    quiet = Pieces()
    set_v, ohm = setting(element, quiet)
    lost_v = ohm * greatest_a(element, quiet)
    held_v = OVER_PART * set_v
    not_over = Bounds("B+", "B-", -math.inf, held_v, None, "held")
    if state == "regulating":
        return (Bounds("S", "B-", set_v - lost_v - EDGE_V, set_v + EDGE_V, "limited", "idle"), not_over)
    if state == "limited":
        return (Bounds("S", "B-", -math.inf, set_v - lost_v, None, "regulating"), not_over)
    if state == "held":
        return (
            Bounds("S", "B-", -math.inf, set_v, None, "regulating"),
            Bounds("B+", "B-", held_v - lost_v - EDGE_V, math.inf, "limited", None),
        )
    return (Bounds("S", "B-", set_v, math.inf, "regulating", None),)


def _stabiliser(element: Element, state: str) -> tuple[Bounds, ...]:
    nominal_v = element.ratings.nominal_v
    if state == "regulating":
        return (Bounds("15", "31", nominal_v, math.inf, "passing", None),)
    return (Bounds("15", "31", -math.inf, nominal_v, None, "regulating"),)


def _converter(element: Element, state: str) -> tuple[Bounds, ...]:
    first, second = tuple(element.terminals)[:2]
    lowest = max(element.ratings.cut_out_v or 0.0, 1.05 * power_floor_v(element))
    return _supplied(state, first, second, lowest, max(element.ratings.cut_in_v or 0.0, lowest * 1.02))


def _unit(element: Element, state: str) -> tuple[Bounds, ...]:
    declared = element.ratings.terminals
    supply = next((n for n, t in declared.items() if t.does == "supply"), None)
    ground = next((n for n, t in declared.items() if t.does == "ground"), None)
    if supply is None or ground is None or not {supply, ground} <= element.terminals.keys():
        return ()
    cut_out = element.ratings.cut_out_v if element.ratings.cut_out_v is not None else CUT_OUT_V
    return _supplied(state, supply, ground, cut_out, cut_out + CUT_IN_STEP_V)


def _supplied(state: str, first: str, second: str, cut_out_v: float, cut_in_v: float) -> tuple[Bounds, ...]:
    if state == "on":
        return (Bounds(first, second, cut_out_v, math.inf, "cut out", None),)
    return (Bounds(first, second, -math.inf, cut_in_v, None, "on"),)


JUDGES: Mapping[str, Callable[[Element, str], tuple[Bounds, ...]]] = {
    "relay": _relay,
    "starter": _starter,
    "alternator": _alternator,
    "dynamo": _alternator,
    "stabiliser": _stabiliser,
    "converter": _converter,
    "control_unit": _unit,
}
CHOICES = {
    "relay": ("released", "pulled in"),
    "starter": ("released", "pulled in"),
    "alternator": ("regulating", "limited", "idle", "held"),
    "dynamo": ("regulating", "limited", "idle", "held"),
    "stabiliser": ("passing", "regulating"),
    "converter": ("cut out", "on"),
    "control_unit": ("cut out", "on"),
}
"""States by kind; the first is where it starts."""
RELIEF = {
    "converter": {"on": "cut out"},
    "control_unit": {"on": "cut out"},
    "stabiliser": {"regulating": "passing"},
    "alternator": {"regulating": "held", "limited": "held"},
    "dynamo": {"regulating": "held", "limited": "held"},
}
"""By kind, the state that asks less of a network which has no solution: loads that take what they need whatever their
feed gives, and machines that drive their amperes through whatever lies between them and where they sense."""
RESTLESS = {"relay": "chatters", "starter": "chatters", "converter": "hiccups", "control_unit": "hiccups"}
"""What an element without a steady state is said to do."""


def initial(network: Network, before: Mapping[str, str] | None = None) -> dict[str, str]:
    """Return the states of the first pass: those of `before` where given, else released, regulating, on.

    A generator whose engine does not run stands; a starter with nothing wired to 50 is closed by the mode 'cranking'; a
    control unit without a declared supply and ground, whose volts nobody can judge, is on.
    """
    states: dict[str, str] = {}
    for element in network.elements:
        choices = CHOICES.get(element.kind)
        if choices is None:
            continue
        was = (before or {}).get(element.address)
        state = was if was in choices else choices[0]
        if element.kind in ("alternator", "dynamo") and element.state not in RUNNING:
            state = "standing"
        if element.kind == "starter" and closed_by_mode(network, element):
            state = "pulled in"
        if element.kind == "control_unit" and not _unit(element, state):
            state = "on"
        states[element.address] = state
    return states


def closed_by_mode(network: Network, element: Element) -> bool:
    """Tell whether a starter turns because the mode says so: cranking, and nothing is wired to its terminal 50."""
    if element.kind != "starter" or element.state != "cranking":
        return False
    control = element.terminals["50"]
    return not ((network.branches.a == control) | (network.branches.b == control)).any()


@dataclass(frozen=True, slots=True)
class Judged:
    """The bounds of all states as arrays, a row each: points (E,), bounds (E,), and what is wanted outside."""

    elements: tuple[str, ...]
    first: NDArray[np.int64]
    second: NDArray[np.int64]
    low: Floats
    high: Floats
    sized: Bools
    below: tuple[str | None, ...]
    above: tuple[str | None, ...]

    def outside(self, volts: Floats) -> tuple[Bools, Bools]:
        """Return which states are left below and above, from the volts of all points: (points,) or (points, columns).

        An element in an island (NaN) is taken to have no volts.
        """
        import numpy as np

        over = np.nan_to_num(volts[self.first] - volts[self.second])
        shape = (-1,) + (1,) * (over.ndim - 1)
        over = np.where(self.sized.reshape(shape), np.abs(over), over)
        can_fall = np.array([b is not None for b in self.below], dtype=bool).reshape(shape)
        can_rise = np.array([a is not None for a in self.above], dtype=bool).reshape(shape)
        return (over < self.low.reshape(shape)) & can_fall, (over >= self.high.reshape(shape)) & can_rise


def judged(network: Network, states: Mapping[str, str]) -> Judged:
    """Return the bounds of every element's present state."""
    import numpy as np

    rows: list[tuple[Element, Bounds]] = []
    for element in network.elements:
        judge, state = JUDGES.get(element.kind), states.get(element.address)
        if judge is None or state is None or state in RESTLESS.values() or closed_by_mode(network, element):
            continue
        rows.extend((element, bounds) for bounds in judge(element, state))
    return Judged(
        tuple(e.address for e, _ in rows),
        np.array([e.terminals[b.first] for e, b in rows], dtype=np.int64),
        np.array([e.terminals[b.second] for e, b in rows], dtype=np.int64),
        np.array([b.low for _, b in rows], dtype=np.float64),
        np.array([b.high for _, b in rows], dtype=np.float64),
        np.array([b.sized for _, b in rows], dtype=bool),
        tuple(b.below for _, b in rows),
        tuple(b.above for _, b in rows),
    )


def flips(network: Network, states: Mapping[str, str], volts: Floats) -> list[Flip]:
    """Return every state that does not fit the solved volts (points,), the worst first; an element once."""
    import numpy as np

    at = judged(network, states)
    under, over = at.outside(volts)
    found = []
    for row in np.flatnonzero(under | over).tolist():
        value = float(np.nan_to_num(volts[at.first[row]] - volts[at.second[row]]))
        value = abs(value) if at.sized[row] else value
        bound = float(at.low[row] if under[row] else at.high[row])
        to = at.below[row] if under[row] else at.above[row]
        found.append(Flip(at.elements[row], str(to), abs(value - bound) / max(abs(bound), 1e-9)))
    worst: dict[str, Flip] = {}
    for flip in sorted(found, key=lambda f: -f.by):
        worst.setdefault(flip.element, flip)
    return list(worst.values())
