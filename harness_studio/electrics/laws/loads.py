"""Resistors, lamps, motors, starters, ignition coils, electronic loads, diodes."""

from __future__ import annotations

import math

from harness_studio.electrics.stamps import resistor
from harness_studio.network.network import Element

from . import curves
from .pieces import Pieces, given, pair
from .poles import TwoPole

RATED_V = 13.5
"""Volts at which a 12 V load is rated where its part does not say (from memory)."""
KNEE_V = 1.0
"""Volts below which a constant-current load or a stalled one acts as a resistance (from memory)."""
DIODE_A, DIODE_N, DIODE_OHM = 1e-9, 1.8, 0.02
"""Saturation current, emission coefficient and series resistance of a power diode (typical figures, from memory)."""
LED_V, LED_N = 2.0, 2.0
"""Forward volts of a red LED and its emission coefficient (from memory)."""


def watts(element: Element, state: str | None, pieces: Pieces) -> None:
    """Resistor or heater: its ohms, or V²/P at rated volts."""
    ohm = element.ratings.ohm
    if ohm is None:
        rated_v = given(element, "rated_v", RATED_V, "V", pieces)
        ohm = rated_v**2 / given(element, "rated_w", 20.0, "W", pieces)
    pieces.stamps.append(resistor(element.address, *pair(element), max(ohm, 1e-6)))


def lamp(element: Element, state: str | None, pieces: Pieces) -> None:
    """One filament by the re-rating law; see `curves.lamp`."""
    rated_v = given(element, "rated_v", RATED_V, "V", pieces)
    power = given(element, "rated_w", 5.0, "W", pieces)
    hot_to_cold = getattr(element.ratings, "hot_to_cold", 10.0)
    cold_v = rated_v * hot_to_cold ** (-1.0 / (1.0 - curves.RERATING))
    parameters = (rated_v**2 / power, rated_v, cold_v)
    pieces.poles.append(TwoPole(element.address, *pair(element), curves.lamp, parameters))


def motor(element: Element, state: str | None, pieces: Pieces) -> None:
    """Permanent-magnet motor: R = V₀/I_stall, E₀ = V₀ − R·I₀; off, turning, or standing (stall, starting)."""
    first, second = pair(element)
    rated_v, rated_a, ohm = motor_constants(element, pieces)
    if element.state in ("stall", "starting"):
        pieces.stamps.append(resistor(element.address, first, second, ohm))
    elif element.ratings.torque == "constant":
        parameters: tuple[float, ...] = (ohm, rated_a)
        pieces.poles.append(TwoPole(element.address, first, second, curves.constant_torque, parameters))
    else:
        parameters = (ohm, rated_v - ohm * rated_a, rated_a)
        pieces.poles.append(TwoPole(element.address, first, second, curves.fan, parameters))


def motor_constants(element: Element, pieces: Pieces) -> tuple[float, float, float]:
    """Return (V₀, I₀, R); the stall current is taken as three times the running one where not known."""
    rated_v = given(element, "rated_v", RATED_V, "V", pieces)
    rated_a = given(element, "rated_a", 5.0, "A", pieces)
    stall_a = given(element, "stall_a", 3.0 * rated_a, "A", pieces)
    if stall_a <= rated_a:
        pieces.note(
            element, f"stall current {stall_a:g} A is not above the running {rated_a:g} A, 3 times it taken"
        )
        stall_a = 3.0 * rated_a
    return rated_v, rated_a, rated_v / stall_a


def starter(element: Element, state: str | None, pieces: Pieces) -> None:
    """Starter: hold-in winding at 50, pull-in winding while released, and the motor once the main contact is closed.

    The motor takes its cranking current while it turns (torque ∝ compression, constant), less when it stalls. Where
    nothing is wired to 50 the engine's state 'cranking' closes the contact.
    """
    at = element.terminals
    pieces.stamps.append(
        resistor(element.address, at["50"], at["31"], given(element, "hold_in_ohm", 1.2, "Ω", pieces))
    )
    if state != "pulled in":
        ohm = given(element, "pull_in_ohm", 0.4, "Ω", pieces)
        pieces.stamps.append(resistor(element.address, at["50"], at["31"], ohm))
        return
    rated_v = given(element, "rated_v", 10.0, "V", pieces)
    crank_a = given(element, "crank_a", 150.0, "A", pieces)
    stall_a = element.ratings.stall_a or 3.0 * crank_a
    contact_ohm = (element.ratings.contact_mohm or 0.3) / 1000.0
    ohm = rated_v / stall_a + contact_ohm
    pieces.poles.append(TwoPole(element.address, at["30"], at["31"], curves.constant_torque, (ohm, crank_a)))


def ignition_coil(element: Element, state: str | None, pieces: Pieces) -> None:
    """Primary of an ignition coil: its mean current at rated volts as a resistance, or its winding."""
    ratings = element.ratings
    ohm = ratings.ohm
    if ratings.mean_a:
        ohm = (ratings.rated_v or RATED_V) / ratings.mean_a
    if ohm is None:
        ohm = given(element, "ohm", 3.0, "Ω", pieces)
    pieces.stamps.append(resistor(element.address, *pair(element), ohm))


def converter(element: Element, state: str | None, pieces: Pieces) -> None:
    """Constant power while on; nothing while cut out."""
    if state in ("cut out", "hiccups"):
        return
    power = given(element, "rated_w", 20.0, "W", pieces)
    floor_v = power_floor_v(element)
    pieces.poles.append(TwoPole(element.address, *pair(element), curves.constant_power, (power, floor_v)))


def power_floor_v(element: Element) -> float:
    """Return the volts below which a constant-power load is only held together numerically: a tenth of its rating.

    A solution down there is no working point; it is found out by the cut-out state.
    """
    return 0.1 * (element.ratings.rated_v or RATED_V)


def current_load(element: Element, state: str | None, pieces: Pieces) -> None:
    """Constant current above about 1 V."""
    amperes = given(element, "rated_a", 0.1, "A", pieces)
    pieces.poles.append(TwoPole(element.address, *pair(element), curves.constant_current, (amperes, KNEE_V)))


def led(element: Element, state: str | None, pieces: Pieces) -> None:
    """LED: Shockley law through its forward volts at rated current, behind its series resistor."""
    amperes = given(element, "rated_a", 0.02, "A", pieces)
    forward_v = element.ratings.forward_v or LED_V
    series = element.ratings.series_ohm
    if series is None:
        series = max(((element.ratings.rated_v or RATED_V) - forward_v) / amperes, 1.0)
    saturation = amperes / (math.exp(forward_v / (LED_N * curves.THERMAL_V)) - 1.0)
    parameters = (saturation, LED_N, max(series, 1e-3))
    pieces.poles.append(TwoPole(element.address, *pair(element), curves.diode, parameters))


def diode(element: Element, state: str | None, pieces: Pieces) -> None:
    """Shockley diode with series resistance."""
    ratings = element.ratings
    parameters = (
        ratings.saturation_a or DIODE_A,
        ratings.emission or DIODE_N,
        max(ratings.series_ohm or DIODE_OHM, 1e-4),
    )
    pieces.poles.append(TwoPole(element.address, *pair(element), curves.diode, parameters))
