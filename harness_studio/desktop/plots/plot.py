"""What a plot holds: panels of lines and bars or a field of blocks, and the same numbers as a table. No Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Mark = Literal["", "o", "s", "t", "d", "x"]
Dash = Literal["solid", "dash", "dot", "none"]
Cell = str | float | None


@dataclass(frozen=True, slots=True)
class Axis:
    """What an axis measures; `ticks` are (place, words) in place of numbers, places of a log axis not yet as logs."""

    label: str
    log: bool = False
    ticks: tuple[tuple[float, str], ...] | None = None
    least: float | None = None
    most: float | None = None


@dataclass(frozen=True, slots=True)
class Spot:
    """A place that can be pointed at: what is said of it, and the thing that it leads to ('' for none)."""

    x: float
    y: float
    said: str
    thing: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points, None for a gap. Told apart by dash and mark, never by colour alone.

    `steps` draws each y until the next x; `down_to` fills to a second curve.
    """

    name: str
    x: Sequence[float]
    y: Sequence[float | None]
    role: str = "ink"
    dash: Dash = "solid"
    mark: Mark = ""
    width: float = 2.0
    down_to: Sequence[float] | None = None


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar that lies along x at a row; `tick` is a mark across it, such as a rating; `words` stand at its end."""

    row: int
    value: float
    words: str
    role: str = "accent"
    tick: float | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """Words at a place: to its right above it, or to its left below it, where a falling line leaves room."""

    x: float
    y: float
    words: str
    role: str = "ink"
    side: Literal["left", "right"] = "right"


@dataclass(frozen=True, slots=True)
class Panel:
    """One pair of axes with what is drawn in it; `here` is a line across, at an x, with words."""

    title: str
    x: Axis
    y: Axis
    lines: tuple[Line, ...] = ()
    bars: tuple[Bar, ...] = ()
    notes: tuple[Note, ...] = ()
    spots: tuple[Spot, ...] = ()
    here: tuple[float, str] | None = None
    legend: bool = False
    weight: int = 1


@dataclass(frozen=True, slots=True)
class Field:
    """A square field of blocks: one row and column for each name, a value for each pair; the greater the brighter."""

    names: tuple[str, ...]
    things: tuple[str, ...]
    values: tuple[tuple[float, ...], ...]
    said: tuple[tuple[str, ...], ...]
    unit: str
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot and its numbers.

    Parameters
    ----------
    title, about
        What it shows, and of what, in words.
    panels
        Drawn one below the other; empty where there is a field.
    head, rows
        The numbers as a table; copied with tabs between them.
    things
        The thing of each row ('' for none): pressing the row leads to it.
    source
        Where figures come from that are not computed.
    """

    title: str
    about: str
    panels: tuple[Panel, ...] = ()
    field: Field | None = None
    head: tuple[str, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()
    things: tuple[str, ...] = ()
    source: str = ""


def numbers(plot: Plot) -> str:
    """Return the table with tabs between its cells, as a spreadsheet takes it."""
    lines = [plot.head, *plot.rows]
    return "\n".join("\t".join(cell_words(cell) for cell in line) for line in lines) + "\n"


def cell_words(cell: Cell) -> str:
    """Return a cell: numbers with six figures, nothing for what is not known."""
    if cell is None:
        return ""
    return cell if isinstance(cell, str) else f"{cell:.6g}"
