"""Component boxes, fuses and other components of a KBL file.

A box becomes a part of kind 'box'. Its connectors are halves that plug onto it; the terminal behind a cavity is
called '<connector>-<cavity>', one of an empty slot '<slot>-<cavity>'. A fuse in a slot takes its two cavities as `in`
and `out` in the order of the file. What is joined inside (Component_box_connection) becomes a bus. A component that is
mounted on a connector instead is the part that the half plugs onto; several of them are held by a box of the
connector's own.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from harness_studio.model.parts import Part, make_part

from .kbl_components import ComponentRead, read_components
from .kbl_connectors import ConnectorRead, Connectors, read_cavities, read_contact
from .kbl_context import Context, Key, Scope, part_number
from .kbl_index import cavity_name, described, named, said
from .xml_tree import Element


@dataclass(slots=True, eq=False)
class _BoxRead:
    occurrence: Element
    scope: Scope
    id: str
    known_as: str | None
    part: Element | None
    points: dict[Element, str] = field(default_factory=dict)
    """Cavities and component cavities of the box's part → the point of ours that is behind them."""
    slots: dict[Key, tuple[Element, dict[Key, Element]]] = field(default_factory=dict)
    """Slot occurrence → (slot of the part, cavity occurrence → cavity of the part)."""
    holds: list[str] = field(default_factory=list)


def read_boxes(context: Context, connectors: Connectors) -> list[Part]:
    """Return boxes, fuses and other components; adds the boxes' connectors to `connectors`."""
    boxes = [_read_box(context, connectors, s, o) for s, o in context.occurrences("Component_box_occurrence")]
    components = read_components(context)
    for component in components:
        box = next((b for b in boxes if _mount_in_box(context, b, component)), None)
        if box is not None:
            box.holds.append(component.id)
    carriers = _mount_on_connectors(context, connectors, components)
    by_occurrence = {box.scope.key(box.occurrence): box.id for box in boxes}
    parts = [_finish_box(context, box, by_occurrence) for box in boxes]
    for component in components:
        if not component.mounted:
            context.report.warn(
                component.occurrence,
                f"{component.original} is mounted on nothing that is read; no wire reaches it",
            )
    parts += [*carriers, *(component.part() for component in components)]
    fuses = sum(part.kind == "fuse" for part in parts)
    if fuses:
        context.report.warn(
            None,
            f"{fuses} fuses: 'in' and 'out' are taken in the order of the file, which does not say which is which",
        )
    return parts


def at_fuses(parts: list[Part]) -> set[str]:
    """Return the terminals of fuses, and those that are joined to one inside a box."""
    found = {f"{part.id}.{name}" for part in parts if part.kind == "fuse" for name in ("in", "out")}
    for part in parts:
        if part.kind == "box":
            for bus in part.ratings.buses:
                if found & set(bus):
                    found |= set(bus)
    return found


def _read_box(context: Context, connectors: Connectors, scope: Scope, occurrence: Element) -> _BoxRead:
    part = context.part_of(occurrence, "Component_box")
    original = said(occurrence, "Id")
    new_id, known_as = context.names.claim(original, occurrence, "box", prefix="A")
    box = _BoxRead(occurrence, scope, new_id, known_as, part)
    made = [
        _read_box_connector(context, connectors, box, element, original or new_id)
        for element in occurrence.all("Component_box_connectors")
    ]
    for contact in occurrence.all("Contact_points"):
        read_contact(context, connectors, contact, scope, made)
    _read_slots(context, box)
    return box


def _read_box_connector(
    context: Context, connectors: Connectors, box: _BoxRead, element: Element, box_name: str
) -> ConnectorRead:
    of_part = context.part_of(element, "Component_box_connectors")
    label = said(of_part, "Id") or "X"
    original = f"{box_name}.{label}"
    new_id, known_as = context.names.claim(original, element, "connector")
    connector = ConnectorRead(
        element, box.scope, new_id, original, known_as, "half", title=f"{label} of {box_name}", part=box.id
    )
    connectors.items.append(connector)
    connectors.elements[box.scope.key(element)] = connector
    slots = of_part.all("Integrated_slots") if of_part else []
    read_cavities(context, connectors, connector, element.all("Slots"), slots)
    taken = {point.partition(".")[2] for point in box.points.values()}
    for read in connector.cavities.values():
        read.terminal = cavity_name(f"{label}-{read.name}", taken)
        taken.add(read.terminal)
        if read.element is not None:
            box.points[_of_part(context, read.element)] = f"{box.id}.{read.terminal}"
    return connector


def _of_part(context: Context, cavity: Element) -> Element:
    """Return the part's cavity of a fitted one; one that only the part lists is it already."""
    found = context.index.ref(cavity, "Part", "Cavities") if cavity.first("Part") else None
    return found or cavity


def _read_slots(context: Context, box: _BoxRead) -> None:
    """Note the places for fuses and relays: those fitted, and those that only the box's part lists."""
    labels: dict[Element, str | None] = {}
    for slot in box.occurrence.all("Component_slots"):
        part = context.part_of(slot, "Component_slots")
        if part is None:
            continue
        cavities = {
            box.scope.key(cavity): of_part
            for cavity in slot.all("Component_cavities")
            if (of_part := context.part_of(cavity, "Component_cavities")) is not None
        }
        box.slots[box.scope.key(slot)] = (part, cavities)
        labels[part] = said(slot, "Id")
    for part in box.part.all("Component_slots") if box.part else []:
        label = labels.get(part) or said(part, "Id") or "slot"
        taken = {point.partition(".")[2] for point in box.points.values()}
        for cavity in part.all("Component_cavities"):
            name = cavity_name(f"{label}-{said(cavity, 'Cavity_number') or '1'}", taken)
            taken.add(name)
            box.points[cavity] = f"{box.id}.{name}"


