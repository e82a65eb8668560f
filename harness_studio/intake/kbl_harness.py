"""From what was read of a KBL file to entities of the model."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from itertools import pairwise

from harness_studio.model.entities import Body, Ground, Half, Multicore, Splice, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part
from harness_studio.model.values import Cavity, Contact, End

from .kbl_bundle import Bundle, in_order
from .kbl_connectors import CavityRead, ConnectorRead, Connectors, Landing
from .kbl_context import Context, part_number
from .kbl_index import Names, named
from .kbl_mates import pairs_to_write
from .kbl_wires import Conductor, Touch, Wires
from .xml_tree import Element

UNKNOWN_BODY = "unknown"
"""The body that ring terminals of a file are assumed to sit on: a file of wires says nothing about metal."""

Rings = dict[ConnectorRead, dict[Element, list[str]]]
"""Ring terminal taken as a ground → its contacts → the wires crimped in each."""
Place = tuple[str, str]
"""A connector and a cavity, as the file names them."""


@dataclass(frozen=True, slots=True)
class WireRow:
    """One conductor in the file's own words, beside the wires it became (several where it is tapped on its way)."""

    number: str | None
    kind: str
    csa: str | None
    colour: str
    length_mm: float | None
    a: Place | None
    b: Place | None
    signal: str | None
    wires: tuple[str, ...]


