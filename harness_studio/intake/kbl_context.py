"""What the parts of the KBL reader share: the file, its choice of modules, and where things stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from .kbl_index import Index, Names, Report, named, said
from .kbl_modules import Selection
from .kbl_units import Units
from .xml_tree import Element

Key = tuple[Element | None, Element]
"""(assembly occurrence or None for the harness itself, element): an assembly may be fitted several times."""
_DEEPEST = 10


@dataclass(frozen=True, slots=True, eq=False)
class Scope:
    """Where occurrences stand: the harness, or an assembly that is fitted in it by an occurrence."""

    element: Element
    fitted_by: Element | None = None

    def key(self, element: Element) -> Key:
        """Return what an element of this scope is found by."""
        return (self.fitted_by, element)


@dataclass(slots=True)
class Context:
    """One file while it is read."""

    root: Element
    index: Index
    report: Report
    units: Units
    selection: Selection
    names: Names
    """Ids of everything that has an address: halves, splices, grounds, parts, wires."""
    scopes: list[Scope] = field(default_factory=list)
    stand_ins: dict[Key, Element] = field(default_factory=dict)
    """What in an assembly is given again, and more fully, by an occurrence of the harness."""

    def occurrences(self, name: str) -> Iterator[tuple[Scope, Element]]:
        """Yield every occurrence of a kind that is read, with where it stands."""
        for scope in self.scopes:
            for element in scope.element.all(name):
                if self.has(scope, element) and scope.key(element) not in self.stand_ins:
                    yield scope, element

    def has(self, scope: Scope, element: Element) -> bool:
        """Tell whether an occurrence is in the chosen modules; an assembly is, or is not, as a whole."""
        return scope.fitted_by is not None or self.selection.has(element)

    def part_of(self, occurrence: Element, *names: str) -> Element | None:
        """Return the part of an occurrence: what it is, said once for all of its kind."""
        if occurrence.first("Part") is None:
            self.report.warn(occurrence, f"{named(occurrence)} names no Part")
            return None
        return self.index.ref(occurrence, "Part", *names)


def find_scopes(context: Context, harnesses: list[Element]) -> None:
    """Fill in the scopes: the harnesses, and the assemblies fitted in them, each as often as it is fitted."""
    waiting = [(Scope(h), 0) for h in harnesses]
    while waiting:
        scope, depth = waiting.pop(0)
        context.scopes.append(scope)
        for occurrence in scope.element.all("Assembly_part_occurrence"):
            if not context.has(scope, occurrence):
                continue
            part = context.part_of(occurrence, "Assembly_part")
            if part is None:
                continue
            if depth >= _DEEPEST:
                context.report.warn(
                    occurrence, f"{named(occurrence)} is an assembly inside itself; it is left out"
                )
                continue
            waiting.append((Scope(part, occurrence), depth + 1))
    for harness in harnesses:
        for element in harness.children:
            if element.kind.startswith("Specified_"):
                _note_stand_in(context, element)


def _note_stand_in(context: Context, element: Element) -> None:
    if not context.selection.has(element):
        return
    assemblies = context.index.refs(element, "Related_assembly", "Assembly_part_occurrence")
    originals = context.index.refs(element, "Related_occurrence", element.name)
    for assembly in assemblies:
        for original in originals:
            context.stand_ins[(assembly, original)] = element


def part_number(part: Element | None) -> str | None:
    """Return a part's number, or None."""
    return said(part, "Part_number")
