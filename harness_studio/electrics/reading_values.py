"""The numbers behind readings, element by element, for one solution or for many columns at once.

`across(first, second)` gives the volts between two terminals, shape (columns,); values come back in that shape, NaN
where there is no reading.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from harness_studio.model.harness import Harness
from harness_studio.network.network import Element

from . import scales
from .laws.curves import LIGHT
from .laws.discrete import cut_out_of
from .laws.instruments import BIMETAL_OHM, GAUGE_OHM
from .laws.loads import RATED_V, motor_constants
from .laws.pieces import Pieces
from .laws.units import PULL_UP_OHM, REFERENCE_V, supply_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

NO_SUPPLY_V = 0.5
"""A gauge with less than this across it shows nothing."""


@dataclass(frozen=True, slots=True)
class Values:
    """Values of one reading: of what, in which unit, shape (columns,)."""

    id: str
    what: str
    unit: str
    values: Floats


Across = Callable[[str, str], "Floats"]


PLAIN = frozenset({"lamp", "resistor", "heater", "led", "current_load", "converter", "coil", "relay"})
"""Kinds whose readings follow from the volts across them alone."""

Number = TypeVar("Number", float, "Floats")


def plain_pair(element: Element) -> tuple[str, str]:
    """Return the terminals between which an element of a plain kind has its volts."""
    if element.kind == "relay":
        return "86", "85"
    first, second = tuple(element.terminals)[:2]
    return first, second


def plain_values(element: Element, over: Number) -> Iterator[tuple[str, str, Number]]:
    """Yield (what, unit, value) of each reading of an element of a plain kind with some volts across it."""
    yield "volts", "V", over
    if element.kind == "lamp":
        lit = 0.0 if element.state == "off" else 100.0
        yield "light", "%", lit * (abs(over) / (element.ratings.rated_v or RATED_V)) ** LIGHT


def element_values(harness: Harness, element: Element, across: Across) -> Iterator[Values]:
    """Yield the readings of one element."""
    address = element.address
    if element.kind in PLAIN:
        for what, unit, values in plain_values(element, across(*plain_pair(element))):
            yield Values(address, what, unit, values)
    elif element.kind == "motor":
        first, second = tuple(element.terminals)[:2]
        over = across(first, second)
        yield Values(address, "volts", "V", over)
        yield Values(address, "speed", "%", 100.0 * motor_speed(element, over))
    elif element.kind == "gauge":
        yield _gauge(element, across)
    elif element.kind == "voltmeter":
        yield by_scale(address, element.ratings.scale, "volt", across("1", "2"), "V")
    elif element.kind == "control_unit":
        yield from _sensor(harness, element, across)


def motor_speed(element: Element, over: Floats) -> Floats:
    """Return speed as a part of rated: s of the fan law, or (|V| − R·I₀)/E₀ for constant torque; 0 when standing."""
    import numpy as np

    rated_v, rated_a, ohm = motor_constants(element, Pieces())
    e0 = rated_v - ohm * rated_a
    size = np.abs(over)
    if element.state in ("off", "stall", "starting"):
        return np.zeros_like(over)
    if element.ratings.torque == "constant":
        return np.maximum(0.0, (size - ohm * rated_a) / e0)
    speed: Floats = 2.0 * size / (e0 + np.sqrt(e0 * e0 + 4.0 * ohm * rated_a * size))
    return speed


def _gauge(element: Element, across: Across) -> Values:
    """Two-coil: the ohms it sees between S and its own ground; bimetal: the square of its heater's current."""
    import numpy as np

    ratings, coils = element.ratings, element.ratings.coil_ohm
    if ratings.movement == "bimetal":
        heater_a = across("15", "S") / (coils[0] if coils else BIMETAL_OHM)
        if ratings.scale.ampere:
            squares = {a * a: y for a, y in ratings.scale.ampere.items()}
            needle = scales.plain_needle(squares, heater_a**2)
        else:
            needle = scales.stopped((heater_a / ((ratings.full_ma or 100.0) / 1000.0)) ** 2)
        return Values(element.address, "needle", "of scale", needle)
    first = coils[0] if coils else GAUGE_OHM
    second = coils[1] if len(coils) > 1 else first
    feed_v, sense_v = across("15", "31"), across("S", "31")
    sender_a = (feed_v - sense_v) / first - sense_v / second
    flows = np.abs(sender_a) > 1e-7
    ohm = np.where(flows, sense_v / np.where(flows, sender_a, 1.0), np.inf)
    ohm = np.where(ohm < 0.0, np.where(sense_v < 0.0, 0.0, np.inf), ohm)
    if not ratings.scale.ohm:
        return Values(element.address, "measured", "Ω", ohm)
    needle = scales.ohm_needle(ratings.scale.ohm, second, ohm)
    return Values(
        element.address, "needle", "of scale", np.where(np.abs(feed_v) < NO_SUPPLY_V, np.nan, needle)
    )


