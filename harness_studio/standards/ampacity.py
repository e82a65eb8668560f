"""Handbook tables of the current a copper wire may carry continuously."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import Any

from harness_studio.base.errors import nearest
from harness_studio.standards import bundles, provenance, tables, wires
from harness_studio.standards.figures import Figure, NotJudged, notes

METHOD = "handbook table"
#: A size is a row's if it lacks no more than this share of it: 2.08 mm² is AWG 14, though that is 2.081 mm².
_ROUNDING = 0.02


def table_names(bundled: bool = True) -> tuple[str, ...]:
    """Return the names of the tables: those made for bundles first, or last for a wire alone."""
    known = tables.load("ampacity.yaml")["tables"]
    return tuple(sorted(known, key=lambda name: ("in_bundle" in known[name]) != bundled))


def title_of(table: str) -> str:
    """Return the title of a table as it is printed.

    Raises
    ------
    ValueError
        If there is no such table.
    """
    return str(_table(table)["title"])


def rating(
    table: str, area_mm2: float, limit_c: float, ambient_c: float = 20.0, in_run: int = 1, share: float = 1.0
) -> Figure | NotJudged:
    """Return the amperes a handbook table gives a copper wire.

    The column of the highest class that the insulation reaches, the row of the size or the next smaller one. In air
    warmer than the table's: times the square root of the rise that is left. In a run of several wires: what the table
    itself says of bundles, else the published bundle curve.

    Parameters
    ----------
    table
        One of `table_names`.
    area_mm2
        Nominal area.
    limit_c
        What the insulation bears continuously.
    ambient_c
        Temperature of the air.
    in_run
        Wires in the run, with this one.
    share
        Share of the capacity of the run that is used.

    Raises
    ------
    ValueError
        If the table is unknown, or the area no positive finite number.
    """
    content = _table(table)
    if not (math.isfinite(area_mm2) and area_mm2 > 0):
        raise ValueError(f"a conductor of {area_mm2} mm² has no ampacity: the area must be above 0")
    title = str(content["title"])
    columns: list[float] = content["classes_c"]
    fitting = [i for i, class_c in enumerate(columns) if class_c <= limit_c]
    if not fitting:
        return NotJudged(f"{title} begins at {columns[0]} °C insulation, this one bears {limit_c:g} °C")
    class_c = columns[fitting[-1]]
    row = _row(table, area_mm2)
    if row is None:
        return NotJudged(f"{title} begins at {_name(content['rows'][0])}, this wire has {area_mm2:g} mm²")
    factors: list[Figure] = []
    for step in (_warmth(content, class_c, ambient_c), _company(content, row, in_run, share)):
        if isinstance(step, NotJudged):
            return step
        factors += [step] if step else []
    note = notes(_taken(content, row, area_mm2), f"{class_c} °C column", _made_for(content))
    return _times(float(row["amperes"][fitting[-1]]), title, provenance.of(row, content), note, factors)


def _times(
    amperes: float, title: str, mark: provenance.Provenance, note: str, factors: list[Figure]
) -> Figure:
    """Return a table's amperes times factors: sources and notes of all, as sure as the least sure."""
    sureness = mark.sureness
    for step in factors:
        sureness = provenance.lower(sureness, step.sureness)
    return Figure(
        amperes * math.prod(f.value for f in factors),
        "A",
        METHOD,
        title,
        "; ".join([mark.source, *(f.source for f in factors)]),
        sureness,
        notes(note, *(f.note for f in factors)),
    )


def altitude_m(table: str) -> float:
    """Return the altitude a table allows for already, in m.

    Raises
    ------
    ValueError
        If there is no such table.
    """
    return float(_table(table).get("altitude_m", 0.0))


def _table(name: str) -> dict[str, Any]:
    known: dict[str, dict[str, Any]] = tables.load("ampacity.yaml")["tables"]
    if name not in known:
        near = nearest(name, known)
        hint = f"did you mean {near}?" if near else f"known: {', '.join(known)}"
        raise ValueError(f"no ampacity table '{name}'; {hint}")
    return known[name]


