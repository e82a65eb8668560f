"""A piece: a small harness that is put down somewhere in another one, from the stock or from the clipboard."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from harness_studio.base.errors import EditError
from harness_studio.model.edits import Edit, Put, Together, together
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.renaming import renamed
from harness_studio.model.values import At

from .ids import free_ids

PIECE_PAGE = "piece"
"""The page of a piece: where its symbols stand about the place where it is put down."""
FIRST_PAGE = Page("all", "Whole harness")
_OWN = ("bodies", "bonds", "parts", "halves", "splices", "grounds", "wires", "multicores")
_AROUND = ("zones", "breakouts", "runs")
"""What a piece refers to but does not bring a second one of."""


def piece_of(entities: Iterable[tuple[str, Any]], items: Mapping[str, At]) -> Harness:
    """Return a piece that holds some entities (section, entity), with the places of its symbols."""
    made = Harness()
    for section, entity in entities:
        made.tables[section][entity.id] = entity
    made.pages[PIECE_PAGE] = Page(PIECE_PAGE, items=dict(items))
    return made


def piece_page(piece: Harness) -> Page:
    """Return the page of a piece."""
    return next(iter(piece.pages.values()), Page(PIECE_PAGE))


@dataclass(frozen=True, slots=True)
class Fitted:
    """A piece with ids that are free in a harness, and how they were called before."""

    piece: Harness
    ids: Mapping[str, str]

    @property
    def own(self) -> tuple[tuple[str, str], ...]:
        """(section, id) of everything that the piece adds."""
        return tuple((s, k) for s in _OWN for k in self.piece.tables[s])


def fitted(harness: Harness, piece: Harness) -> Fitted:
    """Return a piece ready to be put into a harness: an id that is taken gives way to the next one, zones are shared.

    A body that the piece only stands on (it has no place on the piece's page) is the harness's own one of that id.
    """
    free, page, ids = free_ids(harness), piece_page(piece), dict[str, str]()
    kept = {key for key in piece.bodies if key not in page.items and key in harness.bodies}
    for section in _OWN:
        for key in piece.tables[section]:
            if key not in kept:
                ids[key] = free.like(key)
    own = renamed(piece, ids)
    for key in kept:
        del own.bodies[key]
    for section in _AROUND:
        for key in [k for k in own.tables[section] if k in harness.tables[section]]:
            del own.tables[section][key]
    return Fitted(_standing(harness, own), ids)


def _standing(harness: Harness, piece: Harness) -> Harness:
    """Let go of places of bodies that neither the piece nor the harness has."""

    def there(point: str) -> bool:
        body, _, place = point.partition(".")
        held = piece.bodies.get(body) or harness.bodies.get(body)
        return held is not None and place in held.places_mohm

    for key, ground in piece.grounds.items():
        if ground.place and not there(ground.place):
            piece.grounds[key] = replace(ground, place=None)
    for key, part in piece.parts.items():
        if part.mount and not there(part.mount.place):
            piece.parts[key] = replace(part, mount=None)
    return piece


def put_down(
    harness: Harness, page_id: str | None, fit: Fitted, at: tuple[float, float], words: str,
    more: Iterable[Edit] = (), bends: Mapping[str, tuple[tuple[float, float], ...]] | None = None,
) -> Together:  # fmt: skip
    """Return the step that puts a fitted piece on a page.

    Parameters
    ----------
    page_id
        The page; None for the first one, which is made if there is none.
    at
        Where the middle of the piece comes to, in mm.
    more
        What else belongs to the step.
    bends
        Bend points of wires on the page from now on; none for a wire that shall have none.
    """
    edits: list[Edit] = [
        Put(section, entity) for section in (*_AROUND, *_OWN) for entity in fit.piece.tables[section].values()
    ]
    page, own = page_for(harness, page_id), piece_page(fit.piece)
    items = dict(page.items)
    for key, place in own.items.items():
        items[key] = replace(place, x_mm=place.x_mm + at[0], y_mm=place.y_mm + at[1])
    wires = dict(page.wires)
    for key, some in own.wires.items():
        wires[key] = tuple((x + at[0], y + at[1]) for x, y in some)
    wires.update(bends or {})
    wires = {key: points for key, points in wires.items() if points}
    return together([*edits, Put("pages", replace(page, items=items, wires=wires)), *more], words)


def page_for(harness: Harness, page_id: str | None) -> Page:
    """Return the page to draw on: the one named, the first one, or a first one that is still to be made.

    Raises
    ------
    EditError
        If the page that is named is not there.
    """
    if page_id is not None:
        found = harness.pages.get(page_id)
        if found is None:
            raise EditError(f"there is no page '{page_id}'")
        return found
    return next(iter(harness.pages.values()), FIRST_PAGE)
