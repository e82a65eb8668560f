"""A connector's face in millimetres: its outline, its lock, and where each cavity is, as seen in the named view."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from harness_studio.base.geometry import Box, Point, around
from harness_studio.model.entities import Half
from harness_studio.model.values import Face

View = Literal["mating", "wire entry"]
Lock = Literal["top", "bottom", "left", "right"]

_RIM_MM = 3.0
_LARGEST_MM = 600.0
_LOCK_LONG_MM, _LOCK_THICK_MM = 10.6, 2.4
_PITCHES = ((16, 8.0), (48, 6.4), (10_000, 5.2))
"""Up to so many cavities, this distance from one to the next."""
_CELL_SHARE = 0.84
_MIRRORED: Mapping[Lock, Lock] = {"left": "right", "right": "left", "top": "top", "bottom": "bottom"}


@dataclass(frozen=True, slots=True)
class Cell:
    """One cavity of a face: its name, its middle and its width and height."""

    name: str
    at: Point
    size_mm: float


@dataclass(frozen=True, slots=True)
class FaceShape:
    """A face about its middle, y downwards.

    Parameters
    ----------
    cells
        In reading order.
    outline
        The shell; of a round one the box around its circle.
    lock
        Which side the lock is on, and `lock_bar` the bar that stands for it, just outside the outline.
    known
        Whether the harness says how the face looks; otherwise it is a plain grid in the order of the names.
    """

    cells: tuple[Cell, ...]
    outline: Box
    shape: Literal["slab", "round"]
    view: View
    lock: Lock | None
    lock_bar: Box | None
    known: bool

    @property
    def extent(self) -> Box:
        """The outline with the lock's bar."""
        found = around([self.outline, *([self.lock_bar] if self.lock_bar else [])])
        assert found is not None
        return found

    def cell(self, name: str) -> Cell | None:
        """Return the cell of a cavity, or None if the face does not show it."""
        return next((c for c in self.cells if c.name == name), None)


def face_shape(half: Half, used: Sequence[str] = ()) -> FaceShape:
    """Return the face of a half, as seen in the view in which it was written down.

    Parameters
    ----------
    used
        Cavities that are known from elsewhere (a wire ends there); those that the face does not show are added in a
        row below it.
    """
    names = list(half.cavity_names())
    names += [n for n in used if n not in names]
    if half.face and half.face.names():
        shown = half.face.names()
        return _with_rows(half.face, [n for n in names if n not in shown], len(names))
    rows = plain_grid(names)
    view: View = half.face.view if half.face else "wire entry"
    lock = half.face.lock if half.face else None
    outline = half.face.outline if half.face else "slab"
    return replace(_with_rows(Face(view, rows, {}, outline, lock), [], len(names)), known=False)


