"""Every kind of element at its rated point: loads as resistances, sources as an EMF behind a resistance.

One map kind → law. What the file does not say is assumed, and noted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

from harness_studio.network.network import Assumption, Element

from .stamps import Stamp, emf, resistor, series_regulator

Law = Callable[[Element, list[Assumption]], Iterator[Stamp]]
RATED_V = 13.5
"""Volts at which a 12 V load is rated where its part does not say (from memory)."""
REST_V, INTERNAL_MOHM = 12.65, 8.0
"""A full 12 V lead-acid battery: rest volts (reference tables, seen once) and internal resistance (from memory)."""
SET_V, DROOP_MOHM = 14.2, 10.0
"""A 12 V alternator: set volts, and the droop of its regulator and cable end (from memory)."""
RUNNING = ("idling", "running")


def _given(element: Element, name: str, default: float, unit: str, notes: list[Assumption]) -> float:
    value = getattr(element.ratings, name, None)
    if value is None:
        notes.append(Assumption(element.address, f"{name} not known, {default:g} {unit} assumed"))
        return default
    return float(value)


def _pair(element: Element) -> tuple[int, int]:
    first, second = tuple(element.terminals.values())[:2]
    return first, second


def _note_resistance(element: Element, ohm: float, notes: list[Assumption]) -> None:
    notes.append(Assumption(element.address, f"taken as {ohm:.4g} Ω, its resistance at the rated point"))


def _watts(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    ohm = getattr(element.ratings, "ohm", None)
    if ohm is None:
        rated_v = _given(element, "rated_v", RATED_V, "V", notes)
        ohm = rated_v**2 / _given(element, "rated_w", 5.0, "W", notes)
        _note_resistance(element, ohm, notes)
    yield resistor(element.address, *_pair(element), max(ohm, 1e-6))


def _motor(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    rated_v = _given(element, "rated_v", RATED_V, "V", notes)
    if element.state in ("stall", "starting"):
        ohm = rated_v / _given(element, "stall_a", 20.0, "A", notes)
    else:
        ohm = rated_v / _given(element, "rated_a", 5.0, "A", notes)
    _note_resistance(element, ohm, notes)
    yield resistor(element.address, *_pair(element), ohm)


def _starter(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    at = element.terminals
    yield resistor(element.address, at["50"], at["31"], _given(element, "hold_in_ohm", 1.2, "Ω", notes))
    if element.state == "cranking":
        ohm = _given(element, "rated_v", 10.0, "V", notes) / _given(element, "crank_a", 150.0, "A", notes)
        _note_resistance(element, ohm, notes)
        yield resistor(element.address, at["30"], at["31"], ohm)


def _battery(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    rest_v = _given(element, "rest_v", REST_V, "V", notes)
    mohm = _given(element, "internal_mohm", INTERNAL_MOHM, "mΩ", notes)
    if element.state == "charging":
        mohm = charge_mohm(element, notes)
    notes.append(Assumption(element.address, f"taken as {rest_v:g} V behind {mohm:.4g} mΩ"))
    yield emf(
        element.address, element.terminals["30"], element.terminals["31"], rest_v, max(mohm, 1e-3) / 1000.0
    )


def charge_mohm(element: Element, notes: list[Assumption]) -> float:
    """Return the resistance a full battery opposes to charging, in mΩ.

    Without a figure of its own: 5 % of the ampere-hours at 14.2 V (charge acceptance of a full battery, from memory).
    """
    given = element.ratings.charge_mohm
    if given is not None:
        return float(given)
    ah = _given(element, "capacity_ah", 60.0, "Ah", notes)
    rest_v = element.ratings.rest_v or REST_V
    mohm = 1000.0 * max(SET_V * rest_v / REST_V - rest_v, 0.1) / (0.05 * ah)
    notes.append(Assumption(element.address, f"charges behind {mohm:.4g} mΩ (5 % of its Ah at {SET_V:g} V)"))
    return mohm


def _alternator(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    if element.state not in RUNNING:
        return
    set_v = _given(element, "set_v", SET_V, "V", notes)
    mohm = _given(element, "droop_mohm", DROOP_MOHM, "mΩ", notes)
    notes.append(Assumption(element.address, f"taken as {set_v:g} V behind {mohm:g} mΩ"))
    yield emf(
        element.address, element.terminals["B+"], element.terminals["B-"], set_v, max(mohm, 1e-3) / 1000.0
    )


def _coil(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    yield resistor(
        element.address,
        element.terminals["86"],
        element.terminals["85"],
        _given(element, "coil_ohm", 90.0, "Ω", notes),
    )


def _ignition(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    ratings = element.ratings
    ohm = ratings.ohm
    if ratings.mean_a:
        ohm = (ratings.rated_v or RATED_V) / ratings.mean_a
        _note_resistance(element, ohm, notes)
    if ohm is None:
        ohm = _given(element, "ohm", 3.0, "Ω", notes)
    yield resistor(element.address, *_pair(element), ohm)


def _current(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    rated_v = _given(element, "rated_v", RATED_V, "V", notes)
    ohm = rated_v / _given(element, "rated_a", 0.1, "A", notes)
    _note_resistance(element, ohm, notes)
    yield resistor(element.address, *_pair(element), ohm)


def _diode(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    if element.state == "blocked":
        return
    ohm = max(element.ratings.series_ohm or 0.05, 1e-3)
    notes.append(Assumption(element.address, f"taken as 0.7 V behind {ohm:g} Ω while it conducts"))
    yield emf(element.address, element.terminals["A"], element.terminals["K"], 0.7, ohm)


def _gauge(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    at, coils = element.terminals, element.ratings.coil_ohm
    if element.ratings.movement == "bimetal":
        if not coils:
            notes.append(Assumption(element.address, "coil_ohm not known, 60 Ω assumed"))
        yield resistor(element.address, at["15"], at["S"], coils[0] if coils else 60.0)
        return
    if len(coils) != 2:
        notes.append(
            Assumption(element.address, "coil_ohm not known for both coils, 90 Ω assumed where it is not")
        )
    first = coils[0] if coils else 90.0
    second = coils[1] if len(coils) > 1 else first
    yield resistor(element.address, at["15"], at["S"], first)
    yield resistor(element.address, at["S"], at["31"], second)


def _stabiliser(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    at = element.terminals
    if element.state == "passing":
        yield resistor(element.address, at["15"], at["out"], 0.1)
        return
    notes.append(Assumption(element.address, f"taken as {element.ratings.nominal_v:g} V behind 0.1 Ω"))
    yield series_regulator(element.address, at["15"], at["out"], at["31"], element.ratings.nominal_v, 0.1)


def _instrument(ohm: float) -> Law:
    def law(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
        yield resistor(element.address, *_pair(element), _given(element, "ohm", ohm, "Ω", notes))

    return law


def _sender(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    yield resistor(element.address, *_pair(element), max(sender_ohm(element, notes), 1e-3))


def sender_ohm(element: Element, notes: list[Assumption]) -> float:
    """Return a sender's ohms for the state or quantity that the mode names.

    A number between two listed ones is interpolated; without a mode the first state is taken, and noted. An NTC
    without a table follows R25·exp(B·(1/T − 1/298.15 K)) (B-value equation).
    """
    import math

    table: dict[str, float] = dict(element.ratings.ohm)
    r25 = getattr(element.ratings, "r25_ohm", None)
    state = element.state
    if state is None:
        if not table and r25 is None:
            notes.append(Assumption(element.address, "ohms not known, 100 Ω assumed"))
            return 100.0
        state = next(iter(table), "25")
        notes.append(Assumption(element.address, f"no quantity in this mode, '{state}' assumed"))
    if state in table:
        return table[state]
    try:
        at = float(state)
    except ValueError:
        notes.append(Assumption(element.address, f"'{state}' is not one of its states, the first assumed"))
        return next(iter(table.values()), 100.0)
    if r25 is not None:
        b_k = element.ratings.b_k or 3500.0
        return float(r25 * math.exp(b_k * (1.0 / (at + 273.15) - 1.0 / 298.15)))
    return _between(table, at)


def _between(table: dict[str, float], at: float) -> float:
    points = sorted((float(k), v) for k, v in table.items() if _is_number(k))
    if not points:
        return next(iter(table.values()), 100.0)
    if at <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return points[-1][1]


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _unit(element: Element, notes: list[Assumption]) -> Iterator[Stamp]:
    """Yield what one terminal of a control unit does; the element's state is the terminal's name."""
    ratings: Any = element.ratings
    name = element.state or ""
    what = ratings.terminals[name]
    if not what.on:
        return
    supply = next((n for n, t in ratings.terminals.items() if t.does == "supply"), None)
    ground = next((n for n, t in ratings.terminals.items() if t.does == "ground"), None)
    own = element.terminals[name]
    to = what.to or (supply if what.does in ("high_side", "pwm_high") else ground)
    if to is None:
        notes.append(Assumption(element.address, "no ground or supply terminal declared, left out"))
        return
    other = element.terminals[to]
    if what.does in ("sensor_input", "reference"):
        volts, ohm = (
            what.reference_v or 5.0,
            what.pull_up_ohm or (1000.0 if what.does == "sensor_input" else 1.0),
        )
        if supply is None:
            yield emf(element.address, own, other, volts, ohm)
        else:
            yield series_regulator(element.address, element.terminals[supply], own, other, volts, ohm)
        return
    if what.does == "draw":
        ohm = what.ohm or RATED_V / (what.amps or 0.5)
        _note_resistance(element, ohm, notes)
    else:
        ohm = (what.ohm or 0.1) / (what.duty or 1.0)
    yield resistor(element.address, own, other, ohm)


LAWS: dict[str, Law] = {
    "battery": _battery,
    "alternator": _alternator,
    "dynamo": _alternator,
    "starter": _starter,
    "resistor": _watts,
    "heater": _watts,
    "lamp": _watts,
    "motor": _motor,
    "coil": _ignition,
    "converter": _watts,
    "current_load": _current,
    "led": _current,
    "diode": _diode,
    "relay": _coil,
    "gauge": _gauge,
    "stabiliser": _stabiliser,
    "voltmeter": _instrument(2000.0),
    "sender": _sender,
    "ntc": _sender,
    "control_unit": _unit,
}
"""Law of each kind of element."""

SOURCE_KINDS = frozenset({"battery", "alternator", "dynamo"})
"""Kinds that supply."""


def stamps_of(element: Element, notes: list[Assumption]) -> tuple[Stamp, ...]:
    """Return the stamps of an element; none for one that is off."""
    if element.state == "off" and element.kind not in SOURCE_KINDS:
        return ()
    return tuple(LAWS[element.kind](element, notes))
