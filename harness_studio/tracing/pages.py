"""Pages of the diagram made by one step: all of a circuit, of a ground, of a zone, or whatever is chosen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from harness_studio.base.errors import EditError
from harness_studio.base.ids import clean_id
from harness_studio.model.edits import Put, Remove, Together
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.network.fixtures import mated_cavities, plugged_terminals
from harness_studio.placing.arrange import arrange
from harness_studio.placing.homes import homes, mated_groups
from harness_studio.placing.links import owner

_GAP_MM = 40.0
_THINGS = ("parts", "halves", "splices", "grounds", "bodies")


def circuits(harness: Harness) -> list[str]:
    """Return the names of all circuits, in the order in which they come up."""
    named = [w.circuit for w in harness.wires.values()] + [p.circuit for p in harness.parts.values()]
    return list(dict.fromkeys(name for name in named if name))


def of_circuit(harness: Harness, circuit: str) -> set[str]:
    """Return the things that a circuit's wires end at, and its parts."""
    wires = [w for w in harness.wires.values() if w.circuit == circuit]
    found = {owner(e.point) for w in wires for e in w.ends if e.point is not None}
    return found | {p.id for p in harness.parts.values() if p.circuit == circuit}


def of_zone(harness: Harness, zone: str) -> set[str]:
    """Return the things that are in a zone, by themselves or through the breakout they are at."""
    found = set()
    for section in _THINGS:
        for thing in harness.tables[section].values():
            spot = getattr(thing, "at", None)
            breakout = harness.breakouts.get(spot.breakout) if spot is not None and spot.breakout else None
            own = getattr(thing, "zone", None) or (breakout.zone if breakout is not None else None)
            if own == zone:
                found.add(thing.id)
    return found


def of_ground(harness: Harness, ground: str) -> set[str]:
    """Return what is wired to a ground: everything on the way, up to and with the parts at the far ends."""
    if ground not in harness.grounds:
        raise EditError(f"{ground} is no ground")
    beside = joined_points(harness)
    found, seen, waiting = {ground}, {ground}, [ground]
    while waiting:
        for point in beside.get(waiting.pop(), ()):
            if point in seen:
                continue
            seen.add(point)
            thing = owner(point)
            found.add(thing)
            # Metal and the inside of parts lead to everything else; splices and connectors belong to the way.
            if thing in harness.splices or thing in harness.halves:
                waiting.append(point)
    return found - set(harness.bodies)


def joined_points(harness: Harness) -> dict[str, list[str]]:
    """Return for each point those that a wire or a mated contact joins to it; all legs of a splice are one point."""
    pairs = []
    for wire in harness.wires.values():
        first, second = wire.ends[0].point, wire.ends[1].point
        if first is not None and second is not None:
            pairs.append((first, second))
    for half in harness.halves.values():
        pairs += [*mated_cavities(harness, half), *plugged_terminals(harness, half)]
    found: dict[str, list[str]] = {}
    for one, other in pairs:
        found.setdefault(one, []).append(other)
        found.setdefault(other, []).append(one)
    return found


def page_of(harness: Harness, things: Iterable[str], title: str) -> Page:
    """Return a new page with these things and what is mated with them, arranged.

    Raises
    ------
    EditError
        If there is nothing to put on it.
    """
    part = _part_of(harness, things)
    items = arrange(part) if part.taken_ids() else {}
    if not items:
        raise EditError(f"there is nothing to put on a page '{title}'")
    return Page(new_page_id(harness, title), title, items)


def _part_of(harness: Harness, things: Iterable[str]) -> Harness:
    """Return the harness of some things alone, with the wires between them."""
    groups = mated_groups(harness)
    ids = {thing for thing in things if any(thing in harness.tables[s] for s in _THINGS)}
    ids |= {other for thing in ids for other in groups.get(thing, ())}
    ids |= {h.part for h in harness.halves.values() if h.id in ids and h.part is not None}
    ids |= {owner(g.place) for g in harness.grounds.values() if g.id in ids and g.place is not None}
    waiting = [thing for thing in ids if thing in harness.parts]
    while waiting:
        held = getattr(harness.parts[waiting.pop()].ratings, "holds", ())
        waiting += [h for h in held if h in harness.parts and h not in ids]
        ids.update(h for h in held if h in harness.parts)
    part = Harness()
    part.tables["settings"][""] = harness.settings
    for section in _THINGS:
        part.tables[section].update({k: v for k, v in harness.tables[section].items() if k in ids})
    for key, kept in list(part.parts.items()):
        if kept.mount is not None and owner(kept.mount.place) not in ids:
            part.parts[key] = replace(kept, mount=None)
    for wire in harness.wires.values():
        if all(e.point is not None and owner(e.point) in ids for e in wire.ends):
            part.wires[wire.id] = wire
    return part


def new_page_id(harness: Harness, title: str) -> str:
    """Return an id for a page that no other has."""
    words = "".join(c if c.isascii() and c.isalnum() else " " for c in title.lower()).split()
    return clean_id("_".join(words) or "page", set(harness.pages))


def add_page(page: Page, words: str) -> Together:
    """Return the step that adds a page."""
    return Together((Put("pages", page),), words)


def put_on_page(harness: Harness, page_id: str, things: Sequence[str]) -> Together:
    """Return the step that puts things on a page that they do not stand on yet, beside what is there.

    Raises
    ------
    EditError
        If all of them stand there already, or one is nothing that has a symbol.
    """
    page = harness.pages[page_id]
    here = homes(harness, page)
    everywhere = homes(harness)
    missing = [t for t in things if t not in everywhere]
    if missing:
        raise EditError(f"{missing[0]} has no symbol of its own: put what it ends at on the page")
    new = list(dict.fromkeys(everywhere[t] for t in things if t not in here))
    if not new:
        raise EditError("all of this stands on the page already")
    places = page.items.values()
    x = max((at.x_mm for at in places), default=0.0) + 2 * _GAP_MM
    y = min((at.y_mm for at in places), default=0.0)
    turns = {k: at for other in harness.pages.values() for k, at in other.items.items()}
    items: Mapping[str, At] = {
        **page.items,
        **{
            key: replace(turns.get(key, At(0, 0)), x_mm=x, y_mm=y + number * _GAP_MM)
            for number, key in enumerate(new)
        },
    }
    title = page.title or page.id
    return Together((Put("pages", replace(page, items=items)),), f"put {', '.join(new)} on page {title}")


def take_off_page(harness: Harness, page_id: str, things: Iterable[str]) -> Together:
    """Return the step that takes things off a page; they stay in the harness.

    Raises
    ------
    EditError
        If none of them stands on the page by itself.
    """
    page = harness.pages[page_id]
    here = homes(harness, page)
    gone = {here[t] for t in things if t in here}
    if not gone:
        raise EditError("nothing of this stands on the page by itself")
    items = {k: at for k, at in page.items.items() if k not in gone}
    words = f"take {', '.join(sorted(gone))} off page {page.title or page.id}"
    return Together((Put("pages", replace(page, items=items)),), words)


def remove_page(harness: Harness, page_id: str) -> Together:
    """Return the step that removes a page; what stood on it stays in the harness.

    Raises
    ------
    EditError
        If it is the only one.
    """
    if len(harness.pages) < 2:
        raise EditError("a harness keeps its last page")
    title = harness.pages[page_id].title or page_id
    return Together((Remove("pages", page_id),), f"remove page {title}")
