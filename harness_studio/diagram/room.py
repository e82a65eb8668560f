"""Which texts have room at a zoom: greedy by rank, decided once per step of zoom, so that panning never changes it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from harness_studio.base.geometry import Box
from harness_studio.drawing.pixels import NATURAL_PX_PER_MM
from harness_studio.drawing.strokes import Text
from harness_studio.drawing.texts import extent_px, pixel_size

if TYPE_CHECKING:
    from numpy.typing import NDArray

STEPS_PER_DOUBLING = 8
_CELL_PX = 3.0
_MOST_CELLS = 30_000_000


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


class Room:
    """The labels of a page, and which of their texts are shown at a zoom.

    Above natural size the page only grows, so the choice stays that of natural size.

    Parameters
    ----------
    obstacles
        What no text may cover.
    extent
        The box around everything.
    """

    def __init__(self, labels: Sequence[Label], obstacles: Sequence[Box], extent: Box) -> None:
        texts: list[Text] = []
        self._above: list[float] = []
        owners: list[str] = []
        self._tries: list[tuple[Label, list[list[int]]]] = []
        for label in sorted(labels, key=lambda one: one.lines[0].rank):
            ways = [list(label.lines)]
            if label.short is not None:
                ways.append([replace(label.lines[-1], text=label.short)])
            numbers = []
            for way in ways:
                numbers.append(list(range(len(texts), len(texts) + len(way))))
                texts += way
                self._above += [text.y_mm - way[-1].y_mm for text in way]
                owners += [label.owner] * len(way)
            self._tries.append((label, numbers))
        self.texts, self.owners = tuple(texts), tuple(owners)
        self._obstacles = obstacles
        self._extent = extent.grown(80)
        self._known: dict[int, NDArray[np.int64]] = {}
        self._x = np.array([text.x_mm for text in self.texts])
        self._y = np.array([text.y_mm for text in self.texts])

    def shown(self, zoom: float) -> NDArray[np.int64]:
        """Return the numbers of the texts that have room, in order of rank."""
        step = min(0, math.floor(math.log2(max(zoom, 1e-3)) * STEPS_PER_DOUBLING + 1e-6))
        found = self._known.get(step)
        if found is None:
            scale = 2 ** (step / STEPS_PER_DOUBLING) * NATURAL_PX_PER_MM
            found = self._known[step] = self._choose(scale)
        return found

    def within(self, numbers: NDArray[np.int64], seen: Box) -> list[int]:
        """Return those of the numbers whose anchor can be seen."""
        if not len(numbers):
            return []
        x, y = self._x[numbers], self._y[numbers]
        near = seen.grown(60)
        keep = (x >= near.left_mm) & (x <= near.right_mm) & (y >= near.top_mm) & (y <= near.bottom_mm)
        return numbers[keep].tolist()

    def y_mm(self, number: int, enlarged: float) -> float:
        """Return how far down a text stands when its type is so many times larger than natural.

        Lines above another one move up with their size; the last one stays beside its thing.
        """
        return self.texts[number].y_mm + self._above[number] * (enlarged - 1)

    def _choose(self, scale: float) -> NDArray[np.int64]:
        cell = max(
            _CELL_PX, math.sqrt(self._extent.width_mm * self._extent.height_mm * scale**2 / _MOST_CELLS)
        )
        left, top = self._extent.left_mm * scale, self._extent.top_mm * scale
        across = int(self._extent.width_mm * scale / cell) + 2
        down = int(self._extent.height_mm * scale / cell) + 2
        taken = np.zeros((down, across), dtype=bool)
        for box in self._obstacles:
            self._mark(taken, box, scale, left, top, cell)
        chosen: list[int] = []
        for label, ways in self._tries:
            for way in ways:
                spots = [self._spot(n, label.within_mm, scale, left, top, cell) for n in way]
                if any(spot is None or taken[spot].any() for spot in spots):
                    continue
                for spot in spots:
                    taken[spot] = True  # type: ignore[index]
                chosen += way
                break
        return np.array(chosen, dtype=np.int64)

    def _spot(
        self, number: int, within_mm: float | None, scale: float, left: float, top: float, cell: float
    ) -> tuple[slice, slice] | None:
        """Return the cells that a text covers; None where it would be too small or too wide."""
        text = self.texts[number]
        size = pixel_size(text, scale)
        if size is None:
            return None
        dx, dy, width, height = extent_px(text, size)
        if within_mm is not None and width > within_mm * scale:
            return None
        x, y = (
            text.x_mm * scale - left + dx,
            self.y_mm(number, size / (text.size_mm * scale)) * scale - top + dy,
        )
        rows = slice(max(0, int((y + 2) / cell)), int((y + height - 2) / cell) + 1)
        return rows, slice(max(0, int(x / cell)), int((x + width) / cell) + 1)

    @staticmethod
    def _mark(taken: NDArray[np.bool_], box: Box, scale: float, left: float, top: float, cell: float) -> None:
        # A cell counts as taken only if the box covers more than its edge: texts stand close beside their symbol.
        y0, y1 = (box.top_mm * scale - top) / cell, (box.bottom_mm * scale - top) / cell
        x0, x1 = (box.left_mm * scale - left) / cell, (box.right_mm * scale - left) / cell
        taken[
            max(0, math.ceil(y0)) : max(0, math.floor(y1)), max(0, math.ceil(x0)) : max(0, math.floor(x1))
        ] = True
