"""The edit that moves symbols."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from harness_studio.base.geometry import Point
from harness_studio.model.edits import Put, Together, change
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner
from harness_studio.placing.return_drafts import BAR_MM

if TYPE_CHECKING:
    from .scene import Scene

PLACE_MOHM = 0.3
"""From a new place of a body to its centre (common practice, no source)."""
NEAR_MM = 10.0
"""A ground that is put down this near above a body stands on it."""


def move_edit(harness: Harness, page: Page, ids: Iterable[str], dx_mm: float, dy_mm: float) -> Together:
    """Return the step that moves symbols on a page.

    Bend points that the user made on wires between two moved symbols move along.

    Raises
    ------
    EditError
        If the page is not there any more.
    """
    moved = list(ids)
    items = dict(page.items)
    for key in moved:
        items[key] = replace(items[key], x_mm=items[key].x_mm + dx_mm, y_mm=items[key].y_mm + dy_mm)
    wires = {
        wire: tuple((x + dx_mm, y + dy_mm) for x, y in bends)
        if _both_ends(harness, wire, set(moved))
        else bends
        for wire, bends in page.wires.items()
    }
    words = f"move {moved[0]}" if len(moved) == 1 else f"move {len(moved)} symbols"
    return change(harness, "pages", page.id, words, items=items, wires=wires)


def body_below(scene: Scene, foot: Point) -> str | None:
    """Return the body that a ground stands on when its foot is put down somewhere: the bar there, or close below."""
    for body in scene.harness.bodies:
        box = scene.place_of(body)
        if box is None or not box.left_mm <= foot.x_mm <= box.right_mm:
            continue
        if box.top_mm - NEAR_MM <= foot.y_mm <= box.bottom_mm:
            return body
    return None


def stand_edit(scene: Scene, ids: Sequence[str], dx_mm: float, dy_mm: float) -> Together | None:
    """Return the step that moves a ground without a place onto a body: on a new place whose resistance is assumed.

    None where something else is moved, or to where no body is.
    """
    harness, page = scene.harness, scene.page
    ground = harness.grounds.get(ids[0]) if len(ids) == 1 else None
    item = page.items.get(ids[0])
    if ground is None or ground.place is not None or item is None:
        return None
    body_id = body_below(scene, Point(item.x_mm + dx_mm, item.y_mm + dy_mm))
    if body_id is None:
        return None
    body, name, bar = harness.bodies[body_id], ground.id.lower(), page.items.get(body_id)
    down = bar.y_mm - BAR_MM / 2 - item.y_mm if bar is not None and not bar.turn else dy_mm
    more = (
        Put("bodies", replace(body, places_mohm={**body.places_mohm, name: PLACE_MOHM})),
        Put("grounds", replace(ground, place=f"{body_id}.{name}")),
    )
    moved = move_edit(harness, page, ids, dx_mm, down)
    return Together((*more, *moved.edits), f"put {ground.id} on {body_id}")


def _both_ends(harness: Harness, wire_id: str, ids: set[str]) -> bool:
    wire = harness.wires.get(wire_id)
    return wire is not None and all(e.point is not None and owner(e.point) in ids for e in wire.ends)
