"""Relay coils, gauges, stabilisers and senders."""

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
STABILISER_OHM = 0.1
"""Stabiliser output where not known (from memory)."""


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
