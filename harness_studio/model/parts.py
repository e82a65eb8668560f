"""A part: a device with terminals."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .entities import Maker, Reach
from .kinds import KINDS, Kind
from .values import IdText, Mount, Spot


@dataclass(frozen=True, slots=True)
class Part:
    """A device with terminals; `ratings` is the dataclass of its kind, its fields stand flat in the file."""

    id: str
    kind: str
    ratings: Any
    title: str | None = None
    zone: IdText | None = None
    at: Spot | None = None
    mount: Mount | None = None
    circuit: str | None = None
    reach: Reach | None = None
    part_number: str | None = None
    made_by: Maker | None = None
    known_as: str | None = None
    note: str | None = None

    @property
    def about(self) -> Kind:
        """The kind."""
        return KINDS[self.kind]

    def terminals(self) -> tuple[str, ...] | None:
        """Return the names of the terminals, or None when any name is one."""
        return self.about.terminals(self.ratings)


def make_part(part_id: str, kind: str, *, common: dict[str, Any] | None = None, **ratings: Any) -> Part:
    """Build a part of a kind from its ratings; `common` holds title, zone, mount and the like.

    Raises
    ------
    KeyError
        If there is no such kind.
    """
    return Part(id=part_id, kind=kind, ratings=KINDS[kind].ratings(**ratings), **(common or {}))