def by_scale(part: str, scale: Any, name: str, value: Floats, unit: str) -> Values:
    """Return a needle by a scale of volts or amperes, or the plain value where there is no scale."""
    marks = getattr(scale, name)
    if not marks:
        return Values(part, "measured", unit, value)
    return Values(part, "needle", "of scale", scales.plain_needle(marks, value))


def flasher_rate(part: str, ratings: Any, amperes: Floats) -> Values:
    """Return the rate of a flasher from the current through it."""
    rated_a = (ratings.rated_w or 46.0) / 12.0
    rate = scales.flash_rate_per_min(ratings.movement, amperes, rated_a, ratings.least_a, ratings.lamp_out_a)
    return Values(part, "rate", "/min", rate)


def sensor_volts(element: Element, across: Across) -> tuple[Floats, float, float] | None:
    """Return (volts at a sensor input above its own ground, reference volts, pull-up ohms); None for others."""
    name = element.state or ""
    what = element.ratings.terminals[name]
    ground = what.to or next((n for n, t in element.ratings.terminals.items() if t.does == "ground"), None)
    if what.does != "sensor_input" or ground is None:
        return None
    return across(name, ground), what.reference_v or REFERENCE_V, what.pull_up_ohm or PULL_UP_OHM


def unfed(element: Element, across: Across) -> NDArray[np.bool_]:
    """Return where a control unit has too little supply to work."""
    import numpy as np

    supplied = supply_of(element)
    if supplied is None:
        return np.zeros_like(across(element.state or "", element.state or ""), dtype=bool)
    found: NDArray[np.bool_] = across(*supplied) < cut_out_of(element)
    return found


def _sensor(harness: Harness, element: Element, across: Across) -> Iterator[Values]:
    """Yield what a control unit makes of a sensor input: R = R_p·V/(V_ref − V) above its own ground.

    NaN out of range, and of a unit whose supply is too low to work: what it would make of 0 V is no reading.
    """
    import numpy as np

    found = sensor_volts(element, across)
    if found is None:
        return
    seen_v, reference_v, pull_up = found
    inside = (seen_v > 0.0) & (seen_v < 0.999 * reference_v)
    inside &= ~unfed(element, across)
    safe_v = np.where(inside, seen_v, 0.5 * reference_v)
    ohm = np.where(inside, pull_up * safe_v / (reference_v - safe_v), np.nan)
    sensor = harness.parts.get(element.ratings.terminals[element.state or ""].reads or "")
    celsius = None
    if sensor is not None and sensor.kind == "ntc":
        celsius = scales.thermistor_c(ohm, sensor.ratings.ohm, sensor.ratings.r25_ohm, sensor.ratings.b_k)
    if celsius is None:
        yield Values(element.address, "measured", "Ω", ohm)
    else:
        yield Values(element.address, "measured", "°C", celsius)


NOTICED = {"of scale": 0.04, "°C": 2.0, "V": 0.1, "A": 0.1}
"""Smallest change a person notices: 4 % of a scale, 2 °C, 0.1 V, 0.1 A (from memory)."""
NOTICED_PART = {"light": 0.1, "speed": 0.05, "rate": 0.1, "measured": 0.02}
"""As a part of the reading: light 10 %, speed 5 %, rate 10 %, ohms 2 % (from memory)."""
NOTICED_LEAST = {"light": 2.0, "speed": 1.0, "rate": 2.0, "measured": 1.0}
"""And never less than: 2 % light, 1 % speed, 2 flashes a minute, 1 Ω (from memory)."""
GONE = 100.0
"""Weight of a reading that appears or vanishes."""


def weights(clean: float, what: str, unit: str, now: Floats) -> Floats:
    """Return changes against what a person notices: 1 is just noticed."""
    import numpy as np

    noticed = NOTICED.get(unit)
    if noticed is None:
        least = NOTICED_LEAST[what]
        noticed = max(NOTICED_PART[what] * abs(clean), least) if np.isfinite(clean) else least
    finite = np.isfinite(now)
    if not np.isfinite(clean):
        same = np.isnan(now) if np.isnan(clean) else now == clean
        return np.where(same, 0.0, GONE)
    return np.where(finite, np.abs(np.where(finite, now, clean) - clean) / noticed, GONE)
