"""The readings and sightings of a case that can enter the sum, and a plain word about each that cannot."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from harness_studio.base.errors import nearest
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network

METER_PART, METER_V = 0.005, 0.002
METER = {
    "volts": (METER_PART, METER_V),
    "fuse_mv": (METER_PART, 0.0002),
    "amperes": (0.02, 0.1),
    "ohms": (0.01, 0.2),
}
"""Accuracy of a meter where the case does not say it: 0.5 % + 2 mV, 0.5 % + 0.2 mV on its millivolts, a clamp 2 % +
0.1 A, ohms 1 % + 0.2 Ω with ordinary leads (common practice, no source)."""
COLD_PART = 0.2
"""What is not known of cold loads between two tips, as a part of the ohms above one (common practice, no source)."""
APART = 5.0
"""Standard deviations of the meter by which two readings of one thing contradict each other."""
TOLD = frozenset({"up", "down", "stays", "dead", "flickers", "to an end", "glows when off"})
"""What of the things seen a prediction can be held against."""


MeasuredKind = Literal["volts", "amperes", "ohms"]
OFF_WORDS = ("power off", "battery off", "disconnected", "battery out")
"""Words of a case's vehicle state that say that nothing is fed."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading in a mode, with the meter's standard deviation; `words` name it.

    Volts or ohms are from `plus` to `minus`, amperes in `at`. `either_way` tells that its sign was not noted,
    `unwatched` that nobody saw whether the symptom was present.
    """

    mode: str | None
    plus: str
    minus: str
    value: float
    sigma: float
    words: str
    kind: MeasuredKind = "volts"
    at: str = ""
    either_way: bool = False
    unwatched: bool = False

    @property
    def where(self) -> str:
        """Where the tips or the clamp were."""
        return self.at if self.kind == "amperes" else f"{self.plus} to {self.minus}"

    @property
    def unit(self) -> str:
        """V, A or Ω."""
        return {"volts": "V", "amperes": "A", "ohms": "Ω"}[self.kind]


@dataclass(frozen=True, slots=True)
class Observed:
    """What enters the sum, and what was left out and why."""

    harness: Harness
    measured: tuple[Measured, ...]
    sightings: tuple[Sighting, ...]
    notes: tuple[str, ...]


def observed(harness: Harness, case: Case, network: Network | None = None) -> Observed:
    """Sort a case: what can be used, and a note for each thing that cannot. Nothing is raised for bad input.

    `network` is the harness expanded in no mode, where it is at hand.
    """
    network = network or expand(harness)
    measured: list[Measured] = []
    notes: list[str] = []
    for number, reading in enumerate(case.readings, 1):
        found = _measured(harness, network, case, reading, f"reading {number}")
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
    notes += _provocations(case, network)
    kept = _agreeing(measured, notes)
    return Observed(harness, tuple(kept), tuple(sightings), tuple(notes))


def _measured(harness: Harness, network: Network, case: Case, reading: Reading, words: str) -> Measured | str:
    why = _unusable(harness, case, reading)
    if why:
        return why
    value, spread = reading.value, 0.0
    if value is None and reading.least is not None and reading.greatest is not None:
        value = (reading.least + reading.greatest) / 2.0
        spread = abs(reading.greatest - reading.least) / 2.0
    if value is None or not math.isfinite(value):
        return "it has no value"
    kind, scale = ("volts", 1e-3) if reading.kind == "fuse_mv" else (reading.kind, 1.0)
    place = _place(harness, network, reading)
    if isinstance(place, str):
        return place
    plus, minus, at = place
    if kind == "ohms" and value < 0.0:
        return "ohms below zero: something is still fed, or the leads were not nulled"
    value *= scale
    part, least = METER[reading.kind]
    meter = part * abs(value) + least if reading.accuracy is None else reading.accuracy * scale
    if kind == "ohms":
        meter = math.hypot(meter, COLD_PART * max(value - 1.0, 0.0))
    return Measured(
        reading.mode,
        plus,
        minus,
        value,
        math.hypot(meter, spread * scale),
        words,
        "volts" if reading.kind == "fuse_mv" else reading.kind,
        at,
        reading.kind in ("amperes", "fuse_mv"),
        reading.symptom_present == "not watched",
    )


def _unusable(harness: Harness, case: Case, reading: Reading) -> str | None:
    if reading.after_mend:
        return "taken after the mend"
    if reading.symptom_present == "no":
        return "the symptom was absent, so it clears nothing"
    if reading.accuracy == 0.0:
        return "no meter has an accuracy of zero; leave it empty or give the meter's"
    if reading.mode is not None and reading.mode not in harness.modes:
        return _gone("mode", reading.mode, list(harness.modes))
    off = not any(p.kind == "battery" for p in harness.parts.values())
    off = off or any(w in (case.state or "").lower() for w in OFF_WORDS)
    value = reading.value if reading.value is not None else reading.greatest
    if off and value and reading.kind != "ohms":
        return f"{'amperes' if reading.kind == 'amperes' else 'volts'} with the power off"
    return None


def _place(harness: Harness, network: Network, reading: Reading) -> tuple[str, str, str] | str:
    """Return (plus, minus, at) of a reading, or why it has no place."""
    if reading.kind == "amperes":
        at = reading.at
        if at is None:
            return "it needs the wire that the clamp was on"
        if at not in network.joints and at not in network.branches.address:
            return _gone("wire", at, list(harness.wires))
        return "", "", at
    plus, minus = reading.plus, reading.minus
    if reading.kind == "fuse_mv":
        if reading.at is None or f"{reading.at}.in" not in network.index:
            return _gone("fuse", reading.at or "", [p.id for p in harness.parts.values() if p.kind == "fuse"])
        plus, minus = f"{reading.at}.in", f"{reading.at}.out"
    if plus is None or minus is None:
        return "it needs both tips"
    for point in (plus, minus):
        if point not in network.index:
            return _gone("point", point, list(network.index))
    if network.index[plus] == network.index[minus]:
        return "both tips are on the same point"
    return plus, minus, ""


def _provocations(case: Case, network: Network) -> list[str]:
    return [
        f"provocation {n} left out: {_gone('joint', p.at, list(network.joints))}"
        for n, p in enumerate(case.provocations, 1)
        if p.at is not None and p.at not in network.joints
    ]


def _gone(what: str, name: str, known: list[str]) -> str:
    near = nearest(name, known)
    return f"there is no {what} '{name}' any more" + (f"; nearest is '{near}'" if near else "")


def _sighting(harness: Harness, network: Network, sighting: Sighting) -> str | None:
    passed = {p.id for p in harness.parts.values() if p.kind in ("flasher", "ammeter")}
    if sighting.on not in passed and not any(sighting.on in (e.address, e.part) for e in network.elements):
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
            same = (one.kind, one.mode, one.where) == (other.kind, other.mode, other.where)
            if same and abs(one.value - other.value) > APART * math.hypot(one.sigma, other.sigma):
                wrong.update((i, j))
                notes.append(f"{other.words} and {one.words} contradict each other; both left out")
    return [m for i, m in enumerate(measured) if i not in wrong]