@dataclass(slots=True)
class Builder:
    """Puts entities into a harness, one section after the other."""

    context: Context
    connectors: Connectors
    wires: Wires
    bundle: Bundle
    parts: list[Part]
    grounds: set[ConnectorRead]
    harness: Harness

    def build(self) -> tuple[WireRow, ...]:
        """Fill the harness; return the rows of its conductors."""
        tables = self.harness.tables
        tables["breakouts"] |= self.bundle.breakouts
        tables["runs"] |= self.bundle.runs
        tables["parts"] |= {part.id: part for part in self.parts}
        rings: Rings = {}
        wires_of: dict[Conductor, tuple[str, ...]] = {}
        rows = []
        for conductor in self.wires.conductors:
            made = self._conductor(conductor, rings)
            wires_of[conductor] = made
            rows.append(_row(conductor, made))
        self._put_connectors(rings)
        self._put_multicores(wires_of)
        return tuple(rows)

    # ----- wires

    def _conductor(self, conductor: Conductor, rings: Rings) -> tuple[str, ...]:
        """Put one conductor: one wire, or one for each piece between the places that tap it."""
        touches = _both(conductor)
        names = self.context.names
        if conductor.number is None and conductor.connection is conductor.element:
            first, known_as = names.make("W"), None
        else:
            first, known_as = names.claim(conductor.number, conductor.element, "wire", prefix="W")
        if len(touches) == 2:
            self._wire(conductor, first, known_as, (touches[0], touches[1]), rings)
            return (first,)
        self.context.report.warn(
            conductor.connection,
            f"wire {conductor.number} has {len(touches)} ends; "
            f"it becomes {len(touches) - 1} wires in a row, without runs",
        )
        ids = [first, *(names.another(first) for _ in touches[2:])]
        for new_id, ends in zip(ids, pairwise(touches), strict=True):
            self._wire(conductor, new_id, conductor.number, ends, rings)
        return tuple(ids)

    def _wire(
        self,
        conductor: Conductor,
        new_id: str,
        known_as: str | None,
        touches: tuple[Touch, Touch],
        rings: Rings,
    ) -> None:
        """Put one wire and note it at the rings it is crimped in."""
        tapped = len(conductor.touches) > 2
        a, b = touches
        length_mm = conductor.length.value if conductor.length else None
        if length_mm is not None and tapped:
            length_mm = round(length_mm * (b.position - a.position), 6)
        area = conductor.part.area
        self.harness.wires[new_id] = Wire(
            new_id,
            self._ends(conductor, a, b),
            area_mm2=area.value if area else None,
            awg=area.awg if area else None,
            material=conductor.part.material,
            colour=conductor.part.colour,
            insulation=conductor.part.insulation,
            circuit=conductor.signal,
            length_mm=length_mm,
            runs=() if tapped else self._runs(conductor),
            known_as=known_as,
            note="; ".join(conductor.notes) or None,
        )
        for touch in (a, b):
            if touch.landing and touch.landing.connector in self.grounds:
                on_ring = rings.setdefault(touch.landing.connector, {}).setdefault(touch.landing.contact, [])
                if new_id not in on_ring:
                    on_ring.append(new_id)

    def _ends(self, conductor: Conductor, a: Touch, b: Touch) -> tuple[End, End]:
        first, second = self._end(a, conductor), self._end(b, conductor)
        if first == second and first.point:
            self.context.report.warn(
                conductor.connection,
                f"both ends of wire {conductor.number} are at {first}; the second is left open",
            )
            second = End("words", f"back to {first}, as the file says")
        return first, second

    def _end(self, touch: Touch, conductor: Conductor) -> End:
        if touch.landing is not None:
            return End("point", self._point(touch.landing))
        if touch.words:
            return End("words", touch.words)
        return End("cut") if conductor.unconnected else End("unknown")

    def _point(self, landing: Landing) -> str:
        connector = landing.connector
        if connector.usage == "splice" or connector in self.grounds:
            return connector.id
        return f"{connector.id}.{landing.cavity.name}"

    def _runs(self, conductor: Conductor) -> tuple[str, ...]:
        """Return the runs of a conductor in order from its first end, as the file has them if that cannot be."""
        runs = self.bundle.routes.get(conductor.connection, ()) if conductor.connection else ()
        if not runs:
            return ()
        start, end = (self._breakout(touch) for touch in _both(conductor))
        way = in_order(runs, self.bundle.runs, start, end)
        if way is None:
            self.context.report.warn(
                conductor.connection,
                f"the segments of wire {conductor.number} are no way between its ends; kept as listed",
            )
        return runs if way is None else way

    def _breakout(self, touch: Touch) -> str | None:
        spot = self.bundle.at.get(touch.landing.connector) if touch.landing else None
        return spot.breakout if spot else None

    # ----- connectors

    def _put_connectors(self, rings: Rings) -> None:
        """Put halves, splices and grounds, and the body under the grounds."""
        wired = {t.landing.cavity for c in self.wires.conductors for t in c.touches if t.landing}
        both: Counter[str] = Counter()
        for connector in self.connectors.items:
            at = self.bundle.at.get(connector)
            common = {
                "title": connector.title,
                "at": at,
                "known_as": connector.known_as,
                "note": connector.note,
            }
            if connector.usage == "splice":
                self.harness.splices[connector.id] = Splice(connector.id, **common)  # type: ignore[arg-type]
            elif connector in self.grounds:
                stack = tuple(tuple(wires) for wires in rings.get(connector, {}).values())
                self.harness.grounds[connector.id] = Ground(
                    connector.id, place=f"{UNKNOWN_BODY}.{connector.id}", stack=stack, assumed=True,
                    **common,  # type: ignore[arg-type]
                )  # fmt: skip
            else:
                both[connector.original] += sum(
                    c.plug is not None and c in wired for c in connector.cavities.values()
                )
                half = Half(connector.id, **common)  # type: ignore[arg-type]
                self.harness.halves[connector.id] = self._half(half, connector, wired)
        if both.total():
            at_most = ", ".join(name for name, count in both.items() if count)
            self.context.report.warn(
                None,
                f"{both.total()} cavities have both a plug and a wire; the wire is taken (connectors {at_most})",
            )
        self._put_body()

    def _put_body(self) -> None:
        if self.grounds:
            self.harness.bodies[UNKNOWN_BODY] = Body(
                UNKNOWN_BODY,
                title="metal that the file says nothing about",
                places_mohm=dict.fromkeys(self.harness.grounds, 0.0),
                assumed=True,
                note="assumed on import: all ring terminals sit on one piece of metal without resistance",
            )

    def _half(self, half: Half, connector: ConnectorRead, wired: set[CavityRead]) -> Half:
        cavities = {c.name: self._cavity(c, c in wired) for c in connector.cavities.values()}
        contacts = {c.contact for c in connector.cavities.values() if c.contact}
        common: Contact | None = None
        if len(contacts) == 1:  # said once for the whole half
            common = next(iter(contacts))
            cavities = {name: replace(c, contact=None) for name, c in cavities.items()}
        kept = connector.usage == "ring"
        note = "; ".join(
            t for t in ("ring terminal on a feed, not a ground" if kept else None, connector.note) if t
        )
        return replace(
            half,
            part=connector.part,
            contact=common,
            cavities=cavities,
            sealed=any(c.seal or c.plug == "fitted" for c in cavities.values()),
            mates={other.id: pairs_to_write(connector, other) for other in connector.mates},
            part_number=connector.part_number,
            note=note or None,
        )

    def _cavity(self, read: CavityRead, wired: bool) -> Cavity:
        plugged = read.plug is not None and not wired
        number = (
            part_number(self.context.part_of(read.plug, "Cavity_plug")) if plugged and read.plug else None
        )
        return Cavity(
            terminal=read.terminal,
            plug="fitted" if plugged else None,
            seal=read.seal,
            contact=read.contact,
            note=f"plug {number}" if number else None,
        )

    # ----- multicores

    def _put_multicores(self, wires_of: dict[Conductor, tuple[str, ...]]) -> None:
        """Put the multicores; a core that is tapped stands there with its first piece."""
        names = Names(self.context.report)
        for cable in self.wires.cables:
            new_id, known_as = names.claim(cable.original, cable.element, "multicore", prefix="C")
            shield = wires_of[cable.shield][0] if cable.shield else None
            wires = tuple(wires_of[c][0] for c in cable.conductors)
            if not wires and shield is None:
                self.context.report.warn(cable.element, f"{named(cable.element)} holds no wire")
                continue
            self.harness.multicores[new_id] = Multicore(
                new_id, wires, twisted=cable.twisted, shield=shield, title=cable.title, known_as=known_as
            )


def _row(conductor: Conductor, wires: tuple[str, ...]) -> WireRow:
    places: list[Place | None] = [
        (t.landing.connector.original, t.landing.cavity.number) if t.landing else None
        for t in conductor.touches
    ]
    area = conductor.part.area
    return WireRow(
        number=conductor.number,
        kind=conductor.kind,
        csa=area.text if area else None,
        colour=conductor.part.colour_text,
        length_mm=conductor.length.value if conductor.length else None,
        a=places[0] if places else None,
        b=places[-1] if len(places) > 1 else None,
        signal=conductor.signal,
        wires=wires,
    )


def _both(conductor: Conductor) -> list[Touch]:
    """Return where a conductor ends, with open ends for those that are missing."""
    return conductor.touches + [Touch(1.0) for _ in range(2 - len(conductor.touches))]
