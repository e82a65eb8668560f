"""SPICE cards of every kind of element: its law written a second time, from the ratings of its part."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from harness_studio.network.network import Element

LEAK_OHM = 1e9
QUIET_A, QUIET_V = 1e-6, 1e-8
"""A resistance with less than so many amperes and volts is drawn together: the simulator loses what hangs on a leak."""


@dataclass(frozen=True, slots=True)
class Junction:
    """What a diode's own node needs: its law's constants, and the node between its resistance and its junction."""

    inner: str
    saturation_a: float
    emission: float
    ohm: float

    def lost_v(self, volts: float) -> float:
        """Return what of the volts across lies over the resistance (bisection)."""
        low, high = 0.0, max(volts, 0.0)
        for _ in range(200):
            middle = 0.5 * (low + high)
            junction = self.emission * 0.025865 * math.log1p(middle / self.ohm / self.saturation_a)
            low, high = (middle, high) if middle + junction < volts else (low, middle)
        return low


@dataclass(frozen=True, slots=True)
class Card:
    """Lines of the netlist with {0}, {1}.. for the nodes of `points`."""

    text: str
    points: tuple[int, ...]
    junction: Junction | None = None

    def lines(self, at: Sequence[str | None], volts: "np.ndarray | None") -> list[str]:
        """Return the lines between nodes; with solved volts, a diode's node gets a first guess.

        A diode that blocks by twenty times its nVt carries its saturation current to nine digits: it is written so.
        """
        lines = self.text.format(*at).splitlines()
        if self.junction is None or volts is None:
            return lines
        inner, first = self.junction.inner, float(volts[self.points[0]])
        over = first - float(volts[self.points[1]])
        if over < -20.0 * self.junction.emission * 0.025865:
            return [f"I{inner} {at[1]} {at[0]} {self.junction.saturation_a!r}"]
        lost_v = self.junction.lost_v(over)
        if lost_v < QUIET_V:  # too little to be worth a node
            return [line.replace(f" {inner} ", f" {at[0]} ") for line in lines]
        return [*lines, f".nodeset v({inner})={first - lost_v!r}"]


def _ohms(name: str, a: int, b: int, ohm: float) -> Card:
    return Card(f"R{name} {{0}} {{1}} {ohm!r}", (a, b))


def _formula(name: str, a: int, b: int, text: str, leak: bool = False) -> Iterator[Card]:
    """Yield a current from a to b as a formula of @, the volts between them."""
    yield Card(f"B{name} {{0}} {{1}} I={text.replace('@', '(v({0})-v({1}))')}", (a, b))
    if leak:
        yield _ohms(f"{name}k", a, b, LEAK_OHM)


def _or(value: float | None, default: float) -> float:
    return default if value is None else float(value)


def _two(element: Element) -> tuple[int, int]:
    a, b = list(element.terminals.values())[:2]
    return a, b


def _battery(name: str, e: Element, state: str) -> Iterator[Card]:
    rest = _or(e.ratings.rest_v, 12.65)
    out = max(_or(e.ratings.internal_mohm, 8.0) / 1000.0, 1e-6)
    if e.ratings.charge_mohm is None:
        accepts = min(0.5, 0.05 * math.exp(max(0.0, 12.65 - rest) / 0.2)) * _or(e.ratings.capacity_ah, 60.0)
        into = max(14.2 - rest, 0.2) / accepts
    else:
        into = e.ratings.charge_mohm / 1000.0
    into = max(into, out)
    text = f"@ > {rest!r} ? (@-{rest!r})/{into!r} : (@-{rest!r})/{out!r}"
    plus, minus = e.terminals["30"], e.terminals["31"]
    if state in ("charging", "discharging"):
        ohm = into if state == "charging" else out
        yield _ohms(name, plus, minus, ohm)
        yield Card(f"I{name} {{1}} {{0}} {rest / ohm!r}", (plus, minus))
    else:
        yield from _formula(name, plus, minus, text)


def _alternator(name: str, e: Element, state: str) -> Iterator[Card]:
    at = e.terminals
    plus, minus, sense = at["B+"], at["B-"], at["S"]
    yield _ohms(f"{name}s", sense, plus, 10_000.0)
    if state in ("standing", "unexcited"):
        yield _ohms(f"{name}d", at["D+"], minus, 6.0)
        return
    yield _ohms(f"{name}d", at["D+"], plus, 0.5)
    most = _or(e.ratings.max_a, 60.0)
    if e.state == "idling":
        most = _or(e.ratings.idle_hot_a, 0.5 * most)
    if state == "limited":
        yield Card(f"I{name} {{0}} {{1}} {most!r}", (minus, plus))
        return
    set_v, droop = _or(e.ratings.set_v, 14.2), _or(e.ratings.droop_mohm, 5.0) / 1000.0
    if state == "held":
        yield Card(f"I{name} {{0}} {{1}} {1.27 * set_v / droop!r}", (minus, plus))
        yield _ohms(f"{name}h", plus, minus, droop)
    elif state == "regulating":
        yield Card(f"I{name} {{0}} {{1}} {set_v / droop!r}", (minus, plus))
        yield Card(f"G{name} {{0}} {{1}} {{2}} {{1}} {1.0 / droop!r}", (plus, minus, sense))


def _starter(name: str, e: Element, state: str) -> Iterator[Card]:
    at, r = e.terminals, e.ratings
    yield _ohms(f"{name}h", at["50"], at["31"], _or(r.hold_in_ohm, 1.2))
    if state != "pulled in":
        yield _ohms(f"{name}p", at["50"], at["31"], _or(r.pull_in_ohm, 0.4))
        return
    crank_a = _or(r.crank_a, 150.0)
    ohm = _or(r.rated_v, 10.0) / _or(r.stall_a, 3.0 * crank_a) + _or(r.contact_mohm, 0.3) / 1000.0
    yield from _constant_torque(name, at["30"], at["31"], ohm, crank_a)


def _constant_torque(name: str, a: int, b: int, ohm: float, amperes: float) -> Iterator[Card]:
    text = f"abs(@) < {ohm * amperes!r} ? @/{ohm!r} : sgn(@)*{amperes!r}"
    yield from _formula(name, a, b, text, leak=True)


def _watts(name: str, e: Element, state: str) -> Iterator[Card]:
    ohm = e.ratings.ohm
    if ohm is None:
        ohm = _or(e.ratings.rated_v, 13.5) ** 2 / _or(e.ratings.rated_w, 20.0)
    yield _ohms(name, *_two(e), ohm)


def _lamp(name: str, e: Element, state: str) -> Iterator[Card]:
    volts, watts = _or(e.ratings.rated_v, 13.5), _or(e.ratings.rated_w, 5.0)
    amperes = watts / volts
    cold = getattr(e.ratings, "hot_to_cold", 10.0) ** (-1.0 / 0.45)
    text = f"{amperes!r}*(@/{volts!r})*exp(-0.225*ln((@/{volts!r})*(@/{volts!r})+{cold * cold!r}))"
    yield from _formula(name, *_two(e), text)


def _motor(name: str, e: Element, state: str) -> Iterator[Card]:
    a, b = _two(e)
    volts, amperes = _or(e.ratings.rated_v, 13.5), _or(e.ratings.rated_a, 5.0)
    ohm = volts / _or(e.ratings.stall_a, 3.0 * amperes)
    if e.state in ("stall", "starting"):
        yield _ohms(name, a, b, ohm)
    elif e.ratings.torque == "constant":
        yield from _constant_torque(name, a, b, ohm, amperes)
    else:  # ohm·I₀·s² + E₀·s = |V|, solved for s the textbook's way
        back = volts - ohm * amperes
        speed = f"(sqrt({back * back!r}+{4.0 * ohm * amperes!r}*abs(@))-{back!r})/{2.0 * ohm * amperes!r}"
        yield from _formula(name, a, b, f"sgn(@)*{amperes!r}*({speed})*({speed})", leak=True)


def _ignition(name: str, e: Element, state: str) -> Iterator[Card]:
    ohm = e.ratings.ohm
    if e.ratings.mean_a:
        ohm = _or(e.ratings.rated_v, 13.5) / e.ratings.mean_a
    yield _ohms(name, *_two(e), _or(ohm, 3.0))


def _converter(name: str, e: Element, state: str) -> Iterator[Card]:
    watts, floor = _or(e.ratings.rated_w, 20.0), 0.1 * _or(e.ratings.rated_v, 13.5)
    yield from _formula(name, *_two(e), f"@ > {floor!r} ? {watts!r}/@ : @*{watts / floor**2!r}")


def _current(name: str, e: Element, state: str) -> Iterator[Card]:
    amperes = _or(e.ratings.rated_a, 0.1)
    yield from _formula(name, *_two(e), f"abs(@) < 1 ? {amperes!r}*@ : sgn(@)*{amperes!r}", leak=True)


def _junction(
    name: str, anode: int, cathode: int, saturation: float, emission: float, ohm: float
) -> Iterator[Card]:
    inner = f"j{name}"
    lines = (
        f"R{name}s {{0}} {inner} {ohm!r}",
        f"D{name} {inner} {{1}} m{name}",
        f".model m{name} D(IS={saturation!r} N={emission!r})",
    )
    yield Card("\n".join(lines), (anode, cathode), Junction(inner, saturation, emission, ohm))
    yield _ohms(f"{name}k", anode, cathode, LEAK_OHM)


def _diode(name: str, e: Element, state: str) -> Iterator[Card]:
    r = e.ratings
    yield from _junction(
        name, *_two(e), _or(r.saturation_a, 1e-9), _or(r.emission, 1.8), _or(r.series_ohm, 0.02)
    )


def _led(name: str, e: Element, state: str) -> Iterator[Card]:
    amperes, forward = _or(e.ratings.rated_a, 0.02), _or(e.ratings.forward_v, 2.0)
    ohm = e.ratings.series_ohm
    if ohm is None:
        ohm = max((_or(e.ratings.rated_v, 13.5) - forward) / amperes, 1.0)
    saturation = amperes / math.expm1(forward / (2.0 * 0.025865))
    yield from _junction(name, *_two(e), saturation, 2.0, max(ohm, 1e-3))


def _relay(name: str, e: Element, state: str) -> Iterator[Card]:
    yield _ohms(name, e.terminals["86"], e.terminals["85"], _or(e.ratings.coil_ohm, 90.0))
    if e.ratings.coil_diode != "none":
        anode, cathode = e.ratings.coil_diode.split(" to ")
        yield from _junction(f"{name}d", e.terminals[anode], e.terminals[cathode], 1e-9, 1.8, 0.02)


def _gauge(name: str, e: Element, state: str) -> Iterator[Card]:
    at, coils = e.terminals, e.ratings.coil_ohm
    if e.ratings.movement == "bimetal":
        yield _ohms(name, at["15"], at["S"], coils[0] if coils else 60.0)
        return
    yield _ohms(f"{name}a", at["15"], at["S"], coils[0] if coils else 90.0)
    yield _ohms(f"{name}b", at["S"], at["31"], coils[-1] if coils else 90.0)


def _held(name: str, feed: int, out: int, ground: int, volts: float, ohm: float) -> Iterator[Card]:
    """Yield an output held at volts above a ground behind ohms, whose current comes from a feed."""
    yield Card(f"I{name} {{0}} {{1}} {volts / ohm!r}", (feed, out))
    yield Card(f"G{name} {{1}} {{0}} {{1}} {{2}} {1.0 / ohm!r}", (feed, out, ground))
    if feed != ground:
        yield _ohms(f"{name}k", feed, ground, LEAK_OHM)


def _stabiliser(name: str, e: Element, state: str) -> Iterator[Card]:
    at = e.terminals
    if state == "passing":
        yield _ohms(name, at["15"], at["out"], 0.1)
    else:
        yield from _held(name, at["15"], at["out"], at["31"], e.ratings.nominal_v, 0.1)


def _voltmeter(name: str, e: Element, state: str) -> Iterator[Card]:
    yield _ohms(name, *_two(e), _or(e.ratings.ohm, 2000.0))


def _sender(name: str, e: Element, state: str) -> Iterator[Card]:
    yield _ohms(name, *_two(e), max(sender_ohm(e), 1e-3))


def sender_ohm(e: Element) -> float:
    """Return a sender's ohms for what the mode says, the first of its states if it says nothing."""
    table, said = dict(e.ratings.ohm), e.state
    r25 = getattr(e.ratings, "r25_ohm", None)
    if said is None:
        said = next(iter(table), "25")
    if said in table:
        return float(table[said])
    celsius = float(said)
    if r25 is not None:
        return float(r25 * math.exp(e.ratings.b_k * (1.0 / (celsius + 273.15) - 1.0 / 298.15)))
    rows = sorted((float(k), v) for k, v in table.items())
    return float(np.interp(celsius, [k for k, _ in rows], [v for _, v in rows]))


