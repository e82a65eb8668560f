"""A case: what was complained of, seen, provoked, measured and mended."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from .values import DateText, ElementText, IdText, JointText, NotNegative, PointText, Positive

SeenChange = Literal[
    "up", "down", "to an end", "stays", "flickers", "dead", "glows when off", "wrong lamp works", "clicks",
    "cuts out when hot", "browned or warm plug", "smell", "fuse blew", "misfires",
]  # fmt: skip
Means = Literal["wiggle", "push", "heat", "cold", "wet", "bump", "steering lock", "hinge", "after minutes"]


@dataclass(frozen=True, slots=True)
class Sighting:
    """From one mode to another, this thing did that."""

    on: ElementText
    seen: SeenChange
    from_mode: IdText | None = None
    to_mode: IdText | None = None
    strength: Literal["slight", "strong"] | None = None
    times: tuple[int, int] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Provocation:
    """What was done to bring the fault on, and what it did."""

    means: Means
    at: JointText | None = None
    minutes: Positive | None = None
    did: str | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One measurement. Volts are from the plus tip to the minus tip; `least` and `greatest` are over a time."""

    kind: Literal["volts", "amperes", "ohms", "fuse_mv"]
    mode: IdText | None = None
    plus: PointText | None = None
    minus: PointText | None = None
    at: IdText | None = None
    value: float | None = None
    least: float | None = None
    greatest: float | None = None
    over_s: Positive | None = None
    accuracy: NotNegative | None = None
    current_confirmed: bool = False
    symptom_present: Literal["yes", "no", "not watched"] = "not watched"
    date: DateText | None = None
    note: str | None = None
    after_mend: bool = False


@dataclass(frozen=True, slots=True)
class Mend:
    """What was done about it."""

    did: str
    on: tuple[str, ...] = ()
    date: DateText | None = None
    made_by: str | None = None


@dataclass(frozen=True, slots=True)
class Case:
    """A complaint and everything that was learned about it."""

    id: str
    complaint: str = ""
    state: str | None = None
    date: DateText | None = None
    odometer_km: NotNegative | None = None
    sightings: tuple[Sighting, ...] = ()
    provocations: tuple[Provocation, ...] = ()
    readings: tuple[Reading, ...] = ()
    disturbed: tuple[str, ...] = ()
    found_good: tuple[str, ...] = ()
    mends: tuple[Mend, ...] = ()
    fault_made_to_come_back: bool | None = None
    closed: bool = False
    note: str | None = None
