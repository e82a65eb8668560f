"""Wire sizes: area of a gauge number, resistance per metre of a size."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Literal

from harness_studio.standards import materials, provenance, tables

_FOOT_M = 0.3048
#: Two areas are one size within this relative difference: it only absorbs rounding, '1.50' and 1.5 are the same.
_SAME_SIZE = 1e-9


@dataclass(frozen=True, slots=True)
class WireFigure:
    """Resistance of one metre of conductor at 20 °C in ohms, and where it comes from."""

    value: float
    source: str
    sureness: str
    method: Literal["table", "computed"]


@cache
def resistance_per_m_ohm(area_mm2: float, material: str = "copper", table: str = "iso_6722") -> WireFigure:
    """Return the resistance of one metre of a conductor at 20 °C.

    The value of the table where it holds the size for this material, else resistivity / area times the stranding
    factor (resistivity of IEC 60028 for copper).

    Parameters
    ----------
    area_mm2
        Nominal cross-section in mm².
    material
        A material of `materials.material`.
    table
        A table of `table_names`.

    Returns
    -------
    WireFigure
        Ohms per metre; `method` says which of the two ways it was.

    Raises
    ------
    ValueError
        If the area is not a positive finite number, or material or table are unknown.
    """
    if not (math.isfinite(area_mm2) and area_mm2 > 0):
        raise ValueError(
            f"a conductor of {area_mm2} mm² has no resistance per metre: the area must be above 0"
        )
    metal = materials.material(material)
    for row_area_mm2, figure in _rows(table, metal.name):
        if math.isclose(row_area_mm2, area_mm2, rel_tol=_SAME_SIZE):
            return figure
    stranding = tables.load("wire_sizes.yaml")["stranding"]
    mark = provenance.of(stranding)
    factor = float(stranding["factor"])
    return WireFigure(
        value=metal.resistivity_ohm_mm2_per_m / area_mm2 * factor,
        source=f"{metal.name} resistivity ({metal.source}) / area × stranding factor {factor:g} ({mark.source})",
        sureness="computed",
        method="computed",
    )


@cache
def _rows(table: str, material: str) -> tuple[tuple[float, WireFigure], ...]:
    """Return (area in mm², figure) of a table, empty when the table is of another material."""
    known = tables.load("wire_sizes.yaml")["tables"]
    if table not in known:
        raise ValueError(f"no table of conductor sizes '{table}'; known: {', '.join(known)}")
    content = known[table]
    if content["material"] != material:
        return ()
    found = []
    for row in content["rows"]:
        mark = provenance.of(row, content)
        if "awg" in row:
            area_mm2 = area_from_awg_mm2(row["awg"])
            value = float(row["ohm_per_1000ft"]) / (1000 * _FOOT_M)
        else:
            area_mm2 = float(row["area_mm2"])
            value = float(row["mohm_per_m"]) / 1000
        found.append((area_mm2, WireFigure(value, mark.source, mark.sureness, "table")))
    return tuple(found)


def table_names() -> tuple[str, ...]:
    """Return the names of the tables of conductor resistance."""
    return tuple(tables.load("wire_sizes.yaml")["tables"])


def table_rows(table: str) -> dict[float, WireFigure]:
    """Return the figures of a table by nominal area in mm².

    Raises
    ------
    ValueError
        If there is no such table.
    """
    tables_known = tables.load("wire_sizes.yaml")["tables"]
    material = str(tables_known[table]["material"]) if table in tables_known else "copper"
    return dict(_rows(table, material))


@cache
def diameter_from_awg_mm(awg: str) -> float:
    """Return the diameter of the solid conductor of a gauge number in mm (ASTM B258).

    d = 0.127 mm · 92^((36 - n)/39), with n = 0, -1, -2, -3 for 0, 00, 000, 0000 (also written 1/0 to 4/0).

    Raises
    ------
    ValueError
        If the text is no gauge number from 4/0 to 40.
    """
    number = _gauge_number(awg)
    law = tables.load("wire_sizes.yaml")["awg"]
    return float(law["d36_mm"]) * math.pow(law["ratio"], (36 - number) / law["steps"])


def area_from_awg_mm2(awg: str) -> float:
    """Return the conductor area of a gauge number in mm²: π/4 d² of ASTM B258.

    Parameters
    ----------
    awg
        '18', '2', '0', '00', '2/0', '4/0'.

    Raises
    ------
    ValueError
        If the text is no gauge number from 4/0 to 40.
    """
    return math.pi / 4 * diameter_from_awg_mm(awg) ** 2


def _gauge_number(awg: str) -> int:
    text = awg.strip()
    if re.fullmatch(r"[1-4]/0", text):
        return 1 - int(text[0])
    if re.fullmatch(r"0{1,4}", text):
        return 1 - len(text)
    if re.fullmatch(r"[1-9]\d?", text) and int(text) <= 40:
        return int(text)
    raise ValueError(f"'{awg}' is no wire gauge: 4/0 to 1/0 (or 0000 to 0) and 1 to 40 are")


def standard_sizes_mm2() -> tuple[float, ...]:
    """Return the usual sizes of road vehicle cable in mm², smallest first (those of the ISO 6722 table)."""
    return tuple(sorted(area_mm2 for area_mm2, _ in _rows("iso_6722", "copper")))
