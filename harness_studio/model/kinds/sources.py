"""Batteries and generators."""

from __future__ import annotations

from dataclasses import dataclass

from harness_studio.model.values import Mohm, NotNegative, Positive


@dataclass(frozen=True, slots=True)
class Battery:
    """A battery; terminal 31 is the grounded post of a negative-ground vehicle, 30 of a positive-ground one."""

    rest_v: Positive | None = None
    capacity_ah: Positive | None = None
    internal_mohm: Mohm | None = None
    charge_mohm: Mohm | None = None
    cranking_a: Positive | None = None


@dataclass(frozen=True, slots=True)
class Alternator:
    """An alternator or dynamo with its regulator."""

    set_v: Positive | None = None
    droop_mohm: Mohm | None = None
    max_a: Positive | None = None
    idle_hot_a: NotNegative | None = None
    sense: str | None = None


def battery_terminals(_: Battery) -> tuple[str, ...]:
    """Return the posts of a battery (DIN 72552: 30 positive, 31 negative)."""
    return ("30", "31")


def alternator_terminals(_: Alternator) -> tuple[str, ...]:
    """Return the terminals of a generator (DIN 72552 B+, B-, D+; S is the sense terminal)."""
    return ("B+", "B-", "D+", "S")