def _area_mm2(row: Mapping[str, Any]) -> float:
    return wires.area_from_awg_mm2(row["awg"]) if "awg" in row else float(row["area_mm2"])


def _name(row: Mapping[str, Any]) -> str:
    return f"AWG {row['awg']}" if "awg" in row else f"{row['area_mm2']:g} mm²"


@cache
def _areas_mm2(table: str) -> tuple[float, ...]:
    return tuple(_area_mm2(row) for row in _table(table)["rows"])


def _row(table: str, area_mm2: float) -> Mapping[str, Any] | None:
    held = sum(row_mm2 * (1 - _ROUNDING) <= area_mm2 for row_mm2 in _areas_mm2(table))
    row: Mapping[str, Any] | None = _table(table)["rows"][held - 1] if held else None
    return row


def _taken(content: Mapping[str, Any], row: Mapping[str, Any], area_mm2: float) -> str:
    same = math.isclose(_area_mm2(row), area_mm2, rel_tol=_ROUNDING)
    if same:
        return ""
    last = row is content["rows"][-1]
    return f"{area_mm2:g} mm² taken as {_name(row)}, the {'last' if last else 'next smaller'} row"


def _made_for(content: Mapping[str, Any]) -> str:
    bundle = content.get("in_bundle")
    return f"made for a bundle at {bundle['share']:.0%} of its capacity" if bundle else ""


def _warmth(content: Mapping[str, Any], class_c: float, ambient_c: float) -> Figure | NotJudged | None:
    """Return the factor for air warmer than the table's; None in air that is not."""
    table_c = float(content["ambient_c"])
    if ambient_c <= table_c:
        return None
    if ambient_c >= class_c:
        return NotJudged(
            f"{content['title']}: air of {ambient_c:g} °C leaves nothing of its {class_c} °C column"
        )
    mark = provenance.of(tables.load("ampacity.yaml")["warmer_air"])
    value = math.sqrt((class_c - ambient_c) / (class_c - table_c))
    note = f"corrected from {table_c:g} to {ambient_c:g} °C air, × {value:.2f}"
    return Figure(value, "", "computed", "", mark.source, provenance.lower("computed", mark.sureness), note)


def _company(
    content: Mapping[str, Any], row: Mapping[str, Any], in_run: int, share: float
) -> Figure | NotJudged | None:
    """Return the factor for the other wires in the run; None where the table already has it, or there are none."""
    if in_run <= 1:
        return None
    if "in_bundle" in content:
        return _inside(content, row, in_run, share)
    if "bundle_factors" in content:
        own = content["bundle_factors"]
        value = float([r["factor"] for r in own["rows"] if r["wires"] <= in_run][-1])
        mark = provenance.of(own, content)
        return Figure(
            value, "", METHOD, "", mark.source, mark.sureness, f"{in_run} wires in the run, × {value:g}"
        )
    found = bundles.factor(in_run, share)
    if isinstance(found, NotJudged):
        return NotJudged(f"{content['title']} is for a wire alone; {found.why}")
    note = notes(f"{in_run} wires at {share:.0%} of capacity, × {found.value:.2f}", found.note)
    return Figure(found.value, "", found.method, found.table, found.source, found.sureness, note)


def _inside(
    content: Mapping[str, Any], row: Mapping[str, Any], in_run: int, share: float
) -> NotJudged | None:
    """Return None if the bundle the table was made for is at least as harsh as this one."""
    made_for = content["in_bundle"]
    large = _area_mm2(row) >= wires.area_from_awg_mm2(made_for["large"]["from_awg"])
    bundle = made_for["large" if large else "small"]
    curve = bundles.factor(in_run, share)
    if isinstance(curve, Figure) and curve.value >= bundle["factor"]:
        return None
    if not large and share <= made_for["share"]:
        return None
    return NotJudged(
        f"{content['title']} is for {bundle['wires']} wires at {made_for['share']:.0%} of capacity; "
        f"this run has {in_run} at {share:.0%}"
    )
