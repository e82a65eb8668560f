"""Cells of a table that are typed, filled or pasted → one edit for all of them; tables as text for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from harness_studio.model.edits import Edit, Put, Together
from harness_studio.model.entities import Breakout, Ground, Half, JointRecord, Mode, Splice, Wire, Zone
from harness_studio.model.harness import Harness
from harness_studio.model.keys import key_problem
from harness_studio.model.parts import make_part
from harness_studio.model.values import End

from .change import counted, read_field
from .columns import Column
from .fields import value_at, with_value
from .quantities import Refused

ID_HEAD = "id"
_EMPTY: dict[str, Callable[[str], Any]] = {
    "halves": Half, "splices": Splice, "grounds": Ground, "zones": Zone, "breakouts": Breakout, "modes": Mode,
    "joints": JointRecord,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Cell:
    """A text for a cell: the row's id, the column, and what was typed."""

    id: str
    column: Column
    text: str


class CellsRefused(Refused):
    """Some cells cannot be read; `refusals` holds each with its reason. Nothing was changed."""

    def __init__(self, refusals: Sequence[tuple[Cell, str]]) -> None:
        self.refusals = tuple(refusals)
        cell, why = self.refusals[0]
        more = f"; {len(refusals) - 1} more cells cannot be read" if len(refusals) > 1 else ""
        super().__init__(f"{cell.id} {cell.column.name}: {why}{more}")


def cells_edit(harness: Harness, section: str, cells: Sequence[Cell], what: str = "") -> Edit:
    """Return the one edit that writes all these cells; a row whose id is new makes a new thing.

    Raises
    ------
    CellsRefused
        If any of them cannot be read; then none is written.
    """
    things: dict[str, Any] = {}
    refusals: list[tuple[Cell, str]] = []
    table = harness.tables[section]
    for cell in cells:
        try:
            if cell.id not in things:
                things[cell.id] = table.get(cell.id) or new_thing(harness, section, cell.id, cells)
            things[cell.id] = _written(things[cell.id], cell)
        except Refused as refused:
            refusals.append((cell, str(refused)))
    if refusals:
        raise CellsRefused(refusals)
    steps = [Put(section, thing) for key, thing in things.items() if table.get(key) != thing]
    return Together(tuple(steps), what or _words(section, cells))


def _written(thing: Any, cell: Cell) -> Any:
    if cell.column.field is None:
        raise Refused(f"{cell.column.name} is told by other entries and cannot be typed")
    value = read_field(cell.column.field, cell.text)
    path = cell.column.field.path
    return thing if value_at(thing, path) == value else with_value(thing, path, value)


def _words(section: str, cells: Sequence[Cell]) -> str:
    names = list(dict.fromkeys(cell.column.name for cell in cells))
    rows = len({cell.id for cell in cells})
    on = cells[0].id if rows == 1 else counted(section, rows)
    said = f": {' '.join(cells[0].text.split())[:40]}" if len({cell.text for cell in cells}) == 1 else ""
    return f"{', '.join(names[:3])}{' and more' if len(names) > 3 else ''} of {on}{said}"


def new_thing(harness: Harness, section: str, key: str, cells: Sequence[Cell]) -> Any:
    """Return an empty thing for a new row.

    Raises
    ------
    Refused
        If the id cannot be one or is used elsewhere, or such a thing cannot be made from a row.
    """
    problem = key_problem(section, key)
    if problem:
        raise Refused(problem)
    used = harness.section_of(key)
    if used:
        raise Refused(f"the id {key} is already used in {used}")
    if section in _EMPTY:
        return _EMPTY[section](key)
    if section == "wires":
        return Wire(key, (End("unknown"), End("unknown")))
    if section == "parts":
        return make_part(key, "device")
    raise Refused(f"{key} is not in {section}, and none is made from a row")


def fill_down(cells: Sequence[tuple[str, Column, str]]) -> list[Cell]:
    """Return the cells that take the text of the topmost one of their column; `cells` go from top to bottom."""
    first: dict[str, str] = {}
    filled: list[Cell] = []
    for row_id, column, text in cells:
        if column.name in first:
            filled.append(Cell(row_id, column, first[column.name]))
        else:
            first[column.name] = _with_unit(column, text)
    return filled


def _with_unit(column: Column, text: str) -> str:
    return f"{text} {column.unit}" if column.unit and text and text != "open" else text


def to_text(rows: Sequence[Sequence[str]]) -> str:
    """Return a table as spreadsheets take it: tabs between cells, quotes only where needed."""
    out = io.StringIO()
    csv.writer(out, delimiter="\t", lineterminator="\n").writerows(rows)
    return out.getvalue().removesuffix("\n")


def from_text(text: str) -> list[list[str]]:
    """Return the cells of a text that was copied from a spreadsheet; line ends of every system, quotes, Unicode."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").removeprefix("\ufeff")
    rows = list(csv.reader(io.StringIO(text), delimiter="\t"))
    while rows and not any(cell.strip() for cell in rows[-1]):
        rows.pop()
    return rows


def pasted(
    rows: Sequence[Sequence[str]], columns: Sequence[Column], ids: Sequence[str], at: tuple[int, int]
) -> list[Cell]:
    """Return the cells that pasted rows are for.

    With a head that names columns, and an id in each row, they go to those rows and columns, new ids included.
    Otherwise they go into the shown rows (`ids`) and columns from the cell `at` (row, column) on.

    Raises
    ------
    Refused
        If they do not fit.
    """
    if not rows:
        raise Refused("there is nothing to paste")
    head = _head(rows[0], columns)
    if head and None in head:
        at_id = head.index(None)
        return [
            Cell(row[at_id].strip(), column, text)
            for row in rows[1:]
            if len(row) > at_id and row[at_id].strip()
            for column, text in zip(head, row, strict=False)
            if column is not None and column.field is not None
        ]
    body, places = (rows[1:], head) if head else (rows, list(columns[at[1] :]))
    wide = max(len(row) for row in rows)
    if wide > len(places):
        raise Refused(f"{wide} columns do not fit: there are {len(places)} from here on")
    if at[0] + len(body) > len(ids):
        raise Refused(
            f"{len(body)} rows do not fit: there are {len(ids) - at[0]} from here on; new rows need a head with id"
        )
    return [
        Cell(ids[at[0] + number], column, text)
        for number, row in enumerate(body)
        for column, text in zip(places, row, strict=False)
        if column is not None
    ]


def _head(row: Sequence[str], columns: Sequence[Column]) -> list[Column | None] | None:
    """Return the column of each cell of a head, None for the id; None if the row is no head."""
    by_name: dict[str, Column | None] = {ID_HEAD: None}
    for column in columns:
        by_name[column.head.lower()] = by_name[column.name.lower()] = column
    names = [cell.strip().lower() for cell in row]
    if not names or any(name not in by_name for name in names):
        return None
    return [by_name[name] for name in names]
