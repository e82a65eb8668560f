"""Small values that entities are made of.

Every entity and value is a frozen dataclass whose field names are the keys of the project file. `Annotated` markers
(`Mohm`, `PointText`, ...) tell the file reader and the JSON Schema how a text is to be read; the value itself is plain.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

Mohm = Annotated[float, "mohm"]
"""Milliohms, 0 or more; `math.inf` is written 'open'."""
Positive = Annotated[float, "positive"]
"""A number above zero."""
NotNegative = Annotated[float, "not_negative"]
"""A number, 0 or more."""
PointText = Annotated[str, "point"]
"""Address of a point, for example X7.3, SP3, GP2, shell.bed_rear, W40@GP2."""
JointText = Annotated[str, "joint"]
"""Address of a joint, for example GP2/W40."""
ElementText = Annotated[str, "element"]
"""A part, or one element of it: P1, E5/tail."""
IdText = Annotated[str, "id"]
"""Id of another entity."""
NameText = Annotated[str, "name"]
"""Name of a terminal, cavity or place."""
ColourText = Annotated[str, "colour"]
"""IEC 60757 codes, base colour first: BN, BN/WH."""
AwgText = Annotated[str, "awg"]
"""AWG number: 14, 0, 2/0."""
DateText = Annotated[str, "date"]
"""A day, year-month-day."""
FileText = Annotated[str, "file"]
"""A path inside the project's folder."""
Mates = Annotated[Mapping[IdText, Mapping[NameText, NameText] | None], "mates"]
"""Own cavity → its cavity for each other half; None where equal names meet."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of a wire: a point, or an end that is only half known.

    `what` is 'point' (then `text` is its address), 'cut', 'unknown', or 'words' (then `text` says where it goes).
    """

    what: Literal["point", "cut", "unknown", "words"]
    text: str = ""

    @property
    def point(self) -> str | None:
        """The point's address, or None for an open end."""
        return self.text if self.what == "point" else None

    def __str__(self) -> str:
        return {"point": self.text, "words": f"'{self.text}'"}.get(self.what, self.what)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where along the harness a thing sits: at a breakout, or so many mm along a run from its first end."""

    breakout: IdText | None = None
    run: IdText | None = None
    mm: float | None = None


@dataclass(frozen=True, slots=True)
class Face:
    """A connector's face as seen in the named view; rows from the top, or free positions (x right, y up, mm)."""

    view: Literal["mating", "wire entry"] = "mating"
    rows: tuple[tuple[NameText | None, ...], ...] = ()
    at_mm: Mapping[NameText, tuple[float, float]] = field(default_factory=dict)
    outline: Literal["slab", "round"] = "slab"
    lock: Literal["top", "bottom", "left", "right"] | None = None

    def names(self) -> tuple[str, ...]:
        """Return the cavities the face shows, in reading order."""
        if self.rows:
            return tuple(n for row in self.rows for n in row if n is not None)
        return tuple(self.at_mm)


@dataclass(frozen=True, slots=True)
class Contact:
    """The crimped metal of a connector half."""

    tab_mm: Positive | None = None
    plating: str | None = None
    rated_a: Positive | None = None
    part_number: str | None = None
    crimp_mm2: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Cavity:
    """What is known about one cavity of a half."""

    function: str | None = None
    terminal: NameText | None = None
    plug: Literal["fitted", "missing"] | None = None
    seal: str | None = None
    needed: Literal["needed", "optional", "unused"] | None = None
    contact: Contact | None = None
    known_as: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Mount:
    """A part's case or foot that is bolted to metal: which terminal, on which place of a body."""

    terminal: NameText
    place: PointText


@dataclass(frozen=True, slots=True)
class AsFound:
    """What was found where it differs from what was designed."""

    colour: ColourText | None = None
    area_mm2: Positive | None = None
    awg: AwgText | None = None
    marked: str | None = None
    insulation: str | None = None
    ends: tuple[End, End] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Ring:
    """One result of ringing a wire out."""

    point: PointText
    date: DateText | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Override:
    """A limit that this project sets itself; the reason is printed."""

    value: float
    reason: str


@dataclass(frozen=True, slots=True)
class Limits:
    """The limit set in force, how ampacity is found (None: as the set says), and what the project overrides."""

    set: str = "road_workshop"
    ampacity: str | None = None
    override: Mapping[str, Override] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class At:
    """Where a symbol stands on a page: x and y of its middle in mm, and its turn in degrees (0, 90, 180, 270)."""

    x_mm: float
    y_mm: float
    turn: int = 0
    mirror: bool = False


@dataclass(frozen=True, slots=True)
class TracedPhoto:
    """A photo under the drawing."""

    file: FileText
    at: tuple[float, float] = (0.0, 0.0)
    mm_per_px: Positive = 0.5
    fade: float = 0.6
    locked: bool = True