def _with_rows(face: Face, missing: Sequence[str], count: int) -> FaceShape:
    pitch = next(p for most, p in _PITCHES if count <= most)
    places = _rows(face.rows, pitch) if face.rows else _free(face.at_mm, pitch)
    if missing:
        lowest = max((p.y_mm for p in places.values()), default=-pitch)
        left = min((p.x_mm for p in places.values()), default=0.0)
        across = max(len(missing) if not places else _across(places, pitch), 1)
        for i, name in enumerate(missing):
            places[name] = Point(left + i % across * pitch, lowest + (1 + i // across) * pitch)
    cell = pitch * _CELL_SHARE
    room = around([Box(p.x_mm - cell / 2, p.y_mm - cell / 2, cell, cell) for p in places.values()])
    room = room or Box(-cell / 2, -cell / 2, cell, cell)
    middle = room.centre
    cells = tuple(Cell(n, p.moved(-middle.x_mm, -middle.y_mm), cell) for n, p in places.items())
    outline = _outline(face.outline, cells, room, cell)
    return FaceShape(cells, outline, face.outline, face.view, face.lock, lock_bar(outline, face.lock), True)


def _across(places: Mapping[str, Point], pitch: float) -> int:
    xs = [p.x_mm for p in places.values()]
    return round((max(xs) - min(xs)) / pitch) + 1


def _rows(rows: Sequence[Sequence[str | None]], pitch: float) -> dict[str, Point]:
    """Place the cavities of each row; None keeps a place free. A shorter row is centred."""
    widest = max(len(row) for row in rows)
    return {
        name: Point((i + (widest - len(row)) / 2) * pitch, y * pitch)
        for y, row in enumerate(rows)
        for i, name in enumerate(row)
        if name is not None
    }


def _free(at_mm: Mapping[str, tuple[float, float]], pitch: float) -> dict[str, Point]:
    """Scale free positions (y up) so that the two nearest cavities are one pitch apart.

    Positions that would make a face larger than any connector stand for nothing; they give a plain grid.
    """
    spots = list(at_mm.values())
    nearest = min(
        (math.dist(a, b) for i, a in enumerate(spots) for b in spots[i + 1 :] if a != b), default=pitch
    )
    scale = pitch / max(nearest, 1e-9)
    widest = max(
        max(x for x, _ in spots) - min(x for x, _ in spots),
        max(y for _, y in spots) - min(y for _, y in spots),
    )
    if not widest * scale <= _LARGEST_MM:
        return _rows(plain_grid(list(at_mm)), pitch)
    return {name: Point(x * scale, -y * scale) for name, (x, y) in at_mm.items()}


def _outline(shape: Literal["slab", "round"], cells: Sequence[Cell], room: Box, cell: float) -> Box:
    if shape == "round":
        farthest = max((math.hypot(c.at.x_mm, c.at.y_mm) for c in cells), default=0.0)
        radius = _even(farthest + cell * 0.71 + _RIM_MM / 2)
        return Box(-radius, -radius, 2 * radius, 2 * radius)
    width, height = _even(room.width_mm / 2 + _RIM_MM), _even(room.height_mm / 2 + _RIM_MM)
    return Box(-width, -height, 2 * width, 2 * height)


def _even(value: float) -> float:
    """Round up to whole mm, so that teeth and symbols fall on whole mm."""
    return float(math.ceil(value - 1e-9))


def lock_bar(outline: Box, lock: Lock | None) -> Box | None:
    """Return the bar that marks the lock's side, just outside the outline."""
    if lock is None:
        return None
    side = outline.width_mm if lock in ("top", "bottom") else outline.height_mm
    long, thick = min(_LOCK_LONG_MM, side * 0.6), _LOCK_THICK_MM
    return {
        "top": Box(-long / 2, outline.top_mm - thick, long, thick),
        "bottom": Box(-long / 2, outline.bottom_mm, long, thick),
        "left": Box(outline.left_mm - thick, -long / 2, thick, long),
        "right": Box(outline.right_mm, -long / 2, thick, long),
    }[lock]


def seen_from_behind(face: FaceShape) -> FaceShape:
    """Return the face in its other view: what is left comes to the right, nothing changes up and down."""
    cells = tuple(replace(c, at=Point(-c.at.x_mm, c.at.y_mm)) for c in face.cells)
    in_order = tuple(sorted(cells, key=lambda c: (c.at.y_mm, c.at.x_mm)))
    lock = _MIRRORED[face.lock] if face.lock else None
    view: View = "mating" if face.view == "wire entry" else "wire entry"
    return replace(face, cells=in_order, view=view, lock=lock, lock_bar=lock_bar(face.outline, lock))


def plain_grid(names: Sequence[str]) -> tuple[tuple[str | None, ...], ...]:
    """Arrange cavities of which only the names are known: in rows, in the natural order of their names."""
    in_order = sorted(names, key=natural)
    count = len(in_order)
    rows = next(r for most, r in ((3, 1), (20, 2), (48, 3), (10_000, 4)) if count <= most)
    across = max(1, math.ceil(count / rows))
    return tuple(tuple(in_order[i : i + across]) for i in range(0, max(count, 1), across)) or ((),)


def natural(name: str) -> tuple[tuple[bool, int, str], ...]:
    """Return a key that sorts 2 before 10 and A before B."""
    pieces = [p for p in re.split(r"(\d+)", name) if p]
    return tuple((not p.isdigit(), int(p) if p.isdigit() else 0, p) for p in pieces)
