"""A harness in a few words a line: what tests are built with.

s = Sketch()
s.battery()
s.body("shell", bed=0.6)
s.part("E1", "lamp", rated_v=13.5, rated_w=21.0)
s.ground("GP1", "shell.bed")
s.wire("GB1.30", "E1.1", area_mm2=1.5, mm=2000)
s.wire("E1.31", "GP1")
harness = s.done()
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from harness_studio.base.changes import Changes
from harness_studio.model.edits import check_references
from harness_studio.model.entities import (
    Body,
    Bond,
    Breakout,
    Ground,
    Half,
    JointRecord,
    Mode,
    Run,
    Settings,
    Splice,
    Wire,
    Zone,
)
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import Cavity, Contact, End, Face, Mount


class Sketch:
    """Grows a harness; `done` checks that everything it names is there."""

    def __init__(self, title: str = "invented", **settings: Any) -> None:
        self.harness = Harness()
        self.harness.tables["settings"][""] = Settings(title=title, **settings)
        self._wires = 0

    def _add(self, section: str, entity: Any) -> str:
        table = self.harness.tables[section]
        assert entity.id not in table, f"{entity.id} is there already"
        table[entity.id] = entity
        return str(entity.id)

    def body(self, body_id: str, places: Mapping[str, float] | None = None, **places_mohm: float) -> str:
        """Add a body, or more places to one that is there."""
        known = self.harness.bodies.get(body_id, Body(body_id))
        more = {**known.places_mohm, **(places or {}), **places_mohm}
        self.harness.bodies[body_id] = replace(known, places_mohm=more)
        return body_id

    def bond(self, bond_id: str, first: str, second: str, mohm: float) -> str:
        return self._add("bonds", Bond(bond_id, (first, second), mohm))

    def zone(self, zone_id: str, **fields: Any) -> str:
        return self._add("zones", Zone(zone_id, **fields))

    def breakout(self, breakout_id: str, zone: str) -> str:
        return self._add("breakouts", Breakout(breakout_id, zone))

    def run(self, run_id: str, first: str, second: str, mm: float) -> str:
        return self._add("runs", Run(run_id, (first, second), mm))

    def trunk(self, breakouts: int, pieces: int, mm: float) -> None:
        """Add breakouts b0, b1, ... in one zone, the first of them joined by runs t0, t1, ... of one length."""
        zone = self.zone("z")
        for n in range(breakouts):
            self.breakout(f"b{n}", zone)
        for n in range(pieces):
            self.run(f"t{n}", f"b{n}", f"b{n + 1}", mm)

    def part(
        self,
        part_id: str,
        kind: str,
        *,
        mount: tuple[str, str] | None = None,
        zone: str | None = None,
        circuit: str | None = None,
        **ratings: Any,
    ) -> str:
        """Add a part; `mount` is (terminal, place) of a case bolted to metal."""
        common = {"zone": zone, "circuit": circuit, "mount": Mount(*mount) if mount else None}
        return self._add("parts", make_part(part_id, kind, common=common, **ratings))

    def battery(self, battery_id: str = "GB1", **ratings: Any) -> str:
        """Add a battery of 12.65 V behind 8 mΩ unless said otherwise."""
        return self.part(battery_id, "battery", **{"rest_v": 12.65, "internal_mohm": 8.0, **ratings})

    def switch(self, switch_id: str, kind: str = "switch", **positions: Iterable[tuple[str, ...]]) -> str:
        """Add a switch; each position lists the groups of terminals that it joins."""
        return self.part(switch_id, kind, positions={k: tuple(v) for k, v in positions.items()})

    def half(
        self,
        half_id: str,
        cavities: Iterable[str] = (),
        *,
        part: str | None = None,
        mates: str | Mapping[str, Mapping[str, str] | None] | None = None,
        tab_mm: float | None = 2.8,
        terminals: Mapping[str, str] | None = None,
        face: bool = True,
        **fields: Any,
    ) -> str:
        """Add a connector half with a face of rows of six; `terminals` maps cavities to those of its part."""
        names = tuple(cavities)
        rows = tuple(names[i : i + 6] for i in range(0, len(names), 6))
        listed = {c: Cavity(terminal=t) for c, t in (terminals or {}).items()}
        if not face:
            listed = {**{c: Cavity() for c in names}, **listed}
        half = Half(
            half_id,
            part=part,
            mates={mates: None} if isinstance(mates, str) else dict(mates or {}),
            contact=Contact(tab_mm=tab_mm) if tab_mm else None,
            face=Face(rows=rows) if face and rows else None,
            cavities=listed,
            **fields,
        )
        return self._add("halves", half)

    def splice(self, splice_id: str, **fields: Any) -> str:
        return self._add("splices", Splice(splice_id, **fields))

    def ground(self, ground_id: str, place: str | None, stud: str | None = "M6", **fields: Any) -> str:
        return self._add("grounds", Ground(ground_id, place=place, stud=stud, **fields))

    def stack(self, ground_id: str, *rings: Iterable[str]) -> None:
        """Stack rings on a stud, the one next to the metal first."""
        ground = self.harness.grounds[ground_id]
        self.harness.grounds[ground_id] = replace(ground, stack=tuple(tuple(r) for r in rings))

    def wire(
        self,
        first: str | End,
        second: str | End,
        area_mm2: float | None = 1.5,
        mm: float | None = 1000.0,
        *,
        name: str | None = None,
        **fields: Any,
    ) -> str:
        """Add a wire; an end is a point's address, 'cut' or 'unknown', or an End. Names count up from W1."""
        self._wires += 1
        wire_id = name or f"W{self._wires}"
        return self._add(
            "wires", Wire(wire_id, (_end(first), _end(second)), area_mm2=area_mm2, length_mm=mm, **fields)
        )

    def mode(self, mode_id: str, **fields: Any) -> str:
        return self._add("modes", Mode(mode_id, **fields))

    def found(self, joint: str, mohm: float) -> str:
        """Record a joint as found, in milliohms in all."""
        return self._add("joints", JointRecord(joint, mohm))

    def done(self) -> Harness:
        """Return the harness, checked."""
        check_references(self.harness, Changes(added=frozenset(self.harness.refs())))
        return self.harness


def _end(end: str | End) -> End:
    if isinstance(end, End):
        return end
    return End(end) if end in ("cut", "unknown") else End("point", end)  # type: ignore[arg-type]
