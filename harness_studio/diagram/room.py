"""Which texts have room at a zoom: greedy by rank, decided once per zoom step and square of the page.

Panning never changes what is shown, and a large page costs only for the part that is looked at.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.pixels import NATURAL_PX_PER_MM
from harness_studio.drawing.strokes import Text
from harness_studio.drawing.texts import LEAST_PX, extent_px, pixel_size

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

STEPS_PER_DOUBLING = 8
SQUARE_MM = 800.0
"""Side of the squares that are decided at once."""
AROUND_MM = 70.0
"""How far beyond a square its texts may reach."""
_CELL_PX = 3.0
Square = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of text that find room together or not at all.

    Parameters
    ----------
    lines
        The one next to its thing last.
    owner
        Id of the symbol or wire they belong to.
    short
        What is written in place of the last line where the whole has no room.
    within_mm
        Width that it must keep to, of a text that stands on something.
    """

    lines: tuple[Text, ...]
    owner: str
    short: str | None = None
    within_mm: float | None = None
    ways: tuple[tuple[Text, ...], ...] = field(init=False, compare=False)
    """What is tried in turn."""

    def __post_init__(self) -> None:
        short = () if self.short is None else ((replace(self.lines[-1], text=self.short),),)
        object.__setattr__(self, "ways", (self.lines, *short))

    @property
    def largest_mm(self) -> float:
        """How large its last line may be drawn."""
        return max(self.lines[-1].room_mm, self.lines[-1].size_mm)


class _Listed:
    """The texts of labels by number, in order of rank, and what is known of all of them at once."""

    def __init__(self, labels: Sequence[Label], obstacles: Sequence[Box]) -> None:
        texts: list[Text] = []
        owners: list[str] = []
        self.above: list[float] = []
        self.tries: list[tuple[Label, list[list[int]]]] = []
        for label in sorted(labels, key=lambda one: one.lines[0].rank):
            numbers = []
            for way in label.ways:
                numbers.append(list(range(len(texts), len(texts) + len(way))))
                texts += way
                self.above += [text.y_mm - way[-1].y_mm for text in way]
                owners += [label.owner] * len(way)
            self.tries.append((label, numbers))
        self.texts, self.owners = tuple(texts), tuple(owners)
        last = [label.lines[-1] for label, _ in self.tries]
        self.anchors = np.array([(text.x_mm, text.y_mm) for text in last]).reshape(-1, 2)
        self.largest_mm = np.array([label.largest_mm for label, _ in self.tries])
        self.obstacles = np.array(
            [(b.left_mm, b.top_mm, b.right_mm, b.bottom_mm) for b in obstacles], dtype=np.float64
        ).reshape(-1, 4)


