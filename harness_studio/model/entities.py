"""The things a harness is made of. Field names are the keys of the project file; units are in the names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from .values import (
    AsFound,
    At,
    AwgText,
    Cavity,
    ColourText,
    Contact,
    DateText,
    End,
    Face,
    FileText,
    IdText,
    JointText,
    Limits,
    Mates,
    Mohm,
    NameText,
    NotNegative,
    PointText,
    Positive,
    Ring,
    Spot,
    TracedPhoto,
)

Maker = Literal["factory", "previous owner", "us"]
Reach = Literal["at hand", "cover off", "under the vehicle", "unplug", "dismantle"]
Status = Literal["assumed", "measured", "confirmed", "dead"]
EngineState = Literal["off", "cranking", "idling", "running"]
LoadState = Literal["off", "on", "turning", "starting", "stall"]


@dataclass(frozen=True, slots=True)
class Settings:
    """What holds for the whole harness."""

    id: str = ""
    title: str = "Untitled harness"
    system_v: Positive = 12.0
    grounded: Literal["negative", "positive"] = "negative"
    limits: Limits = field(default_factory=Limits)
    designators: Literal["iec", "asme"] = "iec"
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Body:
    """Metal that carries return current: mΩ from each of its places to its centre."""

    id: str
    title: str | None = None
    places_mohm: Mapping[NameText, Mohm] = field(default_factory=dict)
    assumed: bool = False
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Bond:
    """A stray way between two places of bodies, such as a control cable. A strap is a wire."""

    id: str
    ends: tuple[PointText, PointText]
    mohm: Mohm
    title: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Zone:
    """A region of the vehicle."""

    id: str
    title: str | None = None
    ambient_c: float | None = None
    wet: bool = False
    flexes: bool = False


@dataclass(frozen=True, slots=True)
class Breakout:
    """A place where branches of the bundle part."""

    id: str
    zone: IdText | None = None
    title: str | None = None
    known_as: str | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """The bundle between two breakouts."""

    id: str
    ends: tuple[IdText, IdText]
    length_mm: NotNegative | None = None
    covering: str | None = None
    zone: IdText | None = None
    known_as: str | None = None


@dataclass(frozen=True, slots=True)
class Half:
    """A connector half. It mates other halves, or plugs onto a part.

    `mates` maps the id of each other half to a map own cavity → its cavity, or to None when equal names meet.
    """

    id: str
    title: str | None = None
    zone: IdText | None = None
    at: Spot | None = None
    part: IdText | None = None
    gender: Literal["pin", "socket"] | None = None
    sealed: bool = False
    mates: Mates = field(default_factory=dict)
    contact: Contact | None = None
    reach: Reach | None = None
    face: Face | None = None
    cavities: Mapping[NameText, Cavity] = field(default_factory=dict)
    part_number: str | None = None
    made_by: Maker | None = None
    known_as: str | None = None
    note: str | None = None

    def cavity_names(self) -> tuple[str, ...]:
        """Return the names of all cavities that are known: the face's, then the others listed."""
        shown = self.face.names() if self.face else ()
        return shown + tuple(n for n in self.cavities if n not in shown)


@dataclass(frozen=True, slots=True)
class Splice:
    """Wires joined to one another."""

    id: str
    title: str | None = None
    zone: IdText | None = None
    at: Spot | None = None
    method: Literal["crimp", "solder", "weld", "twisted", "tap", "terminal block"] | None = None
    sleeve: str | None = None
    made_by: Maker | None = None
    reach: Reach | None = None
    known_as: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Ground:
    """A ground point: a stud on a place of a body, with rings stacked on it, the one next to the metal first."""

    id: str
    title: str | None = None
    place: PointText | None = None
    zone: IdText | None = None
    at: Spot | None = None
    stud: str | None = None
    reach: Reach | None = None
    cleaned: DateText | None = None
    stack: tuple[tuple[IdText, ...], ...] = ()
    made_by: Maker | None = None
    assumed: bool = False
    known_as: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Wire:
    """One conductor from the first end to the second."""

    id: str
    ends: tuple[End, End]
    area_mm2: Positive | None = None
    awg: AwgText | None = None
    material: str = "copper"
    colour: ColourText | None = None
    insulation: str | None = None
    circuit: str | None = None
    length_mm: NotNegative | None = None
    runs: tuple[IdText, ...] = ()
    tails_mm: tuple[NotNegative, NotNegative] | None = None
    slack_mm: NotNegative | None = None
    marked: str | None = None
    status: Status | None = None
    as_found: AsFound | None = None
    made_by: Maker | None = None
    plan: Literal["keep", "extend", "move", "remove", "new"] | None = None
    done: tuple[Literal["cut", "crimped", "pulled", "fitted"], ...] = ()
    rings_to: tuple[Ring, ...] = ()
    rings_not: tuple[Ring, ...] = ()
    known_as: str | None = None
    note: str | None = None

    def other_end(self, at: str) -> End:
        """Return the end that is not at the point `at`."""
        return self.ends[1] if self.ends[0].point == at else self.ends[0]


@dataclass(frozen=True, slots=True)
class Multicore:
    """Wires in one sheath."""

    id: str
    wires: tuple[IdText, ...]
    twisted: bool = False
    shield: IdText | None = None
    title: str | None = None
    known_as: str | None = None


@dataclass(frozen=True, slots=True)
class Mode:
    """An operating mode: switch positions, engine state, loads, senders. What is not said comes from `like`."""

    id: str
    title: str | None = None
    like: IdText | None = None
    engine: EngineState | None = None
    set: Mapping[IdText, str] = field(default_factory=dict)
    loads: Mapping[IdText, LoadState] = field(default_factory=dict)
    senders: Mapping[IdText, str] = field(default_factory=dict)
    ambient_c: Mapping[IdText, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class JointRecord:
    """What was found at one joint; `mohm` is the total resistance where it differs from a clean joint."""

    id: JointText
    mohm: Mohm | None = None
    note: str | None = None
    seen: DateText | None = None
    made: Literal["crimp", "solder", "weld", "twisted", "tap"] | None = None
    made_by: Maker | None = None
    flexes: bool = False
    wet: bool = False
    hot: bool = False


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding the user accepts, with the reason."""

    id: str
    reason: str
    date: DateText | None = None


@dataclass(frozen=True, slots=True)
class Annotation:
    """A note with a leader to a thing or to one point of it."""

    id: str
    on: PointText
    text: str
    offset_mm: tuple[float, float] = (12.0, -8.0)


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture and what it shows."""

    id: str
    file: FileText
    on: tuple[IdText, ...] = ()
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Revision:
    """One line of the revision table."""

    id: str
    date: DateText | None = None
    author: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the diagram: where symbols stand, and the bend points that the user made."""

    id: str
    title: str | None = None
    items: Mapping[IdText, At] = field(default_factory=dict)
    wires: Mapping[IdText, tuple[tuple[float, float], ...]] = field(default_factory=dict)
    photo: TracedPhoto | None = None


@dataclass(frozen=True, slots=True)
class Origin:
    """Which ids came from which harness when two were brought together."""

    id: str
    ids: tuple[IdText, ...] = ()
