"""Connectors of a KBL file: housings with cavities, splices and ring terminals, and where wires meet them.

An occurrence is a splice or a ring terminal if its Usage says so (enumeration Connector_usage of the schema), else a
connector half. A cavity is what the occurrence lists; what only its part lists is added, for the hole is there.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from harness_studio.model.values import Contact

from .kbl_context import Context, Key, Scope, part_number
from .kbl_index import cavity_name, described, named, said
from .xml_tree import Element

Usage = Literal["half", "splice", "ring"]
_USAGES: dict[str, Usage] = {"splice": "splice", "ring terminal": "ring"}
_LOOSE = frozenset({"no end", "dangler"})
_PLATINGS = {"sn": "tin", "ag": "silver", "au": "gold", "ni": "nickel"}
_CONTACT_PARTS = ("Terminal_occurrence", "Special_terminal_occurrence", "Cavity_seal_occurrence")


@dataclass(slots=True, eq=False)
class CavityRead:
    """One cavity: our name, the file's number, and what sits in it."""

    name: str
    number: str
    element: Element | None = None
    plug: Element | None = None
    seal: str | None = None
    contact: Contact | None = None
    terminal: str | None = None


@dataclass(slots=True, eq=False)
class ConnectorRead:
    """One connector as read, before it is known what it becomes."""

    element: Element
    scope: Scope
    id: str
    original: str
    known_as: str | None
    usage: Usage
    title: str | None = None
    note: str | None = None
    part_number: str | None = None
    part: str | None = None
    cavities: dict[str, CavityRead] = field(default_factory=dict)
    mates: dict[ConnectorRead, dict[str, str]] = field(default_factory=dict)

    def new_cavity(self, number: str | None) -> CavityRead:
        """Add a cavity under a name that is free."""
        name = cavity_name(number, self.cavities)
        made = self.cavities[name] = CavityRead(name, number or name)
        return made


@dataclass(frozen=True, slots=True)
class Landing:
    """Where a wire meets a connector: the cavity, and the contact that is crimped on it."""

    connector: ConnectorRead
    cavity: CavityRead
    contact: Element


@dataclass(slots=True)
class Connectors:
    """All connectors that are read, and how elements of the file lead to them."""

    items: list[ConnectorRead] = field(default_factory=list)
    landings: dict[Key, Landing] = field(default_factory=dict)
    cavities: dict[Key, tuple[ConnectorRead, CavityRead]] = field(default_factory=dict)
    slots: dict[Key, tuple[ConnectorRead, list[CavityRead]]] = field(default_factory=dict)
    elements: dict[Key, ConnectorRead] = field(default_factory=dict)
    """Connector occurrences, and the special terminals (rings, clamps) that stand for them at a node."""

    def landing(self, scope: Scope, contact: Element) -> Landing | None:
        """Return where a contact point is; the harness's own are found from inside an assembly, too."""
        return self.landings.get(scope.key(contact)) or self.landings.get((None, contact))


def read_connectors(context: Context) -> Connectors:
    """Return every connector of the chosen modules."""
    connectors = Connectors()
    for scope, occurrence in context.occurrences("Connector_occurrence"):
        _read_one(context, connectors, scope, occurrence)
    _join_stand_ins(context, connectors)
    return connectors


def _read_one(context: Context, connectors: Connectors, scope: Scope, occurrence: Element) -> None:
    housing = context.part_of(occurrence, "Connector_housing")
    usage_text = said(occurrence, "Usage") or said(housing, "Usage") or ""
    usage = _USAGES.get(usage_text.lower().replace("_", " "), "half")
    original = said(occurrence, "Id")
    new_id, known_as = context.names.claim(
        original, occurrence, "connector", prefix="S" if usage == "splice" else "X"
    )
    own, of_housing = described(occurrence), described(housing)
    note = of_housing if own and own != of_housing else None
    if usage_text.lower() in _LOOSE:
        note = f"{usage_text}; {note}" if note else usage_text
    connector = ConnectorRead(
        occurrence, scope, new_id, original or new_id, known_as, usage,
        title=own or (of_housing if usage != "ring" else None), note=note, part_number=part_number(housing),
    )  # fmt: skip
    connectors.items.append(connector)
    connectors.elements[scope.key(occurrence)] = connector
    slots = housing.all("Slots") if housing else []
    read_cavities(context, connectors, connector, occurrence.all("Slots"), slots)
    for contact in occurrence.all("Contact_points"):
        read_contact(context, connectors, contact, scope, [connector])


@dataclass(frozen=True, slots=True)
class _Hole:
    slot: str
    number: str | None
    element: Element
    plug: Element | None
    occurrence: Element | None


def read_cavities(
    context: Context,
    connectors: Connectors,
    connector: ConnectorRead,
    fitted: list[Element],
    parts: list[Element],
) -> None:
    """Add the cavities of the fitted slots, and those that only the parts of the slots list.

    Where slots repeat numbers, the slot's Id is put before them: 'A-1'.
    """
    slot_names = tuple(sorted({part.name for part in parts})) or ("Slots", "Integrated_slots")
    holes: list[_Hole] = []
    seen: set[Element] = set()
    for slot in fitted:
        part = context.part_of(slot, *slot_names) if slot.kind != "Modular_slot_occurrence" else None
        label = said(part, "Id") or str(fitted.index(slot) + 1)
        for cavity in slot.all("Cavities"):
            of_part = context.part_of(cavity, "Cavities")
            number = said(of_part, "Cavity_number") or said(cavity, "Cavity_number")
            plug = _plug(context, connector.scope, cavity)
            holes.append(_Hole(label, number, cavity, plug, slot))
            if of_part is not None:
                seen.add(of_part)
    for part in parts:
        label = said(part, "Id") or str(parts.index(part) + 1)
        holes.extend(
            _Hole(label, said(c, "Cavity_number"), c, None, None)
            for c in part.all("Cavities")
            if c not in seen
        )
    numbers = [hole.number for hole in holes]
    repeated = len(set(numbers)) < len(numbers) and len({hole.slot for hole in holes}) > 1
    for hole in holes:
        number = f"{hole.slot}-{hole.number}" if repeated and hole.number else hole.number
        _add_cavity(context, connectors, connector, hole, number)