class Room:
    """The labels of a page, and which of their texts are shown at a zoom.

    Above natural size the page only grows, so the choice stays that of natural size. Labels are listed when they are
    first needed: from afar none is legible.

    Parameters
    ----------
    obstacles
        What no text may cover.
    """

    def __init__(self, labels: Sequence[Label], obstacles: Sequence[Box]) -> None:
        self._given = labels, obstacles
        self._known: dict[tuple[int, Square], list[int]] = {}

    @cached_property
    def listed(self) -> _Listed:
        """The texts, listed."""
        return _Listed(*self._given)

    def get_ready(self) -> None:
        """List the labels now; on any thread."""
        _ = self.listed, self._most_mm

    @property
    def texts(self) -> tuple[Text, ...]:
        """The texts by number."""
        return self.listed.texts

    @property
    def owners(self) -> tuple[str, ...]:
        """Id of the symbol or wire that each text belongs to."""
        return self.listed.owners

    @cached_property
    def _most_mm(self) -> float:
        """How large the largest text may be drawn."""
        return max((label.largest_mm for label in self._given[0]), default=0.0)

    def shown(self, zoom: float, seen: Box) -> list[int]:
        """Return the numbers of the texts that have room and may reach into what is seen, in order of rank."""
        step = min(0, math.floor(math.log2(max(zoom, 1e-3)) * STEPS_PER_DOUBLING + 1e-6))
        scale = 2 ** (step / STEPS_PER_DOUBLING) * NATURAL_PX_PER_MM
        if self._most_mm * scale < LEAST_PX:
            return []
        near = seen.grown(AROUND_MM)
        found: list[int] = []
        for column in range(int(near.left_mm // SQUARE_MM), int(near.right_mm // SQUARE_MM) + 1):
            for row in range(int(near.top_mm // SQUARE_MM), int(near.bottom_mm // SQUARE_MM) + 1):
                found += self._decided((column, row), step, scale)
        texts = self.texts
        return [
            n
            for n in found
            if near.left_mm <= texts[n].x_mm <= near.right_mm
            and near.top_mm <= texts[n].y_mm <= near.bottom_mm
        ]

    def y_mm(self, number: int, enlarged: float) -> float:
        """Return how far down a text stands when its type is so many times larger than natural.

        Lines above another one move up with their size; the last one stays beside its thing.
        """
        return self.texts[number].y_mm + self.listed.above[number] * (enlarged - 1)

    def _decided(self, square: Square, step: int, scale: float) -> list[int]:
        found = self._known.get((step, square))
        if found is None:
            found = self._known[step, square] = self._choose(square, step, scale)
        return found

    def _choose(self, square: Square, step: int, scale: float) -> list[int]:
        """Decide a square; neighbours of an earlier turn (of four) come first, so that nothing overlaps at a border."""
        left, top = square[0] * SQUARE_MM, square[1] * SQUARE_MM
        reach = Box(left, top, SQUARE_MM, SQUARE_MM).grown(AROUND_MM)
        listed = self.listed
        field = _Field(left - AROUND_MM, top - AROUND_MM, scale, listed.obstacles)
        for column, row in product((-1, 0, 1), repeat=2):
            beside = (square[0] + column, square[1] + row)
            if _turn(beside) < _turn(square):
                for number in self._decided(beside, step, scale):
                    text = listed.texts[number]
                    if reach.contains(Point(text.x_mm, text.y_mm)):
                        spot = field.spot(text, listed.above[number], None)
                        if spot is not None:
                            field.take(spot)
        x, y = listed.anchors[:, 0], listed.anchors[:, 1]
        here = (x >= left) & (x < left + SQUARE_MM) & (y >= top) & (y < top + SQUARE_MM)
        legible = listed.largest_mm * scale >= LEAST_PX - 0.25
        chosen: list[int] = []
        for index in np.flatnonzero(here & legible).tolist():
            chosen += self._first_free(field, *listed.tries[index])
        return chosen

    def _first_free(self, field: _Field, label: Label, ways: list[list[int]]) -> list[int]:
        for way in ways:
            spots = [field.spot(self.texts[n], self.listed.above[n], label.within_mm) for n in way]
            if all(spot is not None and field.is_free(spot) for spot in spots):
                for spot in spots:
                    field.take(spot)  # type: ignore[arg-type]
                return way
        return []


def _turn(square: Square) -> int:
    return square[0] % 2 + 2 * (square[1] % 2)


Spot = tuple[slice, slice]


class _Field:
    """A square of the page in small cells, each free or taken."""

    def __init__(self, left_mm: float, top_mm: float, scale: float, obstacles: Floats) -> None:
        self._left, self._top, self._scale = left_mm * scale, top_mm * scale, scale
        side = int((SQUARE_MM + 2 * AROUND_MM) * scale / _CELL_PX) + 2
        self._taken = np.zeros((side, side), dtype=bool)
        reach = SQUARE_MM + 2 * AROUND_MM
        near = (
            (obstacles[:, 0] < left_mm + reach) & (obstacles[:, 1] < top_mm + reach)
            & (obstacles[:, 2] > left_mm) & (obstacles[:, 3] > top_mm)
        )  # fmt: skip
        cells = (obstacles[near] * scale - np.array([self._left, self._top] * 2)) / _CELL_PX
        # A cell counts as taken only if the box covers more than its edge: texts stand close beside their symbol.
        first = np.maximum(0, np.ceil(cells[:, :2])).astype(int).tolist()
        last = np.maximum(0, np.floor(cells[:, 2:])).astype(int).tolist()
        for (x0, y0), (x1, y1) in zip(first, last, strict=True):
            self._taken[y0:y1, x0:x1] = True

    def spot(self, text: Text, above_mm: float, within_mm: float | None) -> Spot | None:
        """Return the cells that a text covers; None where it would be too small or too wide."""
        size = pixel_size(text, self._scale)
        if size is None:
            return None
        dx, dy, width, height = extent_px(text, size)
        if within_mm is not None and width > within_mm * self._scale:
            return None
        enlarged = size / (text.size_mm * self._scale)
        x = text.x_mm * self._scale - self._left + dx
        y = (text.y_mm + above_mm * (enlarged - 1)) * self._scale - self._top + dy
        rows = slice(max(0, int((y + 2) / _CELL_PX)), max(0, int((y + height - 2) / _CELL_PX) + 1))
        return rows, slice(max(0, int(x / _CELL_PX)), max(0, int((x + width) / _CELL_PX) + 1))

    def is_free(self, spot: Spot) -> bool:
        """Tell whether nothing is there."""
        return not self._taken[spot].any()

    def take(self, spot: Spot) -> None:
        """Put something there."""
        self._taken[spot] = True