def _mount_in_box(context: Context, box: _BoxRead, component: ComponentRead) -> bool:
    """Put a component into the slot of the box that it is mounted in, if it is; tell whether it is."""
    cavities: list[Element] = []
    for target in component.mounting:
        key = component.scope.key(target)
        if key in box.slots:
            part, _ = box.slots[key]
            cavities += part.all("Component_cavities")
            continue
        for _, fitted in box.slots.values():
            if key in fitted:
                cavities.append(fitted[key])
    if not cavities:
        return False
    cavities = list(dict.fromkeys(cavities))
    terminals = component.terminals_for([said(c, "Cavity_number") for c in cavities], context.report)
    for cavity, terminal in zip(cavities, terminals, strict=False):
        point = f"{component.id}.{terminal}"
        if box.points.get(cavity, "").partition(".")[0] not in ("", box.id):
            context.report.warn(
                component.occurrence, f"{component.original} is in a slot that another component fills"
            )
            continue
        box.points[cavity] = point
    component.mounted = True
    return True


def _finish_box(context: Context, box: _BoxRead, boxes: dict[Key, str]) -> Part:
    buses = []
    for connection in box.part.all("Connections") if box.part else []:
        inside = [
            *context.index.refs(connection, "Cavities", "Cavities"),
            *context.index.refs(connection, "Component_cavities", "Component_cavities"),
        ]
        missing = [c for c in inside if not box.points.get(c)]
        if missing:
            context.report.warn(
                connection,
                f"{named(connection)} of {box.id} joins {named(missing[0])}, which is not in the box",
            )
        points = tuple(dict.fromkeys(box.points[c] for c in inside if box.points.get(c)))
        if len(points) > 1:
            buses.append(points)
    for connector in box.occurrence.all("Component_box_connectors"):
        for slot in connector.all("Slots"):
            for inner in context.index.refs(slot, "Used_insets", "Component_box_occurrence"):
                inner_id = boxes.get(box.scope.key(inner)) or boxes.get((None, inner))
                if inner_id and inner_id != box.id:
                    box.holds.append(inner_id)
    common: dict[str, Any] = {
        "title": described(box.occurrence) or described(box.part),
        "part_number": part_number(box.part),
        "known_as": box.known_as,
    }
    return make_part(box.id, "box", common=common, holds=tuple(dict.fromkeys(box.holds)), buses=tuple(buses))


def _mount_on_connectors(
    context: Context, connectors: Connectors, components: list[ComponentRead]
) -> list[Part]:
    """Let halves plug onto the components mounted on them; return the boxes of those that carry several."""
    mounted: dict[ConnectorRead, list[tuple[ComponentRead, list[str]]]] = {}
    for component in components:
        if component.mounted:
            continue
        connector, cavities = _place_on_connector(connectors, component)
        if connector is None:
            continue
        if connector.usage != "half" or connector.part:
            context.report.warn(
                component.occurrence,
                f"{component.original} is mounted on {connector.original}, which cannot carry it",
            )
            continue
        mounted.setdefault(connector, []).append((component, cavities))
        component.mounted = True
    carriers = []
    for connector, there in mounted.items():
        if len(there) == 1:
            component, cavities = there[0]
            connector.part = component.id
            terminals = component.terminals_for(
                [connector.cavities[c].number for c in cavities], context.report
            )
            for name, terminal in zip(cavities, terminals, strict=False):
                connector.cavities[name].terminal = terminal
        else:
            carriers.append(_carrier(context, connector, there))
    return carriers


def _place_on_connector(
    connectors: Connectors, component: ComponentRead
) -> tuple[ConnectorRead | None, list[str]]:
    """Return the connector that a component is mounted on, and the names of its cavities there."""
    owner: ConnectorRead | None = None
    names: list[str] = []
    for target in component.mounting:
        key = component.scope.key(target)
        if key in connectors.cavities:
            connector, cavity = connectors.cavities[key]
            here = [cavity.name]
        elif key in connectors.slots:
            connector, cavities = connectors.slots[key]
            here = [c.name for c in cavities]
        elif key in connectors.elements:
            connector = connectors.elements[key]
            here = list(connector.cavities)
        else:
            continue
        owner = owner or connector
        if connector is owner:
            names += [n for n in here if n not in names]
    if owner and component.pins:
        by_number = {cavity.number: cavity.name for cavity in owner.cavities.values()}
        names = [by_number[n] for n in component.pins.values() if n in by_number] or names
    return owner, names


def _carrier(
    context: Context, connector: ConnectorRead, there: list[tuple[ComponentRead, list[str]]]
) -> Part:
    """Return the box that stands behind a connector which carries several components."""
    box_id, _ = context.names.claim(f"{connector.id}_box", connector.element, "box")
    connector.part = box_id
    for cavity in connector.cavities.values():
        cavity.terminal = cavity.name
    buses: dict[str, list[str]] = {}
    for component, cavities in there:
        numbers: list[str | None] = [connector.cavities[c].number for c in cavities]
        terminals = component.terminals_for(numbers, context.report)
        for name, terminal in zip(cavities, terminals, strict=False):
            buses.setdefault(name, [f"{box_id}.{name}"]).append(f"{component.id}.{terminal}")
    holds = tuple(component.id for component, _ in there)
    common: dict[str, Any] = {"title": connector.title}
    return make_part(box_id, "box", common=common, holds=holds, buses=tuple(map(tuple, buses.values())))
