"""Batteries, alternators and dynamos."""

from __future__ import annotations

from harness_studio.electrics.stamps import Stamp, emf, resistor
from harness_studio.network.network import Element

from .curves import battery as battery_curve
from .pieces import Pieces, given
from .poles import TwoPole

REST_V, INTERNAL_MOHM = 12.65, 8.0
"""A full 12 V lead-acid battery: rest volts (reference table, seen once), internal resistance (from memory)."""
SET_V, DROOP_MOHM, MAX_A = 14.2, 5.0, 60.0
"""A 12 V alternator: set volts, droop of its regulator, greatest current (from memory)."""
IDLE_PART = 0.5
"""Part of its greatest current that a hot alternator gives at idle, where not known (common practice, no source)."""
RUNNING = ("idling", "running")
OVER_PART = 1.27
"""A machine whose sense is starved (a poor joint between it and where it senses) holds its own B+ at so many times its
set volts: 18 V of a 12 V one, which ISO 16750-2 takes for a regulator that has failed (from memory)."""
SENSE_OHM, FIELD_OHM, DIODE_TRIO_OHM = 10_000.0, 6.0, 0.5
"""Sense input; field winding seen at D+ at rest; D+ fed by the machine while it turns (from memory)."""


def battery(element: Element, state: str | None, pieces: Pieces) -> None:
    """EMF behind one resistance discharging and another charging: piecewise linear, monotone, continuous."""
    rest_v = given(element, "rest_v", REST_V, "V", pieces)
    out_ohm = given(element, "internal_mohm", INTERNAL_MOHM, "mΩ", pieces) / 1000.0
    in_ohm = max(charge_ohm(element, pieces), out_ohm)
    at = element.terminals
    parameters = (rest_v, max(out_ohm, 1e-6), max(in_ohm, 1e-6))
    pieces.poles.append(TwoPole(element.address, at["30"], at["31"], battery_curve, parameters))


def charge_ohm(element: Element, pieces: Pieces) -> float:
    """Return the resistance a battery opposes to charging.

    Without a figure of its own: 5 % of the ampere-hours at 14.2 V when full, more when low: the acceptance grows by
    a factor of e for each 0.2 V that the rest volts lie below 12.65 V, to half of the ampere-hours (from memory).
    """
    if element.ratings.charge_mohm is not None:
        return float(element.ratings.charge_mohm) / 1000.0
    import math

    ah = given(element, "capacity_ah", 60.0, "Ah", pieces)
    rest_v = element.ratings.rest_v or REST_V
    scale = 2.0 if rest_v > 18.0 else 1.0
    accepted_a = min(0.05 * math.exp(max(0.0, REST_V - rest_v / scale) / 0.2), 0.5) * ah
    ohm = max(scale * SET_V - rest_v, 0.2) / accepted_a
    pieces.note(element, f"charges with about {accepted_a:.2g} A at {scale * SET_V:g} V")
    return ohm


def alternator(element: Element, state: str | None, pieces: Pieces) -> None:
    """Alternator or dynamo: idle, regulating (V_sense = set − droop·I), limited (I = I_max of the engine), or held.

    Held: what lies between the machine and its sense keeps the sense low, and its own B+ is held (see `OVER_PART`).

    The sense terminal is its own B+ where nothing is wired to it or its wire is open (10 kΩ inside). D+ follows
    the machine while it turns and is the field winding at rest, which is what lights a charge lamp. Unexcited: it
    turns too slowly to excite itself, and no current came through the lamp yet; its field stands as at rest.
    """
    at = element.terminals
    plus, minus, d_plus, sense = at["B+"], at["B-"], at["D+"], at["S"]
    pieces.stamps.append(resistor(element.address, sense, plus, SENSE_OHM))
    if state == "unexcited":
        pieces.note(element, "no current through its charge lamp excites it at idle: it does not charge")
    if element.state not in RUNNING or state == "unexcited":
        pieces.stamps.append(resistor(element.address, d_plus, minus, FIELD_OHM))
        return
    pieces.stamps.append(resistor(element.address, d_plus, plus, DIODE_TRIO_OHM))
    if state == "regulating":
        set_v, ohm = setting(element, pieces)
        g = 1.0 / ohm
        pieces.stamps.append(
            Stamp(
                element.address,
                (plus, minus, sense),
                ((0.0, -g, g), (0.0, g, -g), (0.0, 0.0, 0.0)),
                (-g * set_v, g * set_v, 0.0),
            )
        )
    elif state == "held":
        set_v, ohm = setting(element, pieces)
        pieces.note(element, f"its sense is starved: its own B+ held at {OVER_PART * set_v:.3g} V")
        pieces.stamps.append(emf(element.address, plus, minus, OVER_PART * set_v, ohm))
    elif state == "limited":
        amperes = greatest_a(element, pieces)
        pieces.stamps.append(
            Stamp(element.address, (plus, minus), ((0.0, 0.0), (0.0, 0.0)), (-amperes, amperes))
        )


def setting(element: Element, pieces: Pieces) -> tuple[float, float]:
    """Return (set volts, droop in ohms)."""
    set_v = given(element, "set_v", SET_V, "V", pieces)
    return set_v, max(given(element, "droop_mohm", DROOP_MOHM, "mΩ", pieces) / 1000.0, 1e-5)


def greatest_a(element: Element, pieces: Pieces) -> float:
    """Return the most amperes the machine gives in the engine's state."""
    most = given(element, "max_a", MAX_A, "A", pieces)
    if element.state != "idling":
        return most
    idle = element.ratings.idle_hot_a
    if idle is None:
        pieces.note(element, f"idle_hot_a not known, {IDLE_PART:.0%} of {most:g} A assumed")
        return IDLE_PART * most
    return float(idle)
