"""The readings and sightings of a case that can enter the sum, and a plain word about each that cannot."""

from __future__ import annotations

import math
from dataclasses import dataclass

from harness_studio.base.errors import nearest
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network

METER_PART, METER_V = 0.005, 0.002
"""Accuracy of a meter where the case does not say it: 0.5 % + 2 mV (common practice, no source)."""
APART = 5.0
"""Standard deviations of the meter by which two readings of one thing contradict each other."""
TOLD = frozenset({"up", "down", "stays", "dead", "flickers", "to an end", "glows when off"})
"""What of the things seen a prediction can be held against."""


@dataclass(frozen=True, slots=True)
class Measured:
    """Volts from plus to minus in a mode, with the meter's standard deviation; `words` name it."""

    mode: str | None
    plus: str
    minus: str
    volts: float
    sigma_v: float
    words: str


@dataclass(frozen=True, slots=True)
class Observed:
    """What enters the sum, and what was left out and why."""

    measured: tuple[Measured, ...]
    sightings: tuple[Sighting, ...]
    notes: tuple[str, ...]


def observed(harness: Harness, case: Case) -> Observed:
    """Sort a case: what can be used, and a note for each thing that cannot. Nothing is raised for bad input."""
    network = expand(harness)
    measured: list[Measured] = []
    notes: list[str] = []
    for number, reading in enumerate(case.readings, 1):
        found = _measured(harness, network, reading, f"reading {number}")
        if isinstance(found, str):
            notes.append(f"reading {number} left out: {found}")
        else:
            measured.append(found)
    sightings = []
    for number, sighting in enumerate(case.sightings, 1):
        why = _sighting(harness, network, sighting)
        if why:
            notes.append(f"sighting {number} left out: {why}")
        else:
            sightings.append(sighting)
    kept = _agreeing(measured, notes)
    return Observed(tuple(kept), tuple(sightings), tuple(notes))


def _measured(harness: Harness, network: Network, reading: Reading, words: str) -> Measured | str:
    if reading.after_mend:
        return "taken after the mend"
    if reading.symptom_present == "no":
        return "the symptom was absent, so it clears nothing"
    if reading.accuracy == 0.0:
        return "no meter has an accuracy of zero; leave it empty or give the meter's"
    if reading.mode is not None and reading.mode not in harness.modes:
        return _gone("mode", reading.mode, list(harness.modes))
    value = reading.value
    spread = 0.0
    if value is None and reading.least is not None and reading.greatest is not None:
        value = (reading.least + reading.greatest) / 2.0
        spread = abs(reading.greatest - reading.least) / 2.0
    if value is None or not math.isfinite(value):
        return "it has no value"
    plus, minus, scale = reading.plus, reading.minus, 1.0
    if reading.kind == "fuse_mv":
        plus, minus, scale = f"{reading.at}.in", f"{reading.at}.out", 1e-3
    elif reading.kind != "volts":
        return f"{reading.kind} are kept, but not used yet"
    if plus is None or minus is None:
        return "it needs both tips"
    for point in (plus, minus):
        if point not in network.index:
            return _gone("point", point, list(network.index))
    if reading.kind == "volts" and _power_off(harness, reading) and value:
        return "volts with the power off"
    value *= scale
    meter = METER_PART * abs(value) + METER_V if reading.accuracy is None else reading.accuracy * scale
    return Measured(reading.mode, plus, minus, value, math.hypot(meter, spread * scale), words)


def _power_off(harness: Harness, reading: Reading) -> bool:
    return reading.mode is None and not any(p.kind == "battery" for p in harness.parts.values())


def _gone(what: str, name: str, known: list[str]) -> str:
    near = nearest(name, known)
    return f"there is no {what} '{name}' any more" + (f"; nearest is '{near}'" if near else "")


def _sighting(harness: Harness, network: Network, sighting: Sighting) -> str | None:
    if not any(sighting.on in (e.address, e.part) for e in network.elements):
        return _gone("load", sighting.on, [e.address for e in network.elements])
    for mode in (sighting.from_mode, sighting.to_mode):
        if mode is not None and mode not in harness.modes:
            return _gone("mode", mode, list(harness.modes))
    return None if sighting.seen in TOLD else f"'{sighting.seen}' is kept, but says nothing of volts"


def _agreeing(measured: list[Measured], notes: list[str]) -> list[Measured]:
    wrong: set[int] = set()
    for i, one in enumerate(measured):
        for j in range(i):
            other = measured[j]
            same = (one.mode, one.plus, one.minus) == (other.mode, other.plus, other.minus)
            if same and abs(one.volts - other.volts) > APART * math.hypot(one.sigma_v, other.sigma_v):
                wrong.update((i, j))
                notes.append(f"{other.words} and {one.words} contradict each other; both left out")
    return [m for i, m in enumerate(measured) if i not in wrong]