def _unit(name: str, e: Element, state: str) -> Iterator[Card]:
    declared = e.ratings.terminals
    own_name = str(e.state)
    what = declared[own_name]
    if not what.on or (what.does != "draw" and state in ("cut out", "hiccups")):
        return
    supply = next(n for n, t in declared.items() if t.does == "supply")
    ground = next(n for n, t in declared.items() if t.does == "ground")
    other = e.terminals[what.to or (supply if what.does in ("high_side", "pwm_high") else ground)]
    own = e.terminals[own_name]
    if what.does in ("sensor_input", "reference"):
        ohm = _or(what.pull_up_ohm, 1000.0 if what.does == "sensor_input" else 1.0)
        yield from _held(name, e.terminals[supply], own, other, _or(what.reference_v, 5.0), ohm)
    elif what.does == "draw" and state in ("cut out", "hiccups"):
        yield _ohms(name, own, other, LEAK_OHM)
    elif what.does == "draw" and not what.ohm:
        amperes = _or(what.amps, 0.5)
        yield from _formula(name, own, other, f"abs(@) < 1 ? {amperes!r}*@ : sgn(@)*{amperes!r}", leak=True)
    elif what.does in ("low_side", "high_side") or _or(what.duty, 1.0) >= 1.0:
        yield _ohms(name, own, other, _or(what.ohm, 0.1))
    else:
        far = e.terminals[ground if what.does == "pwm_high" else supply]
        yield from _pulsed(
            name, (own, other, far), _or(what.ohm, 0.1), max(what.duty, 1e-3), e.inductive, state
        )


