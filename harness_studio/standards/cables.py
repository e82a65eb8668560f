"""Diameters of single-core cable: conductor and outside, by size and insulation."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from harness_studio.standards import insulation, provenance, tables, wires
from harness_studio.standards.interpolation import log_log


@dataclass(frozen=True, slots=True)
class DiameterFigure:
    """A diameter in mm, where it comes from, and what was assumed on the way ('' if nothing)."""

    value_mm: float
    source: str
    sureness: str
    method: Literal["table", "computed"] = "table"
    note: str = ""


def conductor_mm(area_mm2: float) -> float:
    """Return the diameter of a stranded conductor in mm; see `conductor`."""
    return conductor(area_mm2).value_mm


def outer_mm(area_mm2: float, insulation: str | None) -> float:
    """Return the outside diameter of a cable in mm; see `outer`."""
    return outer(area_mm2, insulation).value_mm


@cache
def conductor(area_mm2: float) -> DiameterFigure:
    """Return the diameter of a stranded conductor.

    The largest value ISO 6722 permits where the table holds the size, else a straight line in log-log paper through
    the neighbouring sizes (beyond the last the line goes on).

    Raises
    ------
    ValueError
        If the area is not a positive finite number.
    """
    return _between(tables.load("cable_sizes.yaml")["conductor"], area_mm2)


@cache
def outer(area_mm2: float, insulation: str | None) -> DiameterFigure:
    """Return the outside diameter of a cable.

    As `conductor`, from the table of the insulation's wall: thin (FLRY, TXL), thick (FLY, GPT), GXL. A name whose
    wall is not known, or no name, is taken as thin, which makes the wire no cooler than it is; the note says so.

    Raises
    ------
    ValueError
        If the area is not a positive finite number.
    """
    data = tables.load("cable_sizes.yaml")
    wall, note = wall_of(insulation)
    found = _between(data["walls"][wall], area_mm2)
    notes = "; ".join(text for text in (note, found.note) if text)
    return DiameterFigure(found.value_mm, found.source, found.sureness, found.method, notes)


@cache
def wall_of(name: str | None) -> tuple[str, str]:
    """Return (wall 'thin', 'thick' or 'gxl', what was assumed) of an insulation name."""
    data = tables.load("cable_sizes.yaml")
    known = insulation.temperature_class(name) if name else None
    key = known.name if known else None
    for wall, table in data["walls"].items():
        if key in table["names"]:
            return str(wall), str(table.get("notes", {}).get(key, ""))
    why = f"wall of {name} not known" if name else "insulation not known"
    return str(data["default"]), f"{why}, {data['default']} wall taken"


def _area_mm2(row: Mapping[str, Any]) -> float:
    return wires.area_from_awg_mm2(row["awg"]) if "awg" in row else float(row["area_mm2"])


def _between(table: Mapping[str, Any], area_mm2: float) -> DiameterFigure:
    if not (math.isfinite(area_mm2) and area_mm2 > 0):
        raise ValueError(f"a conductor of {area_mm2} mm² has no diameter: the area must be above 0")
    rows: Sequence[Mapping[str, Any]] = table["rows"]
    points = [(_area_mm2(row), float(row["mm"])) for row in rows]
    for row, (size_mm2, diameter_mm) in zip(rows, points, strict=True):
        if math.isclose(size_mm2, area_mm2, rel_tol=1e-9):
            mark = provenance.of(row, table)
            return DiameterFigure(diameter_mm, mark.source, mark.sureness)
    upper = next((i for i, (size_mm2, _) in enumerate(points) if size_mm2 > area_mm2), len(points) - 1)
    upper = max(upper, 1)
    marks = [provenance.of(row, table) for row in rows[upper - 1 : upper + 1]]
    sureness = provenance.lower("computed", provenance.lower(marks[0].sureness, marks[1].sureness))
    inside = points[0][0] < area_mm2 < points[-1][0]
    return DiameterFigure(
        log_log(points, area_mm2),
        f"log-log line through the neighbouring sizes of {' and '.join(dict.fromkeys(m.source for m in marks))}",
        sureness,
        "computed",
        f"{area_mm2:g} mm² lies {'between' if inside else 'beyond'} the sizes of the table",
    )
