"""Sheets of stickers: grids that are known, and any other by its measures."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

import yaml

from harness_studio.base import resources
from harness_studio.base.errors import HarnessError, nearest
from harness_studio.base.geometry import Box

from .paper import Paper, paper

MEASURES = "A4, 3 x 8, 70 x 37 mm, from 0 x 0.5, every 70 x 37"
"""A grid by its measures: paper, columns x rows, a label's size, the first one's corner, the pitch."""
_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_BY = rf"{_NUMBER}\s*[x×]\s*{_NUMBER}"
_READ = re.compile(
    rf"\s*(\w+)\s*,\s*(\d+)\s*[x×]\s*(\d+)\s*,\s*{_BY}\s*(?:mm)?"
    rf"\s*,\s*from\s*{_BY}\s*(?:mm)?(?:\s*,\s*every\s*{_BY}\s*(?:mm)?)?\s*$"
)


@dataclass(frozen=True, slots=True)
class Grid:
    """A sheet of labels, in mm."""

    paper: Paper
    columns: int
    rows: int
    left: float
    top: float
    width: float
    height: float
    pitch_x: float
    pitch_y: float

    def boxes(self) -> list[Box]:
        """Return the labels, row by row."""
        return [
            Box(self.left + c * self.pitch_x, self.top + r * self.pitch_y, self.width, self.height)
            for r in range(self.rows)
            for c in range(self.columns)
        ]


@cache
def grids() -> dict[str, Grid]:
    """Return the label grids that the program knows.

    Raises
    ------
    HarnessError
        If labels of a grid reach over its paper.
    """
    found: dict[str, Grid] = {}
    data: dict[str, dict[str, Any]] = yaml.safe_load(resources.text("sheets", "label_grids.yaml"))["grids"]
    for name, row in data.items():
        grid = Grid(**{**row, "paper": paper(row["paper"])})
        found[name] = _sound(grid, f"label grid '{name}'")
    return found


def grid_for(size: Paper) -> Grid:
    """Return the first grid for a paper; A3 and Tabloid take that of the paper half their size."""
    name = {"A3": "A4", "Tabloid": "Letter"}.get(size.name, size.name)
    return next(g for g in grids().values() if g.paper.name == name)


def grid_named(text: str) -> Grid:
    """Return a grid by its name, or by its measures as `MEASURES` writes them.

    Raises
    ------
    HarnessError
        If it is neither, or its labels overlap or reach over the paper.
    """
    if text in grids():
        return grids()[text]
    found = _READ.match(text)
    if found is None:
        near = nearest(text, grids())
        hint = f"nearest is '{near}'" if near else f"there are {', '.join(grids())}"
        raise HarnessError(
            f"there is no label grid '{text}'; {hint}; or give its measures, like '{MEASURES}'"
        )
    name, columns, rows, *sizes = found.groups()
    wide, high, left, top = (float(s) for s in sizes[:4])
    across, down = (float(s) for s in (sizes[4:] if sizes[4] else sizes[:2]))
    grid = Grid(paper(name), int(columns), int(rows), left, top, wide, high, across, down)
    return _sound(grid, "such a label grid")


def _sound(grid: Grid, said: str) -> Grid:
    if not (grid.columns and grid.rows and grid.width > 0 and grid.height > 0):
        raise HarnessError(f"{said} has no labels")
    if grid.pitch_x < grid.width or grid.pitch_y < grid.height:
        raise HarnessError(f"labels of {said} would overlap: its pitch is less than a label")
    last = grid.boxes()[-1]
    if last.right_mm > grid.paper.width_mm + 0.6 or last.bottom_mm > grid.paper.height_mm + 0.6:
        raise HarnessError(
            f"{said} reaches over its paper: its last label ends at {last.right_mm:g} x {last.bottom_mm:g} mm"
        )
    return grid


def grid_of(text: str | None, size: Paper) -> Grid:
    """Return the grid asked for, or the one that a paper takes."""
    return grid_named(text) if text else grid_for(size)
