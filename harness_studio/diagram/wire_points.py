"""Where on the paper a wire may begin or end: terminals, cavities, splices, grounds and places of bodies."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from harness_studio.base.geometry import Point
from harness_studio.placing.homes import mated_groups
from harness_studio.placing.links import owner
from harness_studio.placing.symbols import Symbol

from .scene import Hit, Scene

NEAR_TERMINAL_MM = 9.0
HANDLE_MM = 2.2
"""Radius of the handle beside a splice, ground or body from which a wire is drawn."""


@dataclass(frozen=True, slots=True)
class WirePoint:
    """A point that a wire may end on, and where it is on the page."""

    point: str
    at: Point


def begins(scene: Scene, hit: Hit | None) -> WirePoint | None:
    """Return the point a wire begins at when one drags from there: a terminal or a cavity, else None.

    Splices, grounds and bodies are moved when they are dragged; wires begin at their handles.
    """
    if hit is None or hit.kind == "wire" or hit.point is None or "/" in hit.point or "@" in hit.point:
        return None
    harness, thing = scene.harness, owner(hit.point)
    if thing in harness.halves:
        return _placed(scene, hit.id, _of_pair(scene, hit.id, hit.point))
    return _placed(scene, hit.id, hit.point) if thing in harness.parts else None


def ends(scene: Scene, hit: Hit | None, here: Point) -> WirePoint | None:
    """Return the point a wire ends at when it is dropped on something; None where there is none."""
    if hit is None or hit.kind == "wire":
        return None
    harness, thing = scene.harness, hit.member
    if thing in harness.splices or thing in harness.grounds:
        return _placed(scene, hit.id, thing)
    if thing in harness.bodies:
        return _place_of_body(scene, hit.id, thing, here)
    found = begins(scene, hit)
    if found is not None or thing in harness.halves:
        return found
    part = harness.parts.get(thing)
    if part is None:
        return None
    names = part.terminals()
    if names is None:
        return _next_of_any(scene, hit)
    near = _nearest(scene.symbols[hit.id], [f"{thing}.{name}" for name in names], here)
    return near if near is not None and _apart(near.at, here) <= NEAR_TERMINAL_MM else None


def _place_of_body(scene: Scene, symbol_id: str, body: str, here: Point | None) -> WirePoint | None:
    """Return the place of a body that a wire ends on: one near by, else one where nothing is yet, else the nearest."""
    symbol = scene.symbols[symbol_id]
    places = [f"{body}.{place}" for place in scene.harness.bodies[body].places_mohm]
    used = {point for _, point in symbol.wire_anchors}
    near = _nearest(symbol, [p for p in places if p in used], here) if here is not None else None
    if near is not None and here is not None and _apart(near.at, here) <= NEAR_TERMINAL_MM:
        return near
    free = next((p for p in places if p not in used), places[0] if places else None)
    if free is None:
        return None
    return near if near is not None and free in used else _placed(scene, symbol_id, free)


def _next_of_any(scene: Scene, hit: Hit) -> WirePoint:
    """Return the next terminal, by number, of a part on which any name is one."""
    used = {end.point for wire in scene.harness.wires.values() for end in wire.ends if end.point is not None}
    number = 1
    while f"{hit.member}.{number}" in used:
        number += 1
    box = scene.symbols[hit.id].outlines.get(hit.member) or scene.symbols[hit.id].box
    return WirePoint(f"{hit.member}.{number}", box.centre)


def _of_pair(scene: Scene, symbol_id: str, point: str) -> str:
    """Return the cavity of the mated half where this one is taken and that one is free."""
    harness = scene.harness
    half_id, _, name = point.partition(".")
    used = {end.point for wire in harness.wires.values() for end in wire.ends if end.point is not None}
    if point not in used:
        return point
    for other in mated_groups(harness).get(half_id, ()):
        if other == half_id:
            continue
        pairs = harness.halves[half_id].mates.get(other)
        back = harness.halves[other].mates.get(half_id)
        theirs = (pairs or {}).get(name) or next((o for o, n in (back or {}).items() if n == name), name)
        if f"{other}.{theirs}" not in used and theirs in harness.halves[other].cavity_names():
            return f"{other}.{theirs}"
    return point


def _placed(scene: Scene, symbol_id: str, point: str) -> WirePoint:
    return WirePoint(point, place_of(scene, point) or scene.symbols[symbol_id].box.centre)


def place_of(scene: Scene, point: str) -> Point | None:
    """Return where a point is on the page; None if it is not there."""
    home = scene.symbol_of(owner(point))
    if home is None:
        return None
    anchor = scene.symbols[home].anchors.get(point)
    if anchor is not None:
        return anchor.at
    thing = owner(point)
    box = scene.symbols[home].outlines.get(thing) or scene.symbols[home].box
    return box.centre


def _nearest(symbol: Symbol, points: Iterable[str], here: Point) -> WirePoint | None:
    found = [
        (_apart(symbol.anchors[p].at, here), n, WirePoint(p, symbol.anchors[p].at))
        for n, p in enumerate(points)
        if p in symbol.anchors
    ]
    return min(found, key=lambda f: f[:2])[2] if found else None


def terminals_of(scene: Scene, thing: str) -> list[WirePoint]:
    """Return the terminals of a part where they are on the page; none for what is no part."""
    home = scene.symbol_of(thing) if thing in scene.harness.parts else None
    if home is None:
        return []
    anchors = scene.symbols[home].anchors
    names = scene.harness.parts[thing].terminals() or ()
    found = [f"{thing}.{name}" for name in names] or [p for p in anchors if p.startswith(f"{thing}.")]
    return [WirePoint(p, anchors[p].at) for p in found if p in anchors]


def _apart(a: Point, b: Point) -> float:
    return abs(a.x_mm - b.x_mm) + abs(a.y_mm - b.y_mm)


def handle_of(scene: Scene, thing: str) -> WirePoint | None:
    """Return the handle of a splice, ground or body from which a wire is drawn; None for anything else.

    Its point is the thing's own; of a body the first place where nothing is yet, else its first.
    """
    harness, home = scene.harness, scene.symbol_of(thing)
    if home is None:
        return None
    symbol = scene.symbols[home]
    box = symbol.outlines.get(thing) or symbol.box
    if thing in harness.splices:
        return WirePoint(thing, box.centre.moved(5.0, 5.0))
    if thing in harness.grounds:
        return WirePoint(thing, Point(box.right_mm + 4.0, box.bottom_mm - 3.0))
    if thing in harness.bodies and harness.bodies[thing].places_mohm:
        found = _place_of_body(scene, home, thing, None)
        if found is not None:
            return WirePoint(found.point, Point(box.right_mm + 4.0, box.centre.y_mm))
    return None
