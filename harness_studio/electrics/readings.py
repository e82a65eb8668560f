"""What can be read and seen: needles, light, speed, rates, what a control unit measures. All from solved volts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness
from harness_studio.network.network import Element

from . import scales
from .reading_values import (
    PLAIN,
    Across,
    Values,
    by_scale,
    element_values,
    flasher_rate,
    plain_pair,
    plain_values,
    sensor_volts,
    unfed,
    weights,
)
from .solution import Solution

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


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


def readings(harness: Harness, solution: Solution) -> dict[str, Reading]:
    """Return every reading of a solved harness by its key."""
    import numpy as np

    found: dict[str, Reading] = {}
    volts = solution.volts.tolist()
    for element in solution.network.elements:
        if element.kind in PLAIN:
            first, second = plain_pair(element)
            over = volts[element.terminals[first]] - volts[element.terminals[second]]
            for what, unit, value in plain_values(element, 0.0 if math.isnan(over) else over):
                words = _plain_words(element, what, value, solution)
                reading = Reading(element.address, what, value, unit, words)
                found[reading.key] = reading
            continue

        def across(first: str, second: str, at: Mapping[str, int] = element.terminals) -> Floats:
            over = volts[at[first]] - volts[at[second]]
            return np.array([0.0 if math.isnan(over) else over])

        for values in element_values(harness, element, across):
            words = _words(element, values, solution, across)
            reading = _reading(values, words)
            found[reading.key] = reading
    for values in passed_values(harness, solution):
        value = float(values.values[0])
        reading = _reading(values, _passed_words(harness, values, value, solution))
        found[reading.key] = reading
    return found


def passed_values(harness: Harness, solution: Solution) -> Iterator[Values]:
    """Yield the readings of flashers and ammeters, which current passes through."""
    import numpy as np

    for part in harness.parts.values():
        if part.kind in ("flasher", "ammeter") and part.id in solution.network.joints:
            amperes = np.array([solution.joint(part.id).amperes])
            if part.kind == "flasher":
                yield flasher_rate(part.id, part.ratings, amperes)
            else:
                yield by_scale(part.id, part.ratings.scale, "ampere", amperes, "A")


def _reading(values: Values, words: str) -> Reading:
    value = float(values.values[0])
    return Reading(values.id, values.what, None if math.isnan(value) else value, values.unit, words)


def _plain_words(element: Element, what: str, value: float, solution: Solution) -> str:
    if what == "light":
        return f"{value:.0f} % light" if value >= 0.5 else "dark"
    state = f", {solution.states[element.address]}" if element.kind == "relay" else ""
    return f"{value:z.2f} V{state}"


def _words(element: Element, values: Values, solution: Solution, across: Across) -> str:
    value = float(values.values[0])
    if values.what == "speed":
        return "stands" if value < 0.5 else f"{value:.0f} % speed"
    if values.what == "volts":
        return _plain_words(element, "volts", value, solution)
    if element.kind == "control_unit":
        return _sensor_words(element, value, values.unit, across)
    if values.what == "needle":
        if math.isnan(value):
            return "no supply, needle anywhere"
        return scales.mark_words(element.ratings.scale.marks, value)
    return f"sees {value:.1f} Ω" if values.unit == "Ω" else f"{value:z.2f} {values.unit}"


def _sensor_words(element: Element, value: float, unit: str, across: Across) -> str:
    if unfed(element, across)[0]:
        return "no supply, reads nothing"
    seen = sensor_volts(element, across)
    volts = float(seen[0][0]) if seen else math.nan
    if math.isnan(value):
        return f"{volts:z.3f} V, out of range"
    return f"{value:.1f} {unit} ({volts:z.3f} V)"


def _passed_words(harness: Harness, values: Values, value: float, solution: Solution) -> str:
    if values.what == "rate":
        dark = abs(solution.joint(values.id).amperes) < scales.NO_CURRENT_A
        return f"{value:.0f} flashes a minute" if value else ("dark" if dark else "stays lit")
    if values.what == "measured":
        return f"{value:z.2f} A"
    marks = harness.parts[values.id].ratings.scale.marks
    return f"{solution.joint(values.id).amperes:z.1f} A, {scales.mark_words(marks, value)}"


@dataclass(frozen=True, slots=True)
class Change:
    """A reading in a clean harness and now; `weight` is the change against what a person notices."""

    reading: str
    clean: float | None
    bad: float | None
    unit: str
    weight: float


def compare(clean: Mapping[str, Reading], now: Mapping[str, Reading]) -> list[Change]:
    """Return the readings that differ, the most noticeable first."""
    import numpy as np

    changes = []
    for key, reading in now.items():
        before = clean.get(key)
        if before is None:
            continue
        clean_value = math.nan if before.value is None else before.value
        now_value = np.array([math.nan if reading.value is None else reading.value])
        weight = float(weights(clean_value, reading.what, reading.unit, now_value)[0])
        if weight > 1e-5:  # a microvolt: less is how an iteration came to rest
            changes.append(Change(key, before.value, reading.value, reading.unit, weight))
    return sorted(changes, key=lambda c: -round(c.weight, 6))


def one_each(changes: Sequence[Change]) -> list[Change]:
    """Return one change of each part, the most noticeable first: what one sees of it rather than its volts."""
    own: dict[str, Change] = {}
    for change in sorted(
        changes, key=lambda c: (c.weight < 1.0, c.reading.endswith(" volts"), -round(c.weight, 6), c.reading)
    ):
        own.setdefault(change.reading.partition(" ")[0].partition("/")[0], change)
    return sorted(own.values(), key=lambda c: (-round(c.weight, 6), c.reading))
