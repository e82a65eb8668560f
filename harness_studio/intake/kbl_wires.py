"""Conductors of a KBL file: single wires, cores of multicores, their lengths, and the connections that end them.

Of several lengths the first of this order is taken: one whose Length_type says production (the wire as it is cut), one
that says DMU (measured in the geometry), else the first; a length of 0 only where no other is given.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from .kbl_connectors import Connectors, Landing
from .kbl_context import Context, Key, Scope
from .kbl_index import named, said
from .kbl_units import Quantified
from .kbl_wire_parts import WirePart, WireParts
from .xml_tree import Element

_WIRES = ("Core_occurrence", "General_wire_occurrence")
_LENGTH_ORDER = (("production", "fertigung", "produktion", "manufactur", "cut"), ("dmu",))


@dataclass(slots=True, eq=False)
class Touch:
    """One place along a conductor where it meets something: where that is, and how far along (0 to 1)."""

    position: float
    landing: Landing | None = None
    words: str | None = None
    """Where it would be, if that is not read; neither this nor a landing where nothing is known."""


@dataclass(slots=True, eq=False)
class Conductor:
    """One conductor as read: a wire, or a core."""

    element: Element
    scope: Scope
    kind: str
    number: str | None
    part: WirePart
    length: Quantified | None
    length_type: str | None
    connection: Element | None = None
    signal: str | None = None
    touches: list[Touch] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    unconnected: bool = False


@dataclass(slots=True, eq=False)
class Cable:
    """A multicore, or a group of wires that are twisted together."""

    element: Element
    original: str | None
    conductors: list[Conductor]
    shield: Conductor | None
    twisted: bool
    title: str | None


@dataclass(slots=True)
class Wires:
    """All conductors that are read, in the order of the file."""

    conductors: list[Conductor] = field(default_factory=list)
    cables: list[Cable] = field(default_factory=list)
    by_element: dict[Key, Conductor] = field(default_factory=dict)


def read_wires(context: Context, connectors: Connectors) -> Wires:
    """Return every conductor of the chosen modules with where it ends."""
    wires = Wires()
    parts = WireParts(context)
    for scope, occurrence in context.occurrences("General_wire_occurrence"):
        general = context.part_of(occurrence, "General_wire")
        if "Special_wire_occurrence" in occurrence.kind or occurrence.all("Core_occurrence"):
            _read_cable(context, wires, parts, scope, occurrence, general)
        else:
            _add(wires, _conductor(context, scope, occurrence, parts.of(general), occurrence.kind))
    for (assembly, original), specified in context.stand_ins.items():
        conductor = wires.by_element.get((None, specified))
        if conductor is not None:
            wires.by_element[(assembly, original)] = conductor
    for scope, connection in context.occurrences("Connection"):
        _read_connection(context, connectors, wires, parts, scope, connection)
    for scope, group in context.occurrences("Wiring_group"):
        _read_group(context, wires, scope, group)
    for conductor in wires.conductors:
        if conductor.connection is None and not conductor.unconnected:
            element = conductor.element
            context.report.warn(element, f"{named(element)} is in no connection; both its ends are open")
    _tell_lengths(context, wires)
    return wires


def _add(wires: Wires, conductor: Conductor) -> Conductor:
    wires.conductors.append(conductor)
    wires.by_element[conductor.scope.key(conductor.element)] = conductor
    return conductor


def _conductor(
    context: Context, scope: Scope, element: Element, part: WirePart, kind: str, around: Element | None = None
) -> Conductor:
    length, length_type = _length(context, element.all("Length_information"))
    if length is None and around is not None:
        length, length_type = _length(context, around.all("Length_information"))
    conductor = Conductor(element, scope, kind, said(element, "Wire_number"), part, length, length_type)
    conductor.notes += part.notes
    if length is not None and length.value is None:
        conductor.notes.append(f"length {length} in the file")
    if length is not None and length.value == 0:
        context.report.warn(element, f"{named(element)} has length 0; it is kept as a bridge")
    conductor.unconnected = (said(element, "Unconnected") or "").lower() in ("true", "1")
    return conductor


def _length(context: Context, entries: list[Element]) -> tuple[Quantified | None, str | None]:
    """Return the length that counts, and its type."""
    read = [(context.units.length_mm(e.first("Length_value")), said(e, "Length_type") or "") for e in entries]
    given = [(q, kind) for q, kind in read if q is not None]
    sure = [(q, kind) for q, kind in given if q.value is not None]
    for candidates in ([p for p in sure if p[0].value], sure):
        for words in _LENGTH_ORDER:
            for quantity, kind in candidates:
                if any(word in kind.lower() for word in words):
                    return quantity, kind
        if candidates:
            return candidates[0]
    return given[0] if given else (None, None)


def _read_cable(
    context: Context,
    wires: Wires,
    parts: WireParts,
    scope: Scope,
    occurrence: Element,
    general: Element | None,
) -> None:
    cores = []
    for core in occurrence.all("Core_occurrence"):
        of_part = context.part_of(core, "Core")
        cores.append(
            _add(wires, _conductor(context, scope, core, parts.of(of_part, general), core.kind, occurrence))
        )
    if not cores:
        context.report.warn(occurrence, f"{named(occurrence)} is a multicore without cores; it makes no wire")
        return
    shield = next((c for c in cores if c.part.shield), None) if len(cores) > 1 else None
    wires.cables.append(
        Cable(
            occurrence,
            said(occurrence, "Special_wire_id"),
            [c for c in cores if c is not shield],
            shield,
            twisted=parts.of(general).twisted,
            title=parts.of(general).insulation,
        )
    )


def _read_group(context: Context, wires: Wires, scope: Scope, group: Element) -> None:
    """Note a group of wires that are twisted together; a group within one multicore says it of that multicore."""
    kind = said(group, "Type") or ""
    found = [
        conductor
        for element in context.index.refs(group, "Assigned_wire", *_WIRES)
        if (conductor := wires.by_element.get(scope.key(element))) is not None
    ]
    twisted = any(word in kind.lower() for word in ("twist", "verdrill"))
    around = next((c for c in wires.cables if set(found) <= {*c.conductors, c.shield}), None)
    if around is not None and found:
        around.twisted = around.twisted or twisted
    elif len(found) > 1:
        wires.cables.append(Cable(group, said(group, "Id"), found, None, twisted, title=kind or None))


def _read_connection(
    context: Context,
    connectors: Connectors,
    wires: Wires,
    parts: WireParts,
    scope: Scope,
    connection: Element,
) -> None:
    wire = context.index.ref(connection, "Wire", *_WIRES)
    conductor = _conductor_of(context, wires, parts, scope, connection, wire)
    if conductor is None:
        return
    if conductor.connection is not None:
        context.report.warn(
            connection,
            f"{named(connection)} connects {named(conductor.element)}, which {named(conductor.connection)}, "
            f"line {conductor.connection.line}, connects already; the first is kept",
        )
        return
    conductor.connection = connection
    conductor.signal = said(connection, "Signal_name")
    if conductor.signal is None and connection.first("Realized_schematic_connection") is not None:
        planned = context.index.ref(connection, "Realized_schematic_connection", "Schematic_connection")
        conductor.signal = said(planned, "Signal_name")
    conductor.touches = _touches(context, connectors, scope, connection)


def _conductor_of(
    context: Context, wires: Wires, parts: WireParts, scope: Scope, connection: Element, wire: Element | None
) -> Conductor | None:
    """Return the conductor of a connection; one is made where the file has none or names a whole multicore."""
    if wire is not None:
        found = wires.by_element.get(scope.key(wire)) or wires.by_element.get((None, wire))
        if found is not None:
            return found
        if not any(wire is c.element for c in wires.cables):
            return None  # a wire of a module that is not read
        context.report.warn(
            connection, f"{named(connection)} connects a whole multicore; that is read as its shield"
        )
        made = _add(wires, _conductor(context, scope, wire, WirePart(), wire.kind))
        cable = next(c for c in wires.cables if c.element is wire)
        cable.shield = cable.shield or made
        return made
    context.report.warn(
        connection, f"{named(connection)} has no wire in the file; one of unknown size is put there"
    )
    return _add(wires, Conductor(connection, scope, "", None, WirePart(), None, None))


def _touches(context: Context, connectors: Connectors, scope: Scope, connection: Element) -> list[Touch]:
    touches: list[Touch] = []
    for extremity in connection.all("Extremities"):
        contact = context.index.ref(extremity, "Contact_point", "Contact_points")
        landing = connectors.landing(scope, contact) if contact else None
        words = (
            f"{said(contact, 'Id') or contact.id}, not in what was read" if contact and not landing else None
        )
        touches.append(Touch(_position(context, extremity, len(touches)), landing, words))
    if len(touches) < 2:
        context.report.warn(
            connection, f"{named(connection)} has {len(touches)} ends; the missing ones are open"
        )
    touches.sort(key=lambda t: t.position)
    return touches


def _position(context: Context, extremity: Element, count: int) -> float:
    text = said(extremity, "Position_on_wire")
    try:
        position = float(text or "")
        if 0.0 <= position <= 1.0:
            return position
    except ValueError:
        pass
    taken = 0.0 if count == 0 else 1.0
    context.report.warn(
        extremity,
        f"Position_on_wire '{text or ''}' of {named(extremity)} is not between 0 and 1; {taken:g} is taken",
    )
    return taken


def _tell_lengths(context: Context, wires: Wires) -> None:
    kinds = Counter(c.length_type or "without a type" for c in wires.conductors if c.length is not None)
    if kinds:
        listed = ", ".join(f"{kind} ({count})" for kind, count in kinds.most_common())
        context.report.warn(None, f"wire lengths are those of type {listed}")
