"""Instruments and what they read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from harness_studio.model.values import Positive

OneOrTwoOhms = Annotated[tuple[float, ...], "one_or_more"]
"""One value, or a list of values."""


@dataclass(frozen=True, slots=True)
class Scale:
    """How a gauge's needle (0 to 1) follows what it reads: by ohms, volts, amperes, or share of full current."""

    ohm: Mapping[float, float] = field(default_factory=dict)
    volt: Mapping[float, float] = field(default_factory=dict)
    ampere: Mapping[float, float] = field(default_factory=dict)
    marks: Mapping[float, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Gauge:
    """A two-coil or bimetal gauge that reads a sender."""

    movement: Literal["two_coil", "bimetal"] = "two_coil"
    coil_ohm: OneOrTwoOhms = ()
    full_ma: Positive | None = None
    scale: Scale = field(default_factory=Scale)


@dataclass(frozen=True, slots=True)
class Stabiliser:
    """A gauge stabiliser: effective volts between its output and its own ground."""

    nominal_v: Positive = 10.0


@dataclass(frozen=True, slots=True)
class Instrument:
    """A voltmeter gauge or an ammeter."""

    ohm: Positive | None = None
    scale: Scale = field(default_factory=Scale)


@dataclass(frozen=True, slots=True)
class Sender:
    """A variable resistor: ohms over named states or over the quantity."""

    ohm: Mapping[str, float] = field(default_factory=dict)
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Ntc:
    """A thermistor: ohms over °C, or its value at 25 °C and B value."""

    ohm: Mapping[str, float] = field(default_factory=dict)
    r25_ohm: Positive | None = None
    b_k: Positive | None = None


def gauge_terminals(_: Gauge) -> tuple[str, ...]:
    """Return 15 (feed), S (sender) and 31."""
    return ("15", "S", "31")


def stabiliser_terminals(_: Stabiliser) -> tuple[str, ...]:
    """Return 15 (feed), out and 31."""
    return ("15", "out", "31")


def sender_terminals(_: Sender) -> tuple[str, ...]:
    """Return 1 and 31 (case)."""
    return ("1", "31")
