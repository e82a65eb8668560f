"""Tables: columns that find their widths, cells that wrap, rows that are never cut in two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from harness_studio.base.geometry import Box
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Strokes, Text, gather, line, slab

from . import swatch
from .lettering import LEADING, LEAST_MM, SMALL_MM, TEXT_MM, widest_word_mm, width_mm, wrapped

PAD_MM, PAD_Y_MM = 1.0, 0.75
_WRITE_ROW_MM = 6.0
"""Height of a row that is written into by hand (common practice, no source)."""
_TICK_MM = 3.0
_MOST_WORD_MM = 30.0


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its head, how its cells stand, and what it is for.

    Parameters
    ----------
    room_mm
        Least width, for a column that is written into by hand.
    grows
        Share of what width is left over.
    """

    head: str
    align: Literal["left", "right", "middle"] = "left"
    room_mm: float = 0.0
    grows: float = 1.0


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a cell: a text, before it a swatch of a wire's colours, or boxes to tick (True: already done)."""

    text: str = ""
    weight: int = REGULAR
    colour: str = "ink"
    codes: tuple[str, ...] | None = None
    ticks: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """A heading across the table; it stays with the row below it."""

    text: str


Row = Sequence[Cell | str]


@dataclass(frozen=True, slots=True)
class Laid:
    """A row that is laid out: its height, and its ink with the row's upper left corner at the origin."""

    height_mm: float
    ink: Strokes
    keeps_next: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose columns have their widths."""

    columns: tuple[Column, ...]
    widths_mm: tuple[float, ...]
    size_mm: float
    head: Laid
    rows: tuple[Laid, ...]


def table(columns: Sequence[Column], rows: Sequence[Row | Band], width: float, most_mm: float) -> Table:
    """Lay a table out in a width; no row becomes higher than `most_mm`."""
    cells = [r if isinstance(r, Band) else [c if isinstance(c, Cell) else Cell(c) for c in r] for r in rows]
    plain_rows = [r for r in cells if not isinstance(r, Band)]
    size = TEXT_MM
    least = _least(columns, plain_rows, size)
    while sum(least) > width and size > LEAST_MM:
        size = max(LEAST_MM, size - 0.08)
        least = _least(columns, plain_rows, size)
    widths = _widths(columns, plain_rows, size, least, width)
    write = any(c.room_mm for c in columns)
    laid = []
    for row in cells:
        if isinstance(row, Band):
            laid.append(_band(row, width))
        else:
            laid.append(_row(columns, row, widths, size, _WRITE_ROW_MM if write else 0.0, most_mm))
    return Table(tuple(columns), tuple(widths), size, _head(columns, widths), tuple(laid))


def _extra(cell: Cell) -> float:
    """Return what a cell needs beside its text."""
    if cell.codes is not None:
        return swatch.WIDE_MM + PAD_MM
    return len(cell.ticks) * (_TICK_MM + 0.8)


def _least(columns: Sequence[Column], rows: Sequence[Sequence[Cell]], size: float) -> list[float]:
    found = []
    for i, column in enumerate(columns):
        words = [
            _extra(r[i]) + min(_MOST_WORD_MM, widest_word_mm(r[i].text, size, r[i].weight)) for r in rows
        ]
        head = widest_word_mm(column.head, SMALL_MM, STRONG)
        found.append(max(column.room_mm, max(words, default=0.0) + 2 * PAD_MM, head + 2 * PAD_MM) + 0.05)
    return found


def _widths(
    columns: Sequence[Column], rows: Sequence[Sequence[Cell]], size: float, least: list[float], width: float
) -> list[float]:
    natural = []
    for i, low in enumerate(least):
        wide = [_extra(r[i]) + width_mm(r[i].text, size, r[i].weight) + 2 * PAD_MM + 0.05 for r in rows]
        natural.append(max(low, max(wide, default=0.0), _head_mm(columns[i].head)))
    if sum(least) > width:
        return [w * width / sum(least) for w in least]
    spare = width - sum(least)
    wanted = [n - low for n, low in zip(natural, least, strict=True)]
    if sum(wanted) > spare:
        # Who wants little gets it first, so that one long text does not narrow all other columns.
        given, left = [0.0] * len(least), spare
        order = sorted(range(len(least)), key=lambda i: wanted[i])
        for rank, i in enumerate(order):
            given[i] = min(wanted[i], left / (len(order) - rank))
            left -= given[i]
        return [low + g for low, g in zip(least, given, strict=True)]
    over = spare - sum(wanted)
    shares = sum(c.grows for c in columns) or 1.0
    return [n + over * c.grows / shares for n, c in zip(natural, columns, strict=True)]


def _head_mm(head: str) -> float:
    """Return a width in which a head takes about three lines at most."""
    return width_mm(head, SMALL_MM, STRONG) / 2.6 + 2 * PAD_MM


def _head(columns: Sequence[Column], widths: Sequence[float]) -> Laid:
    lines = [wrapped(c.head, SMALL_MM, w - 2 * PAD_MM, STRONG) for c, w in zip(columns, widths, strict=True)]
    step = SMALL_MM * LEADING
    height = max(len(found) for found in lines) * step + 2 * PAD_Y_MM
    parts: list[Stroke | Text] = [Stroke(slab(Box(0, 0, sum(widths), height)), None, 0, "panel")]
    x = 0.0
    for column, found, wide in zip(columns, lines, widths, strict=True):
        for number, one in enumerate(found):
            y = height - PAD_Y_MM - (len(found) - number - 0.5) * step
            parts.append(_text(column.align, x, wide, y, one, SMALL_MM, STRONG, "ink"))
        x += wide
    parts.append(Stroke(line((0, height), (x, height)), "ink", 0.3))
    return Laid(height, gather(parts))


def _band(band: Band, width: float) -> Laid:
    lines = wrapped(band.text, TEXT_MM, width - 2 * PAD_MM, STRONG)
    step = TEXT_MM * LEADING
    height = len(lines) * step + 2 * PAD_Y_MM + 1.2
    texts = [
        Text(PAD_MM, height - PAD_Y_MM - (len(lines) - k - 0.5) * step, one, TEXT_MM, STRONG, "accent")
        for k, one in enumerate(lines)
    ]
    rule = Stroke(line((0, height), (width, height)), "ink", 0.2)
    return Laid(height, gather([rule, *texts]), keeps_next=True)


def _row(
    columns: Sequence[Column],
    row: Sequence[Cell],
    widths: Sequence[float],
    size: float,
    least_high: float,
    most_mm: float,
) -> Laid:
    step = size * LEADING
    room = max(1, int((most_mm - 2 * PAD_Y_MM) / step))
    lines = [
        _at_most(wrapped(c.text, size, max(2.0, w - 2 * PAD_MM - _extra(c)), c.weight), room)
        for c, w in zip(row, widths, strict=True)
    ]
    high = max(len(found) for found in lines) * step
    high = max(
        high, least_high - 2 * PAD_Y_MM, swatch.HIGH_MM if any(c.codes is not None for c in row) else 0.0
    )
    height = high + 2 * PAD_Y_MM
    parts: list[Stroke | Text] = []
    pieces: list[Strokes] = []
    x = 0.0
    for column, cell, found, wide in zip(columns, row, lines, widths, strict=True):
        first = PAD_Y_MM + (high - len(found) * step) / 2 + step / 2 if least_high else PAD_Y_MM + step / 2
        if not least_high and cell.codes is not None:
            first = max(first, PAD_Y_MM + swatch.HIGH_MM / 2)
        pieces.append(_beside(cell, x + PAD_MM, first))
        start = x + _extra(cell)
        for number, one in enumerate(found):
            if one:
                y = first + number * step
                parts.append(
                    _text(column.align, start, wide - _extra(cell), y, one, size, cell.weight, cell.colour)
                )
        x += wide
    rules = [Stroke(line((0, height), (x, height)), "hairline", 0.2)]
    edge = 0.0
    for column, wide in zip(columns, widths, strict=True):
        if column.room_mm:
            rules.append(Stroke(line((edge, 0), (edge, height)), "hairline", 0.2))
        edge += wide
    return Laid(height, gather(rules, *pieces, parts))


def _beside(cell: Cell, x: float, y: float) -> Strokes:
    if cell.codes is not None:
        return swatch.swatch(cell.codes, Box(x, y - swatch.HIGH_MM / 2, swatch.WIDE_MM, swatch.HIGH_MM))
    parts = []
    for number, done in enumerate(cell.ticks):
        box = Box(x + number * (_TICK_MM + 0.8), y - _TICK_MM / 2, _TICK_MM, _TICK_MM)
        parts.append(Stroke(slab(box, 0.3), "ink", 0.2, "paper"))
        if done:
            tick = line((box.left_mm + 0.6, y), (box.left_mm + 1.3, y + 0.8), (box.right_mm - 0.5, y - 0.9))
            parts.append(Stroke(tick, "ink", 0.4))
    return gather(parts)


def _text(
    align: str, x: float, wide: float, y: float, text: str, size: float, weight: int, colour: str
) -> Text:
    at = {"left": x + PAD_MM, "middle": x + wide / 2, "right": x + wide - PAD_MM}[align]
    return Text(at, y, text, size, weight, colour, align)  # type: ignore[arg-type]


def _at_most(lines: list[str], count: int) -> list[str]:
    """Return the lines, or the first ones with a word that there is more in the project file."""
    return lines if len(lines) <= count else [*lines[: count - 1], "… more in the file"]


def moved(laid: Laid, x: float, y: float) -> Strokes:
    """Return the ink of a row where it stands on the page."""
    return replace(laid, ink=laid.ink.moved(x, y)).ink
