"""What can be read and seen: needles, light, speed, rates, what a control unit measures. All from solved volts."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from harness_studio.model.harness import Harness
from harness_studio.network.network import Element

from . import scales
from .laws.curves import LIGHT
from .laws.instruments import PULL_UP_OHM, REFERENCE_V
from .laws.loads import RATED_V, motor_constants
from .laws.pieces import Pieces
from .solution import Solution


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading.

    Parameters
    ----------
    id
        Address of the element, or id of the part.
    what
        'needle', 'light', 'speed', 'rate', 'measured', 'volts'.
    value
        The number; None where there is none ('out of range').
    unit
        'of scale', '%', '/min', '°C', 'Ω', 'V'.
    words
        As a person says it.
    """

    id: str
    what: str
    value: float | None
    unit: str
    words: str

    @property
    def key(self) -> str:
        """Name of the reading: id and what."""
        return f"{self.id} {self.what}"


Across = Callable[[str, str], float]


def readings(harness: Harness, solution: Solution) -> dict[str, Reading]:
    """Return every reading of a solved harness by its key."""
    found: dict[str, Reading] = {}
    for element in solution.network.elements:
        for reading in _of_element(harness, solution, element):
            found[reading.key] = reading
    for part in harness.parts.values():
        if part.kind in ("flasher", "ammeter") and part.id in solution.network.joints:
            amperes = solution.joint(part.id).amperes
            if part.kind == "flasher":
                reading = _flasher(part.id, part.ratings, amperes)
            else:
                scale = part.ratings.scale
                reading = _by_scale(part.id, scale.ampere, scale.marks, amperes, "A")
            found[reading.key] = reading
    return found


def _of_element(harness: Harness, solution: Solution, element: Element) -> Iterator[Reading]:
    volts = solution.volts

    def across(first: str, second: str) -> float:
        value = float(volts[element.terminals[first]] - volts[element.terminals[second]])
        return 0.0 if math.isnan(value) else value

    names = tuple(element.terminals)
    if element.kind == "lamp":
        over = across(names[0], names[1])
        light = 100.0 * (abs(over) / (element.ratings.rated_v or RATED_V)) ** LIGHT
        yield Reading(element.address, "volts", over, "V", f"{over:.2f} V")
        yield Reading(
            element.address, "light", light, "%", f"{light:.0f} % light" if light >= 0.5 else "dark"
        )
    elif element.kind == "motor":
        yield from _motor(element, across(names[0], names[1]))
    elif element.kind in ("resistor", "heater", "led", "current_load", "converter", "coil"):
        over = across(names[0], names[1])
        yield Reading(element.address, "volts", over, "V", f"{over:.2f} V")
    elif element.kind == "gauge":
        yield _gauge(element, solution, across)
    elif element.kind == "voltmeter":
        scale = element.ratings.scale
        yield _by_scale(element.address, scale.volt, scale.marks, across("1", "2"), "V")
    elif element.kind == "control_unit":
        yield from _sensor(harness, element, across)
    elif element.kind == "relay":
        over = across("86", "85")
        yield Reading(
            element.address, "volts", over, "V", f"coil {over:.2f} V, {solution.states[element.address]}"
        )


def _motor(element: Element, over: float) -> Iterator[Reading]:
    rated_v, rated_a, ohm = motor_constants(element, Pieces())
    yield Reading(element.address, "volts", over, "V", f"{over:.2f} V")
    e0 = rated_v - ohm * rated_a
    if element.state in ("off", "stall", "starting"):
        speed = 0.0
    elif element.ratings.torque == "constant":
        speed = max(0.0, (abs(over) - ohm * rated_a) / e0)
    else:
        speed = 2.0 * abs(over) / (e0 + math.sqrt(e0 * e0 + 4.0 * ohm * rated_a * abs(over)))
    words = "stands" if speed < 0.005 else f"{100 * speed:.0f} % speed"
    yield Reading(element.address, "speed", 100.0 * speed, "%", words)


