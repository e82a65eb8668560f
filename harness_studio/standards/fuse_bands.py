"""How long a fuse takes to clear a current, which ratings are made, and what a fuse may carry."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from harness_studio.base.errors import nearest
from harness_studio.standards import fuses, provenance, tables
from harness_studio.standards.figures import Figure, NotJudged, notes
from harness_studio.standards.interpolation import log_log

METHOD = "time band"


@dataclass(frozen=True, slots=True)
class Band:
    """Shortest and longest time a fuse takes at a current, in s.

    The fuse holds for `shortest_s` at least (0 where no limit is stated) and has cleared after `longest_s` at most
    (infinity where it need not clear at all).
    """

    shortest_s: float
    longest_s: float
    source: str
    sureness: str
    note: str = ""


@lru_cache(maxsize=16384)
def band(style: str, rated_a: float, amperes: float) -> Band | NotJudged:
    """Return the time band of a fuse at a current: straight lines in log-log paper between the limits of its standard.

    Below the first limit a fuse need not clear. Beyond the last, I²t is held: the more current, the less heat leaves
    the element before it melts, so I²t does not rise again. The note says that it was.

    Parameters
    ----------
    style
        One of `fuses.styles`.
    rated_a
        Rated current, above 0.
    amperes
        Of either sign.

    Returns
    -------
    Band or NotJudged
        No band for styles and ratings that no limits are known of.

    Raises
    ------
    ValueError
        If the style is unknown.
    """
    found = _limits(style, rated_a)
    if isinstance(found, NotJudged):
        return found
    percent = 100.0 * abs(amperes) / rated_a
    shortest, first = _shortest_s(found["rows"], percent)
    longest, second = _longest_s(found["rows"], percent)
    marks = [provenance.of(row, found) for row in (*first, *second)]
    stated = all(row["percent"] == percent for row in (*first, *second))
    sureness = marks[0].sureness if stated else provenance.lower("computed", marks[0].sureness)
    for mark in marks:
        sureness = provenance.lower(sureness, mark.sureness)
    source = "; ".join(dict.fromkeys(mark.source for mark in marks))
    return Band(shortest, longest, source, sureness, _remarks(style, found["rows"], percent, amperes))


def clearing_corners(style: str, rated_a: float) -> tuple[float, ...] | NotJudged:
    """Return the multiples of its rating at which a fuse's longest time is stated, smallest first.

    Raises
    ------
    ValueError
        If the style is unknown.
    """
    found = _limits(style, rated_a)
    if isinstance(found, NotJudged):
        return found
    return tuple(percent / 100.0 for percent, _ in _points(found["rows"], "max_s"))


def breaking_a(style: str) -> Figure | NotJudged:
    """Return the largest current the fuses of a style are made to interrupt, in A."""
    rows = tables.load("fuse_bands.yaml")["breaking_a"]
    if not isinstance(rows.get(style), int | float):
        return NotJudged(f"the breaking capacity of style {style} is not known")
    mark = provenance.of(rows)
    return Figure(float(rows[style]), "A", "table", "ISO 8820-3", mark.source, mark.sureness)


def ratings_a(style: str) -> tuple[float, ...]:
    """Return the ratings that are made of a style, smallest first; empty where they are not known."""
    row = tables.load("fuse_bands.yaml")["ratings_a"].get(style)
    return tuple(float(value) for value in row["values"]) if row else ()


def next_rating(style: str, amperes: float) -> Figure | NotJudged:
    """Return the smallest rating of a style that is not below `amperes`."""
    made = ratings_a(style)
    if not made:
        return NotJudged(f"which ratings of style {style} are made is not known")
    fitting = [rated for rated in made if rated >= amperes - 1e-9]
    if not fitting:
        return NotJudged(f"no {style} fuse of {amperes:g} A is made, the largest has {made[-1]:g} A")
    mark = provenance.of(tables.load("fuse_bands.yaml")["ratings_a"][style])
    return Figure(fitting[0], "A", "table", f"ratings of style {style}", mark.source, mark.sureness)


def holds(style: str, rated_a: float, amperes: float, seconds: float) -> bool | NotJudged:
    """Tell whether a fuse is sure to hold a surge: it lasts no longer than the shortest time of the band.

    Raises
    ------
    ValueError
        If the style is unknown.
    """
    found = band(style, rated_a, amperes)
    if isinstance(found, NotJudged):
        return found
    if found.shortest_s <= 0.0:
        return NotJudged(f"how long a {style} fuse holds at least is not stated in {found.source}")
    return seconds <= found.shortest_s


def _limits(style: str, rated_a: float) -> dict[str, Any] | NotJudged:
    if style not in fuses.styles():
        near = nearest(style, fuses.styles())
        hint = f"did you mean {near}?" if near else f"known: {', '.join(fuses.styles())}"
        raise ValueError(f"no fuse style '{style}'; {hint}")
    own: list[dict[str, Any]] = [b for b in tables.load("fuse_bands.yaml")["bands"] if b["style"] == style]
    if not own:
        return NotJudged(f"no time band is known for style {style}")
    for content in own:
        if content["rated_a"][0] - 1e-9 <= rated_a <= content["rated_a"][1] + 1e-9:
            return content
    ranges = " and ".join(f"{b['rated_a'][0]:g} to {b['rated_a'][1]:g} A" for b in own)
    return NotJudged(f"the time band of style {style} is known for {ranges}, not for {rated_a:g} A")


_Rows = Sequence[dict[str, Any]]


def _points(rows: _Rows, edge: str) -> list[tuple[float, float]]:
    return [(float(row["percent"]), float(row[edge])) for row in rows if edge in row]


def _around(rows: _Rows, edge: str, percent: float) -> _Rows:
    """Return the rows whose figures count at a percentage: the two beside it, or the last one."""
    stated = [row for row in rows if edge in row]
    upper = next((i for i, row in enumerate(stated) if row["percent"] >= percent), None)
    if upper is None:
        return stated[-1:]
    return (
        stated[upper : upper + 1]
        if stated[upper]["percent"] == percent
        else stated[max(upper - 1, 0) : upper + 1]
    )


def _longest_s(rows: _Rows, percent: float) -> tuple[float, _Rows]:
    points = _points(rows, "max_s")
    if percent < points[0][0]:
        return math.inf, _around(rows, "max_s", percent)
    if percent >= points[-1][0]:
        return points[-1][1] * (points[-1][0] / percent) ** 2, _around(rows, "max_s", percent)
    return log_log(points, percent), _around(rows, "max_s", percent)


def _shortest_s(rows: _Rows, percent: float) -> tuple[float, _Rows]:
    points = _points(rows, "min_s")
    if not points:
        return 0.0, ()
    used = _around(rows, "min_s", percent)
    if percent <= points[0][0]:
        return points[0][1], used
    if percent >= points[-1][0]:
        return points[-1][1] * (points[-1][0] / percent) ** 2, used
    return log_log(points, percent), used


def _remarks(style: str, rows: _Rows, percent: float, amperes: float) -> str:
    last = rows[-1]["percent"]
    breaking = breaking_a(style)
    over = isinstance(breaking, Figure) and abs(amperes) > breaking.value
    return notes(
        f"{percent:.0f} % of the rating: I²t held beyond the last limit, at {last} %"
        if percent > last
        else "",
        f"above the breaking capacity of {breaking.value:g} A"
        if isinstance(breaking, Figure) and over
        else "",
    )
