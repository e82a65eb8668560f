"""Components of a KBL file: fuses by their type, fuses and relays by their name where the file has no type for them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from harness_studio.model.parts import Part, make_part

from .kbl_context import Context, Scope, part_number
from .kbl_index import Report, cavity_name, described, named, said
from .xml_tree import Element

_FUSE_WORD = re.compile(r"\b(?:fuse|sicherung|schmelzsicherung)\b", re.I)
_RELAY_WORD = re.compile(r"\b(?:relay|relais)\b", re.I)
_RELAY_CONTACTS = {
    frozenset({"30", "87"}): "make",
    frozenset({"30", "87a"}): "break",
    frozenset({"30", "87", "87a"}): "changeover",
    frozenset({"30", "87", "87b"}): "double make",
}


@dataclass(slots=True, eq=False)
class ComponentRead:
    """One component: what it is, what it is mounted on, and its pins (pin → cavity number) where the file maps them."""

    occurrence: Element
    scope: Scope
    id: str
    original: str
    known_as: str | None
    kind: str
    element: Element | None
    rated_a: float | None
    notes: list[str]
    circuit: str | None
    mounting: list[Element]
    pins: dict[str, str]
    terminals: tuple[str, ...] = ()
    mounted: bool = False
    relay: dict[str, str] = field(default_factory=dict)

    def terminals_for(self, numbers: list[str | None], report: Report) -> tuple[str, ...]:
        """Return the terminals that meet cavities of these numbers, in their order, and settle what the part is."""
        if self.kind == "fuse":
            if len(numbers) != 2:
                report.warn(
                    self.occurrence, f"{self.original} is a fuse with {len(numbers)} cavities; wanted are 2"
                )
            self.terminals = ("in", "out")
            return self.terminals
        pin_of = {number: pin for pin, number in self.pins.items()}
        names: list[str] = []
        for number in numbers:
            names.append(cavity_name(pin_of.get(number or "", number), names))
        contacts = _RELAY_CONTACTS.get(frozenset(names) - {"85", "86"})
        if self.kind == "relay" and contacts and {"85", "86"} <= set(names):
            self.relay = {"contacts": contacts}
        self.terminals = tuple(names)
        return self.terminals

    def part(self) -> Part:
        """Return the part; a component of which no more is known is a device with its terminals."""
        common: dict[str, Any] = {
            "title": described(self.occurrence) or described(self.element),
            "part_number": part_number(self.element),
            "known_as": self.known_as,
            "circuit": self.circuit,
            "note": "; ".join(self.notes) or None,
        }
        if self.kind == "fuse":
            return make_part(self.id, "fuse", common=common, rated_a=self.rated_a)
        if self.relay:
            return make_part(self.id, "relay", common=common, **self.relay)
        return make_part(self.id, "device", common=common, terminals=self.terminals)


def read_components(context: Context) -> list[ComponentRead]:
    """Return every component of the chosen modules."""
    return [_read(context, scope, element) for scope, element in context.occurrences("Component_occurrence")]


def _read(context: Context, scope: Scope, occurrence: Element) -> ComponentRead:
    element = context.part_of(occurrence, "Component", "Fuse")
    kind = _kind(context, occurrence, element)
    original = said(occurrence, "Id")
    prefix = {"fuse": "F", "relay": "K"}.get(kind, "A")
    new_id, known_as = context.names.claim(original, occurrence, "component", prefix=prefix)
    rated = context.units.current_a(element.first("Nominal_current")) if element else None
    notes = [f"rated {rated}, as the file says"] if rated and rated.value is None else []
    fuse_type = element.first("Type") if element else None
    if fuse_type is not None and (key := said(fuse_type, "Key")):
        system = said(fuse_type, "Reference_system")
        notes.append(f"fuse type {key}" + (f" of {system}" if system else ""))
    consumers = [described(c) or said(c, "Id") for c in occurrence.all("AttachedConsumers")]
    pins = {
        pin: number
        for m in occurrence.all("Component_pin_maps")
        if (pin := said(m, "Component_pin_number")) and (number := said(m, "Cavity_number"))
    }
    return ComponentRead(
        occurrence, scope, new_id, original or new_id, known_as, kind, element,
        rated_a=rated.value or None if rated else None,
        notes=notes,
        circuit=", ".join(c for c in consumers if c) or None,
        mounting=context.index.refs(
            occurrence, "Mounting", "Cavities", "Component_cavities", "Component_slots", "Connector_occurrence", "Slots"
        ),
        pins=pins,
    )  # fmt: skip


def _kind(context: Context, occurrence: Element, element: Element | None) -> str:
    if "Fuse_occurrence" in occurrence.kind or (element is not None and element.kind == "Fuse"):
        return "fuse"
    words = " ".join(t for t in (described(occurrence), described(element)) if t)
    if _FUSE_WORD.search(words):
        context.report.warn(occurrence, f"{named(occurrence)} is taken as a fuse for its name ('{words}')")
        return "fuse"
    return "relay" if _RELAY_WORD.search(words) else "device"
