"""The edit that moves symbols."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from harness_studio.model.edits import Together, change
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner


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


def _both_ends(harness: Harness, wire_id: str, ids: set[str]) -> bool:
    wire = harness.wires.get(wire_id)
    return wire is not None and all(e.point is not None and owner(e.point) in ids for e in wire.ends)
