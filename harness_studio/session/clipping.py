"""Pieces of a harness taken along: copied as text of a project file, read back, or doubled for the other side."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import Any

from harness_studio.base.changes import Ref
from harness_studio.base.errors import EditError, InputError
from harness_studio.model.drawing.pieces import PIECE_PAGE, piece_page
from harness_studio.model.drawing.selecting import held_with, owner_of
from harness_studio.model.entities import Page, Settings
from harness_studio.model.harness import Harness
from harness_studio.model.references import references
from harness_studio.model.removal import Gone, without
from harness_studio.model.renaming import Names, renamed_entity
from harness_studio.model.values import At
from harness_studio.network.wires import length_mm

GRID_MM = 2.0
_OWN = ("bodies", "parts", "halves", "splices", "grounds", "wires")
_AROUND = ("bodies", "zones", "breakouts", "runs")
_MANY_ENDS = ("splices", "grounds", "bodies")
"""What takes any number of wires, so that a doubled wire may end there too."""


def clip(harness: Harness, page: Page, things: Collection[str], *, joined: bool = False) -> Harness:
    """Return a piece with some things, the wires between them, and wires that are among them.

    Parameters
    ----------
    page
        Where their symbols stand; the piece keeps these places about its middle.
    joined
        Whether wires to splices, grounds and bodies that stay behind are taken, too, and go on ending there.

    Raises
    ------
    EditError
        If nothing of it can be taken along.
    """
    kept = _kept(harness, things, joined=joined)
    if not kept:
        raise EditError("nothing that can be copied is selected: select parts, connectors, wires or grounds")
    around = _around(harness, kept)
    behind = _left_behind(harness, kept) if joined else set()
    gone = Gone(frozenset(ref for ref in harness.refs() if ref not in kept | around | behind))
    piece = Harness()
    piece.tables["settings"][""] = Settings(title="A piece of a harness", system_v=harness.settings.system_v)
    for section, table in harness.tables.items():
        for key, entity in table.items():
            if (section, key) in kept | around:
                clean = without(section, entity, gone)
                if clean is not None:
                    piece.tables[section][key] = clean
    piece.pages[PIECE_PAGE] = _places(page, {key for _, key in kept})
    return piece


def _kept(harness: Harness, things: Collection[str], *, joined: bool) -> set[Ref]:
    own = held_with(harness, things)
    found = {(s, k) for s in _OWN for k in harness.tables[s] if k in own}
    inside = {k for s, k in found if s != "wires"}
    many = {k for s in _MANY_ENDS for k in harness.tables[s]} if joined else set()
    for wire in harness.wires.values():
        owners = [owner_of(end.point) for end in wire.ends if end.point is not None]
        takes = [o in inside or o in many for o in owners]
        if any(o in inside for o in owners) and all(takes) and len(owners) == len(wire.ends):
            found.add(("wires", wire.id))
    wires = {k for s, k in found if s == "wires"}
    return found | {("multicores", k) for k, c in harness.multicores.items() if wires >= set(c.wires)}


def _around(harness: Harness, kept: set[Ref]) -> set[Ref]:
    """Return the zones, bodies, breakouts and runs that the things refer to."""
    found: set[Ref] = set()
    waiting = list(kept)
    while waiting:
        section, key = waiting.pop()
        for reference in references(section, harness.tables[section][key]):
            for other in _AROUND if reference.is_point else reference.sections:
                if other in _AROUND and reference.target in harness.tables[other]:
                    ref = (other, reference.target)
                    if ref not in kept | found:
                        found.add(ref)
                        waiting.append(ref)
    return found


def _left_behind(harness: Harness, kept: set[Ref]) -> set[Ref]:
    ends = {owner_of(e.point) for s, k in kept if s == "wires" for e in harness.wires[k].ends if e.point}
    return {(s, k) for s in _MANY_ENDS for k in harness.tables[s] if k in ends}


def _places(page: Page, keys: set[str]) -> Page:
    items = {key: at for key, at in page.items.items() if key in keys}
    wires = {key: some for key, some in page.wires.items() if key in keys}
    return centred(Page(PIECE_PAGE, items=items, wires=wires))


def centred(page: Page) -> Page:
    """Return a page whose symbols stand about its origin, on the grid as before."""
    if not page.items:
        return page
    xs, ys = [a.x_mm for a in page.items.values()], [a.y_mm for a in page.items.values()]
    x, y = (round((min(v) + max(v)) / 2 / GRID_MM) * GRID_MM for v in (xs, ys))
    items = {k: replace(a, x_mm=a.x_mm - x, y_mm=a.y_mm - y) for k, a in page.items.items()}
    wires = {k: tuple((bx - x, by - y) for bx, by in some) for k, some in page.wires.items()}
    return replace(page, items=items, wires=wires)


def as_text(piece: Harness) -> str:
    """Return a piece as the text of a project file."""
    from harness_studio.storage.project_file import render

    return render(piece)


def from_text(text: str) -> Harness:
    """Return the piece that a text holds.

    Raises
    ------
    EditError
        In one line, if the text is no piece of a harness.
    """
    from harness_studio.storage.project_file import parse

    try:
        piece = parse(text).harness
    except InputError as error:
        raise EditError(f"the clipboard holds no piece of a harness: {error.problems[0].what}") from error
    if not any(piece.tables[s] for s in _OWN):
        raise EditError("the clipboard holds a harness in which there is nothing to put down")
    for section in ("modes", "joints", "origins", "cases", "accepted", "annotations", "photos", "revisions"):
        piece.tables[section].clear()
    page = piece_page(piece)
    if not page.items and any(piece.tables[s] for s in _OWN if s != "wires"):
        from harness_studio.placing.arrange import arrange

        page = replace(page, items=arrange(piece))
    piece.pages.clear()
    piece.pages[PIECE_PAGE] = centred(replace(page, id=PIECE_PAGE))
    return piece


# The other side ------------------------------------------------------------------------------------------------------

_SIDES = {"left": "right", "lh": "rh", "nearside": "offside", "driver": "passenger"}
_OTHER = {**_SIDES, **{b: a for a, b in _SIDES.items()}}
_SIDE = re.compile(rf"(?<![A-Za-z])({'|'.join(_OTHER)})(?![A-Za-z])", re.IGNORECASE)
_TEXTS = ("title", "circuit", "note", "function", "words")


def swapped(text: str) -> str:
    """Return a text with its sides changed: 'Rear lamp left' → 'Rear lamp right', 'bed_left' → 'bed_right'."""

    def other(found: re.Match[str]) -> str:
        word = found[0]
        new = _OTHER[word.lower()]
        return new.upper() if word.isupper() else new.capitalize() if word[0].isupper() else new

    return _SIDE.sub(other, text)


def other_side(harness: Harness, piece: Harness) -> Harness:
    """Return a piece for the other side: sides in titles and zones changed, symbols mirrored left to right.

    A zone of the other side is found by its id or its title; one that is not there yet is made. Runs and breakouts are
    let go of, a wire keeps its length.
    """
    zones = dict(_zones(harness, piece))
    names = Names({old: new for old, (new, _) in zones.items()})
    made = Harness()
    made.tables["settings"] = dict(piece.tables["settings"])
    for section, table in piece.tables.items():
        if section in ("settings", "pages", "zones", "breakouts", "runs"):
            continue
        for key, entity in table.items():
            if section == "bodies" and key not in piece_page(piece).items:
                made.tables[section][key] = entity
            else:
                here = _placeless(piece, section, entity)
                made.tables[section][key] = _swapped(_in_zone(here, names))
    made.zones.update(dict(zones.values()))
    page = piece_page(piece)
    made.pages[PIECE_PAGE] = replace(
        page,
        items={k: mirrored(at) for k, at in page.items.items()},
        wires={k: tuple((-x, y) for x, y in some) for k, some in page.wires.items()},
    )
    return made


def mirrored(at: At) -> At:
    """Return a place mirrored left to right about the origin, the symbol with it."""
    return replace(at, x_mm=-at.x_mm, turn=-at.turn % 360, mirror=not at.mirror)


def _placeless(piece: Harness, section: str, entity: Any) -> Any:
    if section == "wires" and entity.runs:
        return replace(entity, runs=(), length_mm=length_mm(piece, entity), tails_mm=None, slack_mm=None)
    return replace(entity, at=None) if getattr(entity, "at", None) is not None else entity


def _in_zone(entity: Any, names: Names) -> Any:
    zone = getattr(entity, "zone", None)
    return replace(entity, zone=names.id(zone)) if zone is not None else entity


def _swapped(entity: Any) -> Any:
    fields: dict[str, Any] = {n: swapped(t) for n in _TEXTS if isinstance(t := getattr(entity, n, None), str)}
    cavities = getattr(entity, "cavities", None)
    if cavities:
        fields["cavities"] = {
            name: replace(c, function=swapped(c.function)) if c.function else c
            for name, c in cavities.items()
        }
    return replace(entity, **fields)


def _zones(harness: Harness, piece: Harness) -> Iterator[tuple[str, tuple[str, Any]]]:
    """Yield for each zone of a piece the id of the other side's and the zone."""
    every = {**piece.zones, **harness.zones}
    for key, zone in piece.zones.items():
        title = swapped(zone.title) if zone.title else None
        by_title = [z.id for z in every.values() if title and title != zone.title and z.title == title]
        new = swapped(key)
        if new == key:
            new = by_title[0] if by_title else f"{key}_other" if title != zone.title else key
        yield key, (new, every.get(new) or renamed_entity(replace(zone, title=title), Names(), new))
