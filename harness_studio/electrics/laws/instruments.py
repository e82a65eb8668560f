"""Relay coils, gauges, stabilisers, senders, and control units."""

from __future__ import annotations

from harness_studio.electrics.rated import sender_ohm
from harness_studio.electrics.stamps import resistor, series_regulator
from harness_studio.network.network import Element

from . import curves
from .loads import DIODE_A, DIODE_N, DIODE_OHM
from .pieces import Pieces, given, pair
from .poles import TwoPole

COIL_OHM, GAUGE_OHM, BIMETAL_OHM, VOLTMETER_OHM = 90.0, 90.0, 60.0, 2000.0
"""Relay coil (0.15 A at 13.5 V), gauge coils and voltmeter gauge where not known (from memory)."""
LEAK_OHM = 1e9
"""Between the supply and the ground of a regulator: without its ground it has definite volts."""
STABILISER_OHM, DRIVER_OHM, PULL_UP_OHM, REFERENCE_V = 0.1, 0.1, 1000.0, 5.0
"""Stabiliser output, driver on-resistance, sensor pull-up and reference where not known (from memory)."""


def relay(element: Element, state: str | None, pieces: Pieces) -> None:
    """Relay coil, with its suppression diode if it has one: then polarity matters."""
    at = element.terminals
    ohm = given(element, "coil_ohm", COIL_OHM, "Ω", pieces)
    pieces.stamps.append(resistor(element.address, at["86"], at["85"], ohm))
    if element.ratings.coil_diode != "none":
        anode, cathode = element.ratings.coil_diode.split(" to ")
        parameters = (DIODE_A, DIODE_N, DIODE_OHM)
        pieces.poles.append(TwoPole(element.address, at[anode], at[cathode], curves.diode, parameters))


def gauge(element: Element, state: str | None, pieces: Pieces) -> None:
    """Two-coil: coil A from 15 to S, coil B from S to 31. Bimetal: one heater from 15 to S."""
    at, coils = element.terminals, element.ratings.coil_ohm
    if element.ratings.movement == "bimetal":
        if not coils:
            pieces.note(element, f"coil_ohm not known, {BIMETAL_OHM:g} Ω assumed")
        pieces.stamps.append(resistor(element.address, at["15"], at["S"], coils[0] if coils else BIMETAL_OHM))
        return
    if len(coils) != 2:
        pieces.note(
            element, f"coil_ohm not known for both coils, {coils[0] if coils else GAUGE_OHM:g} Ω assumed"
        )
    first = coils[0] if coils else GAUGE_OHM
    second = coils[1] if len(coils) > 1 else first
    pieces.stamps.append(resistor(element.address, at["15"], at["S"], first))
    pieces.stamps.append(resistor(element.address, at["S"], at["31"], second))


def stabiliser(element: Element, state: str | None, pieces: Pieces) -> None:
    """Stabiliser: its output holds nominal volts above its own ground while its input is above, else follows it."""
    at = element.terminals
    if state == "passing":
        pieces.stamps.append(resistor(element.address, at["15"], at["out"], STABILISER_OHM))
        return
    nominal_v = element.ratings.nominal_v
    pieces.stamps.append(resistor(element.address, at["15"], at["31"], LEAK_OHM))
    pieces.stamps.append(
        series_regulator(element.address, at["15"], at["out"], at["31"], nominal_v, STABILISER_OHM)
    )


def voltmeter(element: Element, state: str | None, pieces: Pieces) -> None:
    """Voltmeter gauge: its own resistance."""
    pieces.stamps.append(
        resistor(element.address, *pair(element), given(element, "ohm", VOLTMETER_OHM, "Ω", pieces))
    )


def sender(element: Element, state: str | None, pieces: Pieces) -> None:
    """Sender or thermistor: its ohms for what the mode says it senses."""
    pieces.stamps.append(
        resistor(element.address, *pair(element), max(sender_ohm(element, pieces.notes), 1e-3))
    )


def control_unit(element: Element, state: str | None, pieces: Pieces) -> None:
    """One terminal of a control unit; the element's own state is that terminal's name.

    A sensor input or reference is `reference_v` above its own ground behind the pull-up, the current drawn from the
    unit's supply. A pulsed output conducts for its duty: the mean current is that of 1/duty times its resistance.
    """
    ratings = element.ratings
    name = element.state or ""
    what = ratings.terminals[name]
    if not what.on or state in ("cut out", "hiccups"):
        return
    supply = next((n for n, t in ratings.terminals.items() if t.does == "supply"), None)
    ground = next((n for n, t in ratings.terminals.items() if t.does == "ground"), None)
    to = what.to or (supply if what.does in ("high_side", "pwm_high") else ground)
    if to is None:
        pieces.note(element, "no ground or supply terminal is declared for it, left out")
        return
    own, other = element.terminals[name], element.terminals[to]
    if what.does in ("sensor_input", "reference"):
        volts = what.reference_v or REFERENCE_V
        ohm = what.pull_up_ohm or (PULL_UP_OHM if what.does == "sensor_input" else 1.0)
        feed = own if supply is None else element.terminals[supply]
        if supply is None:
            pieces.note(
                element, "no supply terminal is declared: its pull-up current comes from its own ground"
            )
            feed = other
        pieces.stamps.append(series_regulator(element.address, feed, own, other, volts, ohm))
        if feed != other:
            pieces.stamps.append(resistor(element.address, feed, other, LEAK_OHM))
        return
    if what.does == "draw":
        amperes = what.amps if what.amps is not None else 0.5
        if what.ohm:
            pieces.stamps.append(resistor(element.address, own, other, what.ohm))
        elif amperes > 0.0:
            parameters = (amperes, 1.0)
            pieces.poles.append(TwoPole(element.address, own, other, curves.constant_current, parameters))
        return
    ohm = (what.ohm or DRIVER_OHM) / max(what.duty if what.duty is not None else 1.0, 1e-3)
    pieces.stamps.append(resistor(element.address, own, other, ohm))