def _pulsed(
    name: str, at: tuple[int, int, int], ohm: float, duty: float, inductive: bool, state: str
) -> Iterator[Card]:
    """Yield the averaged switch: to `near` for the duty, at `far` for the rest; all of a resistive load's current near.

    Drawn as the mean of both far ends' volts behind the ohms: each end pulls with its part of the conductance, and what
    a resistive load does not return to `far` is carried to `near`.
    """
    own, near, far = at
    yield _ohms(f"{name}k", own, near, LEAK_OHM)
    if state == "blocked":
        return
    g = 1.0 / (ohm * duty if inductive else ohm)
    if inductive:  # i = g·(own − mean), of which the duty goes near
        yield Card(f"G{name}a {{0}} {{1}} {{0}} {{1}} {g * duty * duty!r}", (own, near, far))
        yield Card(f"G{name}b {{0}} {{1}} {{0}} {{2}} {g * duty * (1.0 - duty)!r}", (own, near, far))
        yield Card(f"G{name}c {{0}} {{2}} {{0}} {{1}} {g * duty * (1.0 - duty)!r}", (own, near, far))
        yield Card(f"G{name}d {{0}} {{2}} {{0}} {{2}} {g * (1.0 - duty) ** 2!r}", (own, near, far))
    else:
        yield Card(f"G{name}a {{0}} {{1}} {{0}} {{1}} {g * duty!r}", (own, near, far))
        yield Card(f"G{name}b {{0}} {{1}} {{0}} {{2}} {g * (1.0 - duty)!r}", (own, near, far))


CARDS = {
    "battery": _battery,
    "alternator": _alternator,
    "dynamo": _alternator,
    "starter": _starter,
    "resistor": _watts,
    "heater": _watts,
    "lamp": _lamp,
    "motor": _motor,
    "coil": _ignition,
    "converter": _converter,
    "current_load": _current,
    "led": _led,
    "diode": _diode,
    "relay": _relay,
    "gauge": _gauge,
    "stabiliser": _stabiliser,
    "voltmeter": _voltmeter,
    "sender": _sender,
    "ntc": _sender,
    "control_unit": _unit,
}
"""(name, element, its discrete state) → cards, by kind."""