def _add_cavity(
    context: Context, connectors: Connectors, connector: ConnectorRead, hole: _Hole, number: str | None
) -> None:
    cavity = connector.new_cavity(number)
    if hole.number is None:
        context.report.warn(
            hole.element, f"a cavity of {connector.original} has no number; it is called {cavity.name}"
        )
    elif cavity.name != number:
        context.report.warn(
            hole.element,
            f"cavity '{number}' of {connector.original} is called '{cavity.name}', to be told apart",
        )
    cavity.number = hole.number or cavity.name
    cavity.plug = hole.plug
    cavity.element = hole.element
    key = connector.scope.key(hole.element)
    connectors.cavities.setdefault(key, (connector, cavity))
    if hole.occurrence is not None:
        slot = connectors.slots.setdefault(connector.scope.key(hole.occurrence), (connector, []))
        slot[1].append(cavity)


def _plug(context: Context, scope: Scope, cavity: Element) -> Element | None:
    plug = context.index.ref(cavity, "Associated_plug", "Cavity_plug_occurrence")
    return plug if plug is not None and context.has(scope, plug) else None


def read_contact(
    context: Context, connectors: Connectors, contact: Element, scope: Scope, owners: list[ConnectorRead]
) -> None:
    """Note where a contact point is, and what is crimped there. `owners` are the connectors it can be in."""
    there = [
        found
        for cavity in context.index.refs(contact, "Contacted_cavity", "Cavities")
        if (found := _cavity_of(connectors, scope, cavity, context)) is not None
    ]
    if len(there) > 1:
        names = ", ".join(f"{c.original} {cavity.number}" for c, cavity in there)
        context.report.warn(
            contact, f"{named(contact)} reaches into {len(there)} cavities ({names}); the first is taken"
        )
    if there:
        connector, cavity = there[0]
    elif owners:
        connector = owners[0]
        cavity = (
            next(iter(connector.cavities.values()))
            if len(connector.cavities) == 1
            else connector.new_cavity(None)
        )
        context.report.warn(
            contact, f"{named(contact)} of {connector.original} names no cavity; it is put into {cavity.name}"
        )
    else:
        context.report.warn(contact, f"{named(contact)} is in no connector; wires to it keep an open end")
        return
    connectors.landings.setdefault(scope.key(contact), Landing(connector, cavity, contact))
    _crimped_parts(context, connectors, scope, contact, connector, cavity)


def _cavity_of(
    connectors: Connectors, scope: Scope, cavity: Element, context: Context
) -> tuple[ConnectorRead, CavityRead] | None:
    found = connectors.cavities.get(scope.key(cavity)) or connectors.cavities.get((None, cavity))
    if found is None:
        context.report.warn(cavity, f"{named(cavity)} is a cavity of no connector that is read")
    return found


def _crimped_parts(
    context: Context, connectors: Connectors, scope: Scope, contact: Element, connector: ConnectorRead,
    cavity: CavityRead,
) -> None:  # fmt: skip
    for fitted in context.index.refs(contact, "Associated_parts", *_CONTACT_PARTS, "Cavity_plug_occurrence"):
        if not context.has(scope, fitted):
            continue
        if fitted.name == "Cavity_seal_occurrence":
            cavity.seal = cavity.seal or part_number(context.part_of(fitted, "Cavity_seal")) or "fitted"
        elif fitted.name == "Cavity_plug_occurrence":
            cavity.plug = cavity.plug or fitted
        else:
            terminal = context.part_of(fitted, "General_terminal")
            cavity.contact = cavity.contact or _contact(context, terminal)
        if fitted.name == "Special_terminal_occurrence":
            connectors.elements.setdefault(scope.key(fitted), connector)
            connector.title = connector.title or described(fitted)
            if connector.usage == "ring":
                connector.note = connector.note or described(context.part_of(fitted, "General_terminal"))


def _contact(context: Context, terminal: Element | None) -> Contact | None:
    if terminal is None:
        return None
    plating = said(terminal, "Plating_material")
    contact = Contact(
        plating=_PLATINGS.get(plating.lower(), plating) if plating else None,
        part_number=part_number(terminal),
        crimp_mm2=context.units.range_mm2(terminal.first("Cross_section_area")),
    )
    return contact if contact != Contact() else None


def _join_stand_ins(context: Context, connectors: Connectors) -> None:
    """Let what an assembly says of a connector lead to the connector that the harness gives in its place."""
    for (assembly, original), specified in context.stand_ins.items():
        connector = connectors.elements.get((None, specified))
        if connector is None:
            continue
        connectors.elements[(assembly, original)] = connector
        by_number = {cavity.number: cavity for cavity in connector.cavities.values()}
        for slot in original.all("Slots"):
            for element in slot.all("Cavities"):
                number = said(context.part_of(element, "Cavities"), "Cavity_number")
                if number in by_number:
                    connectors.cavities.setdefault((assembly, element), (connector, by_number[number]))
        for contact in original.all("Contact_points"):
            read_contact(context, connectors, contact, Scope(original, assembly), [connector])
