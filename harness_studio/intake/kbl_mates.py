"""Which connector halves of a file meet: Mated_cavities and Mated_slots, from version 2.4 on."""

from __future__ import annotations

from .kbl_connectors import CavityRead, ConnectorRead, Connectors
from .kbl_context import Context, Scope
from .kbl_index import named
from .xml_tree import Element

_Place = tuple[ConnectorRead, CavityRead]


def read_mates(context: Context, connectors: Connectors) -> None:
    """Note for each pair of cavities that meet, at the half that says so first; a cavity meets one other."""
    taken: dict[CavityRead, CavityRead] = {}
    for (assembly, element), (connector, cavities) in list(connectors.slots.items()):
        scope = Scope(element, assembly)
        for other in context.index.refs(element, "Mated_slots", "Slots"):
            found = connectors.slots.get(scope.key(other)) or connectors.slots.get((None, other))
            if found is None:
                context.report.warn(
                    element, f"{named(other)}, which {named(element)} mates, is in no connector read"
                )
                continue
            _mate_slots(context, element, (connector, cavities), found, taken)
    for (assembly, element), own in list(connectors.cavities.items()):
        scope = Scope(element, assembly)
        for other in context.index.refs(element, "Mated_cavities", "Cavities"):
            place = connectors.cavities.get(scope.key(other)) or connectors.cavities.get((None, other))
            if place is None:
                context.report.warn(
                    element, f"{named(other)}, which {named(element)} mates, is in no connector read"
                )
                continue
            _mate(context, element, own, place, taken)


def _mate_slots(
    context: Context,
    at: Element,
    own: tuple[ConnectorRead, list[CavityRead]],
    other: tuple[ConnectorRead, list[CavityRead]],
    taken: dict[CavityRead, CavityRead],
) -> None:
    by_number = {cavity.number: cavity for cavity in other[1]}
    for cavity in own[1]:
        if cavity.number in by_number:
            _mate(context, at, (own[0], cavity), (other[0], by_number[cavity.number]), taken)
    if not {c.number for c in own[1]} & set(by_number):
        context.report.warn(
            at, f"{named(at)} mates a slot of {other[0].original} that has none of its cavity numbers"
        )


def _mate(
    context: Context, at: Element, own: _Place, other: _Place, taken: dict[CavityRead, CavityRead]
) -> None:
    (first, cavity), (second, meets) = own, other
    if taken.get(cavity) is meets:
        return
    words = f"{first.original} {cavity.number} and {second.original} {meets.number}"
    if first is second or first.usage != "half" or second.usage != "half":
        context.report.warn(at, f"{words} cannot mate: wanted are cavities of two connector halves")
        return
    if cavity in taken or meets in taken:
        context.report.warn(at, f"{words} mate, but one of them meets another cavity already; left out")
        return
    taken[cavity], taken[meets] = meets, cavity
    giver, receiver, pair = (first, second, (cavity.name, meets.name))
    if first in second.mates:  # the other half has begun; one half says it for both
        giver, receiver, pair = second, first, (meets.name, cavity.name)
    giver.mates.setdefault(receiver, {})[pair[0]] = pair[1]


def pairs_to_write(connector: ConnectorRead, other: ConnectorRead) -> dict[str, str] | None:
    """Return the pairs of cavities, or None where every cavity meets the one of its own name."""
    pairs = connector.mates[other]
    if set(connector.cavities) == set(other.cavities) == set(pairs) and all(a == b for a, b in pairs.items()):
        return None
    return dict(pairs)
