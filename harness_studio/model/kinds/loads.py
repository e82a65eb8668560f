"""Things that turn current into heat, light or motion."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from harness_studio.model.values import Mohm, NameText, NotNegative, Positive


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistor or heater: its ohms, or watts at rated volts."""

    ohm: NotNegative | None = None
    rated_v: Positive | None = None
    rated_w: Positive | None = None
    tempco_per_k: float = 0.0
    inrush_a: Positive | None = None


@dataclass(frozen=True, slots=True)
class Filament:
    """One element of a lamp between two of its terminals."""

    between: tuple[NameText, NameText]
    rated_v: Positive | None = None
    rated_w: Positive | None = None


@dataclass(frozen=True, slots=True)
class Lamp:
    """A filament lamp: one filament by its ratings, or several named elements."""

    rated_v: Positive | None = None
    rated_w: Positive | None = None
    elements: Mapping[str, Filament] = field(default_factory=dict)
    hot_to_cold: Positive = 10.0


@dataclass(frozen=True, slots=True)
class Motor:
    """A permanent-magnet motor and what it drives."""

    torque: Literal["fan", "centrifugal", "constant"] = "fan"
    rated_v: Positive | None = None
    rated_a: Positive | None = None
    stall_a: Positive | None = None
    inrush_a: Positive | None = None


@dataclass(frozen=True, slots=True)
class Starter:
    """A starter with pull-in and hold-in windings."""

    rated_v: Positive | None = None
    crank_a: Positive | None = None
    stall_a: Positive | None = None
    pull_in_ohm: Positive | None = None
    hold_in_ohm: Positive | None = None
    pull_in_v: Positive | None = None
    drop_out_v: Positive | None = None
    contact_mohm: Mohm | None = None


@dataclass(frozen=True, slots=True)
class IgnitionCoil:
    """The primary of an ignition coil."""

    ohm: Positive | None = None
    rated_v: Positive | None = None
    mean_a: Positive | None = None


@dataclass(frozen=True, slots=True)
class Converter:
    """A load that takes constant power while its supply is high enough."""

    rated_w: Positive | None = None
    rated_v: Positive | None = None
    cut_out_v: NotNegative | None = None
    cut_in_v: NotNegative | None = None


@dataclass(frozen=True, slots=True)
class CurrentLoad:
    """A load that takes constant current, such as a regulated lamp."""

    rated_a: Positive | None = None
    rated_v: Positive | None = None


@dataclass(frozen=True, slots=True)
class Led:
    """A light-emitting diode with its series resistor."""

    rated_a: Positive | None = None
    rated_v: Positive | None = None
    forward_v: Positive | None = None
    series_ohm: NotNegative | None = None


@dataclass(frozen=True, slots=True)
class Diode:
    """A diode: saturation current and emission coefficient of the Shockley law, series resistance."""

    saturation_a: Positive | None = None
    emission: Positive | None = None
    series_ohm: NotNegative | None = None
    rated_a: Positive | None = None


def plain_terminals(_: object) -> tuple[str, ...]:
    """Return 1 and 2."""
    return ("1", "2")


def lamp_terminals(lamp: Lamp) -> tuple[str, ...]:
    """Return the terminals its elements name, in order; else 1 and 31."""
    if not lamp.elements:
        return ("1", "31")
    return tuple(dict.fromkeys(t for e in lamp.elements.values() for t in e.between))


def motor_terminals(_: object) -> tuple[str, ...]:
    """Return 15 (feed) and 31 (return)."""
    return ("15", "31")


def starter_terminals(_: Starter) -> tuple[str, ...]:
    """Return 30 (battery), 50 (control) and 31 (case), DIN 72552."""
    return ("30", "50", "31")


def coil_terminals(_: IgnitionCoil) -> tuple[str, ...]:
    """Return 15 (feed) and 1 (contact breaker or driver), DIN 72552."""
    return ("15", "1")


def diode_terminals(_: object) -> tuple[str, ...]:
    """Return anode and cathode."""
    return ("A", "K")