def _gauge(element: Element, solution: Solution, across: Across) -> Reading:
    """Two-coil: the ohms it sees between S and its own ground; bimetal: the square of its heater's current."""
    ratings = element.ratings
    coils = ratings.coil_ohm
    if ratings.movement == "bimetal":
        heater_a = across("15", "S") / (coils[0] if coils else 60.0)
        full_a = (ratings.full_ma or 100.0) / 1000.0
        needle = scales.stopped((heater_a / full_a) ** 2)
        if ratings.scale.ampere:
            needle = scales.plain_needle({a * a: y for a, y in ratings.scale.ampere.items()}, heater_a**2)
        return Reading(
            element.address, "needle", needle, "of scale", scales.mark_words(ratings.scale.marks, needle)
        )
    first = coils[0] if coils else 90.0
    second = coils[1] if len(coils) > 1 else first
    feed_v, sense_v = across("15", "31"), across("S", "31")
    if abs(feed_v) < 0.5:
        return Reading(element.address, "needle", None, "of scale", "no supply, needle anywhere")
    sender_a = (feed_v - sense_v) / first - sense_v / second
    ohm = sense_v / sender_a if abs(sender_a) > 1e-7 else math.inf
    if ohm < 0.0:
        ohm = 0.0 if sense_v < 0.0 else math.inf
    if not ratings.scale.ohm:
        return Reading(element.address, "measured", ohm, "Ω", f"sees {ohm:.1f} Ω")
    needle = scales.ohm_needle(ratings.scale.ohm, second, ohm)
    return Reading(
        element.address, "needle", needle, "of scale", scales.mark_words(ratings.scale.marks, needle)
    )


def _by_scale(
    part: str, scale: Mapping[float, float], marks: Mapping[float, str], value: float, unit: str
) -> Reading:
    if not scale:
        return Reading(part, "measured", value, unit, f"{value:.2f} {unit}")
    needle = scales.plain_needle(scale, value)
    return Reading(
        part, "needle", needle, "of scale", f"{value:.1f} {unit}, {scales.mark_words(marks, needle)}"
    )


def _flasher(part: str, ratings: object, amperes: float) -> Reading:
    rated_a = (getattr(ratings, "rated_w", None) or 46.0) / 12.0
    movement = getattr(ratings, "movement", "thermal")
    least, out = getattr(ratings, "least_a", None), getattr(ratings, "lamp_out_a", None)
    rate = scales.flash_rate_per_min(movement, amperes, rated_a, least, out)
    still = "dark" if abs(amperes) < 1e-3 else "stays lit"
    return Reading(part, "rate", rate, "/min", f"{rate:.0f} flashes a minute" if rate else still)


def _sensor(harness: Harness, element: Element, across: Across) -> Iterator[Reading]:
    """Yield what a control unit makes of a sensor input: R = R_p·V/(V_ref − V) above its own ground."""
    name = element.state or ""
    what = element.ratings.terminals[name]
    if what.does != "sensor_input":
        return
    ground = what.to or next((n for n, t in element.ratings.terminals.items() if t.does == "ground"), None)
    if ground is None:
        return
    reference_v, pull_up = what.reference_v or REFERENCE_V, what.pull_up_ohm or PULL_UP_OHM
    seen_v = across(name, ground)
    if not 0.0 < seen_v < 0.999 * reference_v:
        yield Reading(element.address, "measured", None, "Ω", f"{seen_v:.3f} V, out of range")
        return
    ohm = pull_up * seen_v / (reference_v - seen_v)
    sensor = harness.parts.get(what.reads or "")
    celsius = None
    if sensor is not None and sensor.kind == "ntc":
        ratings = sensor.ratings
        celsius = scales.thermistor_c(ohm, ratings.ohm, ratings.r25_ohm, ratings.b_k)
    if celsius is None:
        yield Reading(element.address, "measured", ohm, "Ω", f"{ohm:.1f} Ω ({seen_v:.3f} V)")
    else:
        yield Reading(element.address, "measured", celsius, "°C", f"{celsius:.1f} °C ({seen_v:.3f} V)")


@dataclass(frozen=True, slots=True)
class Change:
    """A reading in a clean harness and now."""

    reading: str
    clean: float | None
    bad: float | None
    unit: str
    weight: float


def compare(clean: Mapping[str, Reading], now: Mapping[str, Reading]) -> list[Change]:
    """Return the readings that differ, the most noticeable first.

    `weight` sets a change against what a person can notice: 4 % of a needle's scale, 10 % of light, 5 % of speed, a
    tenth of the rate, 2 °C or 2 % of ohms, 0.1 V (limits of notice from memory).
    """
    changes = []
    for key, reading in now.items():
        before = clean.get(key)
        if before is None:
            continue
        weight = _weight(before, reading)
        if weight > 1e-9:
            changes.append(Change(key, before.value, reading.value, reading.unit, weight))
    return sorted(changes, key=lambda c: -c.weight)


NOTICED = {"of scale": 0.04, "°C": 2.0, "V": 0.1, "A": 0.1}


def _weight(before: Reading, now: Reading) -> float:
    if before.value is None or now.value is None:
        return 0.0 if before.value is now.value else 100.0
    if math.isinf(before.value) or math.isinf(now.value):
        return 0.0 if before.value == now.value else 100.0
    noticed = NOTICED.get(now.unit)
    if noticed is None:
        part = {"%": 0.1 if now.what == "light" else 0.05, "/min": 0.1, "Ω": 0.02}[now.unit]
        noticed = max(part * abs(before.value), 1e-6)
    return abs(now.value - before.value) / noticed
