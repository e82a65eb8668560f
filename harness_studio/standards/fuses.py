"""Resistance of fuses."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from harness_studio.base.errors import nearest
from harness_studio.standards import provenance, tables
from harness_studio.standards.interpolation import log_log


@dataclass(frozen=True, slots=True)
class FuseFigure:
    """Cold resistance of a fuse in ohms, where it comes from and what was assumed on the way ('' if nothing)."""

    value_ohm: float
    source: str
    sureness: str
    method: Literal["table", "computed"] = "table"
    note: str = ""


@dataclass(frozen=True, slots=True)
class HotRatio:
    """Resistance at rated current over cold resistance."""

    value: float
    source: str
    sureness: str


def styles() -> tuple[str, ...]:
    """Return the names of the fuse styles."""
    return tuple(tables.load("fuse_resistance.yaml")["styles"])


@cache
def cold_resistance_ohm(style: str | None, rated_a: float) -> FuseFigure:
    """Return the cold resistance of a fuse.

    The table's value for this style and rating, else a straight line in log-log paper through its neighbours
    (beyond the last row the line goes on), else the figure of the style it is taken to be like.

    Parameters
    ----------
    style
        One of `styles`; None is taken as the medium blade, and the note says so.
    rated_a
        Rated current in amperes.

    Raises
    ------
    ValueError
        If the style is unknown or the rating is not a positive finite number.
    """
    if not (math.isfinite(rated_a) and rated_a > 0):
        raise ValueError(f"a fuse of {rated_a} A has no resistance: the rating must be above 0")
    if style is None:
        default = str(tables.load("fuse_resistance.yaml")["default"])
        taken = cold_resistance_ohm(default, rated_a)
        note = f"style not known, {default} taken" + (f"; {taken.note}" if taken.note else "")
        return FuseFigure(taken.value_ohm, taken.source, taken.sureness, taken.method, note)
    return _of_style(_style(style), style, rated_a)


def hot_ratio(style: str | None) -> HotRatio:
    """Return how much higher the resistance is at rated current than cold (1.42 = 42 % higher).

    Raises
    ------
    ValueError
        If the style is unknown.
    """
    content = _style(style or str(tables.load("fuse_resistance.yaml")["default"]))
    if "hot_ratio" not in content:
        return hot_ratio(content["otherwise"]["like"])
    mark = provenance.of(content["hot_ratio"])
    return HotRatio(float(content["hot_ratio"]["value"]), mark.source, mark.sureness)


def _style(style: str) -> dict[str, Any]:
    known: dict[str, dict[str, Any]] = tables.load("fuse_resistance.yaml")["styles"]
    if style not in known:
        near = nearest(style, known)
        hint = f"did you mean {near}?" if near else f"known: {', '.join(known)}"
        raise ValueError(f"no fuse style '{style}'; {hint}")
    return known[style]


def _of_style(content: dict[str, Any], style: str, rated_a: float) -> FuseFigure:
    rows = content.get("rows", [])
    for row in rows:
        if math.isclose(row["rated_a"], rated_a, rel_tol=1e-9):
            mark = provenance.of(row, content)
            return FuseFigure(row["cold_mohm"] / 1000, mark.source, mark.sureness)
    if "otherwise" in content:
        other = content["otherwise"]
        like = cold_resistance_ohm(other["like"], rated_a)
        source = f"{other['why']} ({like.source})"
        sureness = provenance.lower(like.sureness, other["sureness"])
        note = f"{style} taken as {other['like']}" + (f"; {like.note}" if like.note else "")
        return FuseFigure(like.value_ohm, source, sureness, "computed", note)
    points = [(float(row["rated_a"]), float(row["cold_mohm"])) for row in rows]
    inside = points[0][0] < rated_a < points[-1][0]
    how = "between" if inside else "beyond"
    mark = provenance.of(content)
    return FuseFigure(
        log_log(points, rated_a) / 1000,
        f"log-log line through the neighbouring ratings of {mark.source}",
        provenance.lower("computed", mark.sureness),
        "computed",
        f"{rated_a:g} A lies {how} the ratings of the {style} table",
    )
