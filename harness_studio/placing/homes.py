"""Which symbol draws a thing: a held fuse is in its box, a plugged half at its part, mated halves are one."""

from __future__ import annotations

from collections.abc import Iterable

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness

_OWN_SYMBOL = ("parts", "halves", "splices", "grounds", "bodies")


def homes(harness: Harness, page: Page | None = None) -> dict[str, str]:
    """Return the id of the symbol that draws each part, half, splice, ground and body.

    Without a page everything is drawn. On a page only what is placed there, by its own id or by that of the thing it
    belongs to; the outermost placed one draws it. What is not on the page is left out.
    """
    boxes = harness.boxes_of_parts()
    groups = mated_groups(harness)
    found: dict[str, str] = {}
    for section in _OWN_SYMBOL:
        for entity_id in harness.tables[section]:
            homes_in_turn = list(_candidates(harness, entity_id, boxes, groups))
            if page is None:
                found[entity_id] = homes_in_turn[0]
            else:
                placed = next((h for h in homes_in_turn if h in page.items), None)
                if placed is not None:
                    found[entity_id] = placed
    return found


def _candidates(
    harness: Harness, entity_id: str, boxes: dict[str, str], groups: dict[str, tuple[str, ...]]
) -> Iterable[str]:
    """Yield the ids that may draw a thing, the outermost first."""
    half = harness.halves.get(entity_id)
    if half is None:
        yield from reversed(_within(entity_id, boxes))
        return
    group = groups[entity_id]
    for member in group:
        part = harness.halves[member].part
        if part is not None and part in harness.parts:
            yield from reversed(_within(part, boxes))
    yield from group


def _within(part_id: str, boxes: dict[str, str]) -> list[str]:
    """Return the part, the box that holds it, the box that holds that, and so on."""
    chain = [part_id]
    while chain[-1] in boxes and boxes[chain[-1]] not in chain:
        chain.append(boxes[chain[-1]])
    return chain


def mated_groups(harness: Harness) -> dict[str, tuple[str, ...]]:
    """Return for each half all halves that are mated with it, directly or through others.

    The half that states the mating comes first, then those it mates, in the harness's order.
    """
    beside: dict[str, list[str]] = {half_id: [] for half_id in harness.halves}
    stating = [h.id for h in harness.halves.values() if h.mates]
    for half_id in stating:
        for other in harness.halves[half_id].mates:
            if other in beside:
                beside[half_id].append(other)
                beside[other].append(half_id)
    found: dict[str, tuple[str, ...]] = {}
    for start in [*stating, *harness.halves]:
        if start in found:
            continue
        group = [start]
        for member in group:
            group += [other for other in beside[member] if other not in group]
        found.update(dict.fromkeys(group, tuple(group)))
    return found
