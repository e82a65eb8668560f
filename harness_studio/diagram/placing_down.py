"""Putting a piece down on the paper: on empty paper, into a wire, on a body, or at the end of a new wire."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from harness_studio.base.errors import EditError
from harness_studio.base.geometry import Point
from harness_studio.model.drawing.ids import LETTERS, FreeIds
from harness_studio.model.drawing.laying import Pen, check_end, off_stacks, with_end
from harness_studio.model.drawing.parting import part_edits, ports_of
from harness_studio.model.drawing.pieces import Fitted, fitted, page_for, put_down
from harness_studio.model.edits import Put, Together
from harness_studio.model.harness import Harness
from harness_studio.model.values import End
from harness_studio.placing.return_drafts import BAR_MM

from .gestures.move import GRID_MM
from .moving import PLACE_MOHM
from .scene import Scene


@dataclass(frozen=True, slots=True)
class Placed:
    """A step that puts something down, and the ids that it adds."""

    edit: Together
    ids: tuple[str, ...]


def snapped(p: Point) -> Point:
    """Return the place on the grid that is nearest."""
    return Point(round(p.x_mm / GRID_MM) * GRID_MM, round(p.y_mm / GRID_MM) * GRID_MM)


def on_paper(harness: Harness, page_id: str | None, piece: Harness, at: Point, words: str) -> Placed:
    """Return the step that puts a piece on empty paper."""
    fit = fitted(harness, piece)
    place = snapped(at)
    return Placed(put_down(harness, page_id, fit, (place.x_mm, place.y_mm), words), _ids(fit))


def on_body(
    harness: Harness, page_id: str | None, piece: Harness, body_id: str, at: Point, words: str
) -> Placed:
    """Return the step that puts a ground on a body: on a new place of its own, whose resistance is assumed."""
    fit = fitted(harness, piece)
    body, (ground_id, ground) = harness.bodies[body_id], next(iter(fit.piece.grounds.items()))
    name = ground_id.lower()
    fit.piece.grounds[ground_id] = replace(ground, place=f"{body_id}.{name}")
    more = Put("bodies", replace(body, places_mohm={**body.places_mohm, name: PLACE_MOHM}))
    bar, place = page_for(harness, page_id).items.get(body_id), snapped(at)
    # Its foot stands on the edge of the bar.
    y = bar.y_mm - BAR_MM / 2 if bar is not None and not bar.turn else place.y_mm
    edit = put_down(harness, page_id, fit, (place.x_mm, y), f"{words} on {body_id}", [more])
    return Placed(edit, _ids(fit))


def _with_a_point(harness: Harness, piece: Harness) -> tuple[Fitted, str]:
    """Return a piece fitted into a harness, and the first point of it that takes a wire.

    Raises
    ------
    EditError
        If nothing of it does.
    """
    fit = fitted(harness, piece)
    point = first_point(fit.piece)
    if point is None:
        raise EditError("nothing of it takes a wire")
    return fit, point


def into_wire(
    scene: Scene, harness: Harness, piece: Harness, wire_id: str, here: Point, words: str,
    tail: tuple[End, Pen] | None = None,
) -> Placed:  # fmt: skip
    """Return the step that puts a piece into a wire.

    Parameters
    ----------
    here
        Where on the page of the scene.
    tail
        Where a further wire comes from that ends on the piece, and the pen it is laid with.

    Raises
    ------
    EditError
        If the piece does not go into a wire, or the wire is not on the page.
    """
    route = scene.layout.routes.get(wire_id)
    fit = fitted(harness, piece)
    ports = ports_of(fit.piece)
    if ports is None or route is None:
        raise EditError(
            f"this does not go into {wire_id}: drop a splice, an in-line connector or a fuse on a wire"
        )
    at, share = on_way(route.points, here)
    page = page_for(harness, scene.page.id or None)
    bends = page.wires.get(wire_id, ())
    far = [on_way(route.points, Point(*bend))[1] for bend in bends]
    before = tuple(b for b, s in zip(bends, far, strict=True) if s < share)
    after = tuple(b for b, s in zip(bends, far, strict=True) if s >= share)
    free = FreeIds({k for s, k in harness.refs() if s != "settings"} | set(_ids(fit)))
    edits, second = part_edits(harness, wire_id, ports, share, free, page.id)
    added = [*_ids(fit), second]
    if tail is not None:
        start, pen = tail
        check_end(harness, start)
        added.append(free.next(LETTERS["wires"]))
        edits.append(Put("wires", pen.wire(added[-1], (start, End("point", ports.first)))))
    edit = put_down(
        harness,
        page.id,
        fit,
        (at.x_mm, at.y_mm),
        f"{words} into {wire_id}",
        edits,
        {wire_id: before, second: after},
    )
    return Placed(edit, tuple(added))


def at_end(
    harness: Harness, page_id: str | None, piece: Harness, at: Point, start: End, pen: Pen, words: str
) -> Placed:
    """Return the step that puts a piece down and lays a wire to it.

    Raises
    ------
    EditError
        If nothing of the piece takes a wire.
    """
    fit, point = _with_a_point(harness, piece)
    check_end(harness, start)
    free = FreeIds({k for s, k in harness.refs() if s != "settings"} | set(_ids(fit)))
    wire = pen.wire(free.next(LETTERS["wires"]), (start, End("point", point)))
    place = snapped(at)
    edit = put_down(harness, page_id, fit, (place.x_mm, place.y_mm), words, [Put("wires", wire)])
    return Placed(edit, (*_ids(fit), wire.id))


def under_end(
    harness: Harness, page_id: str | None, piece: Harness, at: Point, end: tuple[str, int], words: str
) -> Placed:
    """Return the step that puts a piece down and takes an end (wire, 0 or 1) of a wire to it.

    Raises
    ------
    EditError
        If nothing of the piece takes a wire.
    """
    fit, point = _with_a_point(harness, piece)
    wire = harness.wires[end[0]]
    more = [
        Put("wires", with_end(wire, end[1], End("point", point))),
        *off_stacks(harness, wire.id, wire.ends[end[1]].point),
    ]
    place = snapped(at)
    return Placed(put_down(harness, page_id, fit, (place.x_mm, place.y_mm), words, more), _ids(fit))


def first_point(piece: Harness) -> str | None:
    """Return the point of a piece that a wire from elsewhere ends on: its splice, stud, cavity or terminal."""
    for key in (*piece.splices, *piece.grounds):
        return key
    for half in piece.halves.values():
        for name in half.cavity_names():
            return f"{half.id}.{name}"
    for body in piece.bodies.values():
        for place in body.places_mohm:
            return f"{body.id}.{place}"
    for part in piece.parts.values():
        for bus in getattr(part.ratings, "buses", ()):
            return str(bus[0])
        for name in part.terminals() or ("1",):
            return f"{part.id}.{name}"
    return None


def on_way(points: Iterable[Point], here: Point) -> tuple[Point, float]:
    """Return the place on a way that is nearest to `here`, on the grid along it, and its share of the way."""
    best, passed = (float("inf"), Point(0, 0), 0.0), 0.0
    for a, b in pairwise(points):
        length = abs(b.x_mm - a.x_mm) + abs(b.y_mm - a.y_mm)
        x = min(max(here.x_mm, min(a.x_mm, b.x_mm)), max(a.x_mm, b.x_mm))
        y = min(max(here.y_mm, min(a.y_mm, b.y_mm)), max(a.y_mm, b.y_mm))
        away = abs(here.x_mm - x) + abs(here.y_mm - y)
        if away < best[0]:
            best = (away, Point(x, y), passed + abs(x - a.x_mm) + abs(y - a.y_mm))
        passed += length
    _, at, so_far = best
    return at, (so_far / passed if passed else 0.5)


def _ids(fit: Fitted) -> tuple[str, ...]:
    return tuple(key for _, key in fit.own)
