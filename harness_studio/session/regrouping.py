"""Arranging a part of a page by itself: what is selected, or what belongs to each zone."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from harness_studio.base.geometry import Box, around
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing.arrange import arrange
from harness_studio.placing.arranging import grouped, on_grid, put_free
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import on_page

from .clipping import clip


def arranged(harness: Harness, page: Page, keys: Sequence[str], others: Collection[Box]) -> dict[str, At]:
    """Return the places of a page with some symbols arranged by themselves, near where they were and beside the rest.

    Parameters
    ----------
    others
        Boxes of what stays.
    """
    here = _alone(harness, page, keys)
    was = around([Box(page.items[k].x_mm, page.items[k].y_mm, 0.0, 0.0) for k in keys])
    now = around([Box(at.x_mm, at.y_mm, 0.0, 0.0) for at in here.values()])
    if was is None or now is None:
        return dict(page.items)
    dx, dy = on_grid(was.centre.x_mm - now.centre.x_mm), on_grid(was.centre.y_mm - now.centre.y_mm)
    moved = {k: replace(at, x_mm=at.x_mm + dx, y_mm=at.y_mm + dy) for k, at in here.items()}
    step = put_free(boxes_of(harness, page, moved), others)
    return {**page.items, **_stepped(moved, step)}


def _alone(harness: Harness, page: Page, keys: Sequence[str]) -> dict[str, At]:
    """Return places of some symbols as if nothing else were there."""
    members = set(keys)
    for half in harness.halves.values():
        if members & half.mates.keys() or half.id in members:
            members |= {half.id, *half.mates}
        if half.part in members:
            members.add(half.id)
    piece = clip(harness, page, members)
    for body in [b for b in piece.bodies if b not in members]:
        for key, ground in piece.grounds.items():
            if ground.place and ground.place.startswith(f"{body}."):
                piece.grounds[key] = replace(ground, place=None)
        for key, part in piece.parts.items():
            if part.mount and part.mount.place.startswith(f"{body}."):
                piece.parts[key] = replace(part, mount=None)
        del piece.bodies[body]
    found = arrange(piece)
    return {key: found[key] for key in keys if key in found}


def boxes_of(harness: Harness, page: Page, items: Mapping[str, At]) -> dict[str, Box]:
    """Return the room that symbols take at some places."""
    found = symbols(harness, replace(page, items={**page.items, **items}))
    return {key: on_page(found[key], at).clear for key, at in items.items() if key in found}


def _stepped(items: Mapping[str, At], step: tuple[float, float]) -> dict[str, At]:
    return {k: replace(at, x_mm=at.x_mm + step[0], y_mm=at.y_mm + step[1]) for k, at in items.items()}


def by_zone(harness: Harness, page: Page, keys: Sequence[str]) -> dict[str, At]:
    """Return the places of a page with some symbols in blocks, one for each zone, side by side in the file's order.

    Each zone is arranged by itself; bodies stay where they are.
    """
    zones: dict[str | None, list[str]] = {zone: [] for zone in harness.zones}
    for key in keys:
        section = harness.section_of(key)
        if section is None or section == "bodies":
            continue
        zone = getattr(harness.tables[section][key], "zone", None)
        zones.setdefault(zone, []).append(key)
    items: dict[str, At] = {}
    blocks: dict[str, dict[str, Box]] = {}
    for number, some in enumerate(zones.values()):
        if some:
            places = _alone(harness, page, some)
            items.update(places)
            blocks[str(number)] = boxes_of(harness, page, places)
    corner = around([Box(page.items[k].x_mm, page.items[k].y_mm, 0.0, 0.0) for k in keys if k in items])
    whole = around([b for some in blocks.values() for b in some.values()])
    steps = grouped(blocks)
    if corner is None or whole is None:
        return dict(page.items)
    dx, dy = on_grid(corner.left_mm - whole.left_mm), on_grid(corner.top_mm - whole.top_mm)
    placed = {k: _stepped({k: at}, steps.get(k, (0.0, 0.0)))[k] for k, at in items.items()}
    return {**page.items, **_stepped(placed, (dx, dy))}
