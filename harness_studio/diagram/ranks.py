"""Suspects on the diagram: a wash along their wires, rings where their joints are, and the rank beside them.

How sure a group is shows in the breadth of wash and ring and in the fill of the disc, never in colour alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from harness_studio.base.errors import AddressError
from harness_studio.base.geometry import Point
from harness_studio.drawing import fonts
from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme
from harness_studio.placing.links import owner

from .tips import place_of_point

if TYPE_CHECKING:
    from .scene import Scene

WASH_PX = {"likely": 7.0, "possible": 5.0, "unlikely": 2.5}
SHADE = {"likely": 0.62, "possible": 0.4, "unlikely": 0.22}
RING_PX = {"likely": 2.6, "possible": 1.8, "unlikely": 1.0}
RADIUS_PX, DISC_PX = 9.0, 20.0


@dataclass(frozen=True, slots=True)
class Ranked:
    """A suspect group: its rank from 1, likely / possible / unlikely, and the addresses of its members."""

    rank: int
    word: str
    members: tuple[str, ...]


Ranks = tuple[Ranked, ...]


def place_of_anything(scene: Scene, address: str) -> Point | None:
    """Return where a joint, a point or a thing stands on this page; None if it does not."""
    try:
        place = place_of_member(scene, address)
    except AddressError:
        place = None
    if place is None:
        box = scene.place_of(address.partition("/")[0]) or scene.place_of(owner(address))
        place = box.centre if box is not None else None
    return place


def paint_rank_wash(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, ranks: Ranks) -> None:
    """Paint a band along the wires of each group, the likeliest last and broadest."""
    for word in ("unlikely", "possible", "likely"):
        steps = np.full(len(scene.wires), -1, dtype=np.int64)
        for group in ranks:
            for number in (scene.wires.number.get(m) for m in group.members if group.word == word):
                if number is not None:
                    steps[number] = 0
        if (steps >= 0).any():
            scene.wires.paint_bands(painter, at, steps, [_mixed(theme, SHADE[word])], WASH_PX[word])


def paint_ranks(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, ranks: Ranks) -> None:
    """Paint a ring at each joint of a group and its rank at the first, the likeliest on top; none over another."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    r = at.ratio
    discs: list[QRectF] = []
    for group in reversed(ranks):
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(theme.colour("mend"), RING_PX.get(group.word, 1.0) * r))
        for place in spots(scene, group):
            painter.drawEllipse(QPointF(at.x(place.x_mm), at.y(place.y_mm)), RADIUS_PX * r, RADIUS_PX * r)
    for group in ranks:
        first = next(spots(scene, group), None)
        if first is None:
            continue
        disc = _free(QPointF(at.x(first.x_mm), at.y(first.y_mm)), discs, r)
        discs.append(disc)
        paint_disc(
            painter, disc, str(group.rank), group.word, theme.colour("mend"), theme.colour("card"), r
        )  # fmt: skip


def _free(middle: QPointF, taken: list[QRectF], r: float) -> QRectF:
    """Return the box of a disc beside a place: above it if that is free, else at another side of it."""
    size, away = DISC_PX * r, (RADIUS_PX + DISC_PX / 2 + 2) * r
    first: QRectF | None = None
    for far in (1.0, 2.0):
        for dx, dy in ((0.7, -0.7), (-0.7, -0.7), (0.7, 0.7), (-0.7, 0.7), (0, -1), (1, 0), (-1, 0), (0, 1)):
            box = QRectF(
                middle.x() + dx * away * far - size / 2, middle.y() + dy * away * far - size / 2, size, size
            )
            first = first or box
            if not any(box.intersects(other) for other in taken):
                return box
    assert first is not None
    return first


def spots(scene: Scene, group: Ranked) -> Iterator[Point]:
    """Yield where the joints of a group are on the page, those of one place once; of bare wires their middles."""
    found: list[Point] = []
    for address in group.members:
        place = place_of_member(scene, address)
        if place is not None and not any(_near(place, other) for other in found):
            found.append(place)
            yield place


def _near(a: Point, b: Point) -> bool:
    return abs(a.x_mm - b.x_mm) + abs(a.y_mm - b.y_mm) < 0.5


def place_of_member(scene: Scene, address: str) -> Point | None:
    """Return where a joint or wire is on this page; None if it is not."""
    plain = (
        address.split(":")[0] if ":" in address.rpartition(".")[2] or address.endswith(":clip") else address
    )
    if plain in scene.layout.routes:
        points = scene.layout.routes[plain].points
        if len(points) < 2:
            return None
        a, b = max(
            pairwise(points), key=lambda ab: abs(ab[0].x_mm - ab[1].x_mm) + abs(ab[0].y_mm - ab[1].y_mm)
        )
        return Point((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2)
    owner, slash, of = plain.partition("/")
    if plain in scene.harness.grounds:
        box = scene.place_of(plain)
        return Point(box.centre.x_mm, box.bottom_mm - 1.0) if box is not None else None
    if not slash:
        return place_of_point(scene, plain)
    home = scene.symbol_of(owner.partition(".")[0])
    ring = scene.symbols[home].outlines.get(plain) if home is not None else None
    if ring is not None:
        return ring.centre
    return place_of_point(scene, of if "." in of else f"{of}@{owner}")


def paint_disc(
    painter: QPainter, disc: QRectF, rank: str, word: str, ink: QColor, paper: QColor, ratio: float = 1.0
) -> None:  # fmt: skip
    """Paint a rank in its disc: full for likely, a broad ring for possible, a thin one for unlikely."""
    full = word == "likely"
    pen_px = {"possible": 2.4, "likely": 1.6}.get(word, 1.0) * ratio
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(QPen(ink, pen_px))
    painter.setBrush(ink if full else paper)
    painter.drawEllipse(disc.adjusted(pen_px / 2, pen_px / 2, -pen_px / 2, -pen_px / 2))
    painter.setPen(paper if full else ink)
    painter.setFont(fonts.font((fonts.SMALL_PX + 1) * ratio, fonts.BOLD))
    painter.drawText(disc, int(Qt.AlignmentFlag.AlignCenter), rank)


def _mixed(theme: Theme, share: float) -> QColor:
    paper, colour = theme.colour("paper"), theme.colour("mend")
    return QColor.fromRgbF(
        *(
            p + (c - p) * share
            for p, c in zip(paper.getRgbF()[:3], colour.getRgbF()[:3], strict=True)  # type: ignore[index]
        )
    )
