"""Discrete states: which an element may be in, where it starts, and between which volts each of them holds.

A state holds while one difference of two terminals' volts lies within bounds; below or above them another state is
wanted. Relays and starters have hysteresis, regulators three regions, electronic loads a cut-out. One description
serves the solver (one solution) and sweeps (many columns at once).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from harness_studio.network.network import Element, Network

from .loads import power_floor_v
from .pieces import Pieces
from .sources import OVER_PART, RUNNING, greatest_a, setting
from .units import draws_itself, pulsed_between, supply_of, terminal_of

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
EXCITE_V = 0.3
"""Volts at D+ with which an alternator at idle begins to charge: 50 mA of its charge lamp in a field winding of 6 Ω at
rest (from memory; a light-emitting diode in the lamp's place passes less, and excites nothing)."""
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
    With `third`, `part` of the volts from `third` to `second` is taken off v before it is judged.
    """

    first: str
    second: str
    low: float
    high: float
    below: str | None
    above: str | None
    sized: bool = False
    third: str | None = None
    part: float = 0.0


def _coil(state: str, first: str, second: str, pull_in_v: float, drop_out_v: float) -> tuple[Bounds, ...]:
    if state == "released":
        return (Bounds(first, second, 0.0, pull_in_v, None, "pulled in", True),)
    return (Bounds(first, second, drop_out_v, math.inf, "released", None, True),)


def _relay(element: Element, state: str) -> tuple[Bounds, ...]:
    return _coil(state, "86", "85", *thresholds(element.ratings.pull_in_v, element.ratings.drop_out_v))


def thresholds(pull_in_v: float | None, drop_out_v: float | None) -> tuple[float, float]:
    """Return (pull-in, drop-out) volts of a coil; one that is known sets the other in proportion.

    So does the pull-in where the drop-out is not below it: no coil holds on more than it needs to pull in.
    """
    pull_in = pull_in_v or (drop_out_v * PULL_IN_V / DROP_OUT_V if drop_out_v else PULL_IN_V)
    if drop_out_v is None or drop_out_v >= pull_in:
        drop_out_v = pull_in * DROP_OUT_V / PULL_IN_V
    return pull_in, drop_out_v


def pull_in_of(element: Element) -> float:
    """Return the volts at which a relay or a starter's solenoid pulls in."""
    if element.kind == "starter":
        return float(element.ratings.pull_in_v or STARTER_IN_V)
    return thresholds(element.ratings.pull_in_v, element.ratings.drop_out_v)[0]


def _starter(element: Element, state: str) -> tuple[Bounds, ...]:
    ratings = element.ratings
    pull_in, drop_out = ratings.pull_in_v or STARTER_IN_V, ratings.drop_out_v or STARTER_OUT_V
    if drop_out >= pull_in:
        drop_out = thresholds(pull_in, None)[1]
    return _coil(state, "50", "31", pull_in, drop_out)


def _alternator(element: Element, state: str) -> tuple[Bounds, ...]:
    if state == "standing":
        return ()
    if state == "unexcited":
        return (Bounds("D+", "B-", -math.inf, EXCITE_V, None, "regulating"),)
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
    """Return the bounds of one terminal of a control unit.

    All work while the unit has its supply, but for what a terminal draws by itself (a memory): that has its own feed.
    """
    between = supply_of(element)
    if between is None:
        return ()
    supplied = _supplied(state, *between, cut_out_of(element), cut_out_of(element) + CUT_IN_STEP_V)
    pulse = pulsed_between(element)
    if pulse is None or state not in ("on", "blocked"):
        return supplied
    if state == "blocked":
        supplied = _supplied("on", *between, cut_out_of(element), math.inf)
    high = terminal_of(element).does == "pwm_high"  # then the output lies below the mean while current flows
    own, near, far, part = pulse
    return (*supplied, _one_way(state, own, near, far, part, high))


def _one_way(state: str, own: str, near: str, far: str, part: float, high: bool) -> Bounds:
    """Return where a pulsed output's current flows its own way: above the mean for a low side, below it for a high."""
    if high == (state == "on"):
        to = "blocked" if high else "on"
        return Bounds(own, near, -math.inf, EDGE_V, None, to, third=far, part=part)
    to = "on" if high else "blocked"
    return Bounds(own, near, -EDGE_V, math.inf, to, None, third=far, part=part)


def cut_out_of(element: Element) -> float:
    """Return the volts below which a control unit does nothing."""
    cut_out = element.ratings.cut_out_v
    return CUT_OUT_V if cut_out is None else float(cut_out)


def turning_together(network: Network, states: Mapping[str, str], element: str, to: str) -> set[str]:
    """Return the elements that turn with one: a control unit loses and gets its supply with all its terminals.

    A terminal that draws by itself turns alone, and so does a pulsed output that current would flow back through.
    """
    at = next(e for e in network.elements if e.address == element)
    alone = at.kind != "control_unit" or draws_itself(at) or {states.get(element), to} == {"on", "blocked"}
    if alone:
        return {element}
    return {
        e.address
        for e in network.elements
        if e.part == at.part and e.kind == "control_unit" and not draws_itself(e)
    }


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

    A generator whose engine does not run stands, an alternator waits for its charge lamp (see `_machine`); a starter
    with nothing wired to 50 is closed by the mode 'cranking'; a control unit without a declared supply and ground is
    on: nobody can judge its volts.
    """
    states: dict[str, str] = {}
    for element in network.elements:
        choices = CHOICES.get(element.kind)
        if choices is None:
            continue
        was = (before or {}).get(element.address)
        state = was if was in choices else choices[0]
        if element.kind in ("alternator", "dynamo"):
            state = _machine(network, element, was, state)
        if element.kind == "starter" and closed_by_mode(network, element):
            state = "pulled in"
        if element.kind == "control_unit" and not _unit(element, state):
            state = "on"
        states[element.address] = state
    return states


def _machine(network: Network, element: Element, was: str | None, state: str) -> str:
    """Return how a generator starts.

    At idle an alternator has no field of its own before current comes through the charge lamp at D+ (a dynamo keeps
    enough magnetism). Running it excites itself, and what has begun to charge goes on; so does a machine at whose D+
    nothing is wired.
    """
    if element.state not in RUNNING:
        return "standing"
    needs = element.kind == "alternator" and element.state == "idling" and was not in CHOICES["alternator"]
    return "unexcited" if needs and _wired(network, element.terminals["D+"]) else state


def _wired(network: Network, point: int) -> bool:
    return bool(((network.branches.a == point) | (network.branches.b == point)).any())


def closed_by_mode(network: Network, element: Element) -> bool:
    """Tell whether a starter turns because the mode says so: cranking, and nothing is wired to its terminal 50."""
    if element.kind != "starter" or element.state != "cranking":
        return False
    return not _wired(network, element.terminals["50"])


@dataclass(frozen=True, slots=True)
class Judged:
    """The bounds of all states as arrays, a row each: points (E,), bounds (E,), and what is wanted outside."""

    elements: tuple[str, ...]
    first: NDArray[np.int64]
    second: NDArray[np.int64]
    low: Floats
    high: Floats
    sized: Bools
    third: NDArray[np.int64]
    part: Floats
    below: tuple[str | None, ...]
    above: tuple[str | None, ...]

    def over(self, volts: Floats) -> Floats:
        """Return what is judged, from the volts of all points: (points,) or (points, columns); 0 in an island."""
        import numpy as np

        shape = (-1,) + (1,) * (volts.ndim - 1)
        second = volts[self.second]
        part = self.part.reshape(shape)
        off = np.where(part > 0.0, part * (volts[self.third] - second), 0.0)
        over: Floats = np.nan_to_num(volts[self.first] - second - off)
        return np.where(self.sized.reshape(shape), np.abs(over), over)

    def outside(self, volts: Floats) -> tuple[Bools, Bools]:
        """Return which states are left below and above, from the volts of all points: (points,) or (points, columns).

        An element in an island (NaN) is taken to have no volts.
        """
        over = self.over(volts)
        shape = (-1,) + (1,) * (over.ndim - 1)
        can_fall, can_rise = (turns.reshape(shape) for turns in self._turning())
        return (over < self.low.reshape(shape)) & can_fall, (over >= self.high.reshape(shape)) & can_rise

    def room(self, volts: Floats) -> float:
        """Return by how many volts the nearest bound is missed from within, from the volts of all points (points,)."""
        import numpy as np

        over, (can_fall, can_rise) = self.over(volts), self._turning()
        room = np.minimum(
            np.where(can_fall, over - self.low, np.inf), np.where(can_rise, self.high - over, np.inf)
        )
        return float(room.min(initial=np.inf))

    def _turning(self) -> tuple[Bools, Bools]:
        import numpy as np

        return (
            np.array([b is not None for b in self.below], dtype=bool),
            np.array([a is not None for a in self.above], dtype=bool),
        )


def bounds_of(element: Element, state: str) -> tuple[Bounds, ...]:
    """Return the bounds within which an element's state holds; none of one that never turns, or never rests."""
    judge = JUDGES.get(element.kind)
    return () if judge is None or state in RESTLESS.values() else judge(element, state)


BoundsOf = Callable[[Element, str], tuple[Bounds, ...]]


def judged(network: Network, states: Mapping[str, str], bounds: BoundsOf = bounds_of) -> Judged:
    """Return the bounds of every element's present state."""
    import numpy as np

    rows: list[tuple[Element, Bounds]] = []
    for element in network.elements:
        state = states.get(element.address)
        if state is not None and not closed_by_mode(network, element):
            rows.extend((element, one) for one in bounds(element, state))
    return Judged(
        tuple(e.address for e, _ in rows),
        np.array([e.terminals[b.first] for e, b in rows], dtype=np.int64),
        np.array([e.terminals[b.second] for e, b in rows], dtype=np.int64),
        np.array([b.low for _, b in rows], dtype=np.float64),
        np.array([b.high for _, b in rows], dtype=np.float64),
        np.array([b.sized for _, b in rows], dtype=bool),
        np.array([e.terminals[b.third or b.second] for e, b in rows], dtype=np.int64),
        np.array([b.part for _, b in rows], dtype=np.float64),
        tuple(b.below for _, b in rows),
        tuple(b.above for _, b in rows),
    )


def flips(
    network: Network,
    states: Mapping[str, str],
    volts: Floats,
    memo: dict[str, Any] | None = None,
    bounds: BoundsOf = bounds_of,
) -> list[Flip]:
    """Return every state that does not fit the solved volts (points,), the worst first; an element once.

    `memo` keeps the bounds of these states for the next time; `bounds` gives those of one element.
    """
    import numpy as np

    at = None if memo is None else memo.get("judged")
    if at is None:
        at = judged(network, states, bounds)
        if memo is not None:
            memo["judged"] = at
    under, over = at.outside(volts)
    values = at.over(volts)
    found = []
    for row in np.flatnonzero(under | over).tolist():
        value = float(values[row])
        bound = float(at.low[row] if under[row] else at.high[row])
        to = at.below[row] if under[row] else at.above[row]
        found.append(Flip(at.elements[row], str(to), abs(value - bound) / max(abs(bound), 1e-9)))
    worst: dict[str, Flip] = {}
    for flip in sorted(found, key=lambda f: -f.by):
        worst.setdefault(flip.element, flip)
    return list(worst.values())
