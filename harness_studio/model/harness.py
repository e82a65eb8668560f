"""The harness: settings and one dict per section, in the order of the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from harness_studio.base.changes import Ref

from .cases import Case
from .entities import (
    Accepted,
    Annotation,
    Body,
    Bond,
    Breakout,
    Ground,
    Half,
    JointRecord,
    Mode,
    Multicore,
    Origin,
    Page,
    Photo,
    Revision,
    Run,
    Settings,
    Splice,
    Wire,
    Zone,
)
from .parts import Part


class Entity(Protocol):
    """Anything with an id that stands in a section."""

    @property
    def id(self) -> str:
        """The key in its section."""
        ...


SECTIONS: Mapping[str, type[Any]] = {
    "settings": Settings,
    "bodies": Body,
    "bonds": Bond,
    "zones": Zone,
    "breakouts": Breakout,
    "runs": Run,
    "parts": Part,
    "halves": Half,
    "splices": Splice,
    "grounds": Ground,
    "wires": Wire,
    "multicores": Multicore,
    "modes": Mode,
    "joints": JointRecord,
    "origins": Origin,
    "cases": Case,
    "accepted": Accepted,
    "annotations": Annotation,
    "photos": Photo,
    "revisions": Revision,
    "pages": Page,
}
"""Sections in file order. `settings` holds one entity with the empty id; `pages` stands under `diagram:`."""

SHARED_IDS = ("bodies", "bonds", "parts", "halves", "splices", "grounds", "wires")
"""Sections whose ids are addresses: an id may stand in one of them only."""


def _tables() -> dict[str, dict[str, Any]]:
    tables: dict[str, dict[str, Any]] = {name: {} for name in SECTIONS}
    tables["settings"][""] = Settings()
    return tables


@dataclass(slots=True)
class Harness:
    """Everything in one project file. Entities are frozen; edits replace them in these dicts."""

    tables: dict[str, dict[str, Any]] = field(default_factory=_tables)

    @property
    def settings(self) -> Settings:
        """What holds for the whole harness."""
        found: Settings = self.tables["settings"][""]
        return found

    @property
    def bodies(self) -> dict[str, Body]:
        """Bodies by id."""
        return self.tables["bodies"]

    @property
    def bonds(self) -> dict[str, Bond]:
        """Stray bonds by id."""
        return self.tables["bonds"]

    @property
    def zones(self) -> dict[str, Zone]:
        """Zones by id."""
        return self.tables["zones"]

    @property
    def breakouts(self) -> dict[str, Breakout]:
        """Breakouts by id."""
        return self.tables["breakouts"]

    @property
    def runs(self) -> dict[str, Run]:
        """Runs by id."""
        return self.tables["runs"]

    @property
    def parts(self) -> dict[str, Part]:
        """Parts by id."""
        return self.tables["parts"]

    @property
    def halves(self) -> dict[str, Half]:
        """Connector halves by id."""
        return self.tables["halves"]

    @property
    def splices(self) -> dict[str, Splice]:
        """Splices by id."""
        return self.tables["splices"]

    @property
    def grounds(self) -> dict[str, Ground]:
        """Ground points by id."""
        return self.tables["grounds"]

    @property
    def wires(self) -> dict[str, Wire]:
        """Wires by id."""
        return self.tables["wires"]

    @property
    def multicores(self) -> dict[str, Multicore]:
        """Multicores by id."""
        return self.tables["multicores"]

    @property
    def modes(self) -> dict[str, Mode]:
        """Operating modes by id."""
        return self.tables["modes"]

    @property
    def joints(self) -> dict[str, JointRecord]:
        """Joints as found, by address."""
        return self.tables["joints"]

    @property
    def pages(self) -> dict[str, Page]:
        """Pages of the diagram by id."""
        return self.tables["pages"]

    def snapshot(self) -> Harness:
        """Return a harness that later edits do not touch (the dicts are copied, the frozen entities shared)."""
        return Harness({name: dict(table) for name, table in self.tables.items()})

    def refs(self) -> Iterator[Ref]:
        """Yield (section, id) of everything, in file order."""
        for section, table in self.tables.items():
            for key in table:
                yield section, key

    def section_of(self, entity_id: str) -> str | None:
        """Return the section that holds an addressable id, or None."""
        return next((s for s in SHARED_IDS if entity_id in self.tables[s]), None)

    def title_of(self, entity_id: str) -> str:
        """Return id and title as a person reads them, for example 'GP2 bed left rear corner'."""
        section = self.section_of(entity_id)
        title = getattr(self.tables[section][entity_id], "title", None) if section else None
        return f"{entity_id} {title}" if title else entity_id

    def body_places(self, body_id: str) -> tuple[str, ...]:
        """Return the addresses of a body's places."""
        return tuple(f"{body_id}.{place}" for place in self.bodies[body_id].places_mohm)

    def boxes_of_parts(self) -> dict[str, str]:
        """Return the box that holds it by the id of each part that sits in one."""
        return {
            held: box.id
            for box in self.parts.values()
            if box.kind == "box"
            for held in box.ratings.holds
            if held in self.parts
        }

    def taken_ids(self) -> set[str]:
        """Return every addressable id that is in use."""
        return {key for section in SHARED_IDS for key in self.tables[section]}
