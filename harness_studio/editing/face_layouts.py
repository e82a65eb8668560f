"""Faces drawn up by hand: common layouts, faces as text that can be typed, and the same face seen from behind."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from harness_studio.base.ids import is_name
from harness_studio.model.forms import Number
from harness_studio.model.values import Face
from harness_studio.storage.trees import number_text

from .quantities import Refused, read_number

LAYOUTS: Mapping[str, int] = {
    "1 row": 1, "2 rows": 2, "3 rows": 3, "4 rows": 4, "ring": 0, "ring, the last one in the middle": 0,
}  # fmt: skip
"""Layout → how many rows it has; 0 for a ring."""
NUMBERINGS = ("along the rows", "along the rows from the right", "there and back", "down the columns")
PITCH_MM = 6.0
"""Distance of neighbours on a ring that is laid out here; to be corrected where it was measured."""
STEP_MM = 0.5
IN_LINE_MM = 0.8
GAPS = (".", "~")
_MOST = 400
_OTHER_SIDE = {"left": "right", "right": "left", "top": "top", "bottom": "bottom", None: None}


def names_of(text: str) -> tuple[str, ...]:
    """Read the names of cavities: a count ('8'), a span ('1-8'), or the names ('A B C D').

    Raises
    ------
    Refused
        If one cannot be a name, or stands there twice.
    """
    text = text.strip()
    span = re.fullmatch(r"(\d{1,3})\s*(?:-|to|…|\.\.)\s*(\d{1,3})", text)
    if re.fullmatch(r"\d{1,3}", text):
        span = re.fullmatch(r"(1)-(\d+)", f"1-{text}")
    if span:
        first, last = int(span[1]), int(span[2])
        if not first <= last < first + _MOST:
            raise Refused(f"'{text}' is no number of cavities from 1 to {_MOST}")
        return tuple(str(n) for n in range(first, last + 1))
    names = tuple(name for name in re.split(r"[\s,;]+", text) if name)
    _check(names)
    return names


def _check(names: Sequence[str]) -> None:
    for number, name in enumerate(names):
        if not is_name(name):
            raise Refused(f"'{name}' cannot be the name of a cavity: no spaces, and no . @ / : , [ ] {{ }}")
        if name in names[:number]:
            raise Refused(f"cavity {name} stands there twice")


def laid_out(face: Face, names: Sequence[str], layout: str, numbering: str) -> Face:
    """Return a face with its cavities in a common layout; view, lock and outline of rows stay as they are."""
    if not LAYOUTS[layout]:
        return replace(face, rows=(), at_mm=_ring(names, middle="middle" in layout), outline="round")
    return replace(face, rows=_rows(names, LAYOUTS[layout], numbering), at_mm={}, outline="slab")


def _rows(names: Sequence[str], count: int, numbering: str) -> tuple[tuple[str, ...], ...]:
    across = max(1, math.ceil(len(names) / count))
    if numbering == "down the columns":
        return tuple(tuple(names[row::count]) for row in range(count) if names[row::count])
    rows = [tuple(names[at : at + across]) for at in range(0, len(names), across)]
    if numbering == "along the rows from the right":
        rows = [row[::-1] for row in rows]
    if numbering == "there and back":
        rows = [row[::-1] if number % 2 else row for number, row in enumerate(rows)]
    return tuple(rows)


def _ring(names: Sequence[str], *, middle: bool) -> dict[str, tuple[float, float]]:
    """Place cavities on a circle, the first at the top, clockwise as seen."""
    around = list(names[:-1] if middle and len(names) > 1 else names)
    radius = max(PITCH_MM, PITCH_MM / (2 * math.sin(math.pi / max(2, len(around)))))
    places = {
        name: (
            round(radius * math.sin(2 * math.pi * number / len(around)), 1) + 0.0,
            round(radius * math.cos(2 * math.pi * number / len(around)), 1) + 0.0,
        )
        for number, name in enumerate(around)
    }
    if middle and len(names) > 1:
        places[names[-1]] = (0.0, 0.0)
    return places


def as_text(face: Face) -> str:
    """Return a face's cavities as they are typed: a line a row, or a line a place."""
    if face.at_mm:
        return "\n".join(f"{n}: {number_text(x)}; {number_text(y)}" for n, (x, y) in face.at_mm.items())
    return "\n".join(" ".join(GAPS[0] if name is None else name for name in row) for row in face.rows)


def from_text(face: Face, text: str, *, free: bool) -> Face:
    """Return a face with the cavities that a text places: rows from the top, or with `free` 'NAME: x; y' in mm.

    Raises
    ------
    Refused
        With the line that cannot be read.
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines:
        raise Refused("there are no cavities: write their names, a line a row")
    if free:
        places: dict[str, tuple[float, float]] = {}
        for line in lines:
            name, place = _place(line)
            if name in places:
                raise Refused(f"cavity {name} stands there twice")
            places[name] = place
        return replace(face, rows=(), at_mm=places)
    rows = tuple(tuple(None if n in GAPS else n for n in re.split(r"[\s,;]+", line) if n) for line in lines)
    _check([name for row in rows for name in row if name is not None])
    return replace(face, rows=rows, at_mm={})


def _place(line: str) -> tuple[str, tuple[float, float]]:
    found = re.fullmatch(r"(\S+?)\s*[:\s]\s*(\S+?)\s*(?:;|,\s|\s)\s*(\S+)", line)
    if not found:
        raise Refused(f"'{line}' is no place: write NAME: x; y in mm, such as 1: 0; 9")
    _check([found[1]])
    unit = Number(unit="mm")
    return found[1], (read_number(unit, found[2]), read_number(unit, found[3]))


def moved_to(
    places: Mapping[str, tuple[float, float]], name: str, x_mm: float, y_mm: float
) -> dict[str, tuple[float, float]]:
    """Return free places with one cavity elsewhere.

    It comes into line with the nearest other one at its left or right, and above or below, if that is within
    `IN_LINE_MM`; else it stands on whole steps of `STEP_MM`.
    """
    others = [place for other, place in places.items() if other != name]
    x = _in_line(x_mm, [place[0] for place in others])
    y = _in_line(y_mm, [place[1] for place in others])
    return {**places, name: (x, y)}


def _in_line(value_mm: float, others_mm: Sequence[float]) -> float:
    nearest = min(others_mm, key=lambda other: abs(other - value_mm), default=math.inf)
    if abs(nearest - value_mm) <= IN_LINE_MM:
        return nearest
    return round(round(value_mm / STEP_MM) * STEP_MM, 3) + 0.0


def seen_from_behind(face: Face) -> Face:
    """Return the same face in its other view: left and right change places, and so does a lock at a side."""
    return replace(
        face,
        view="mating" if face.view == "wire entry" else "wire entry",
        rows=_mirrored(face.rows),
        at_mm={name: (-x + 0.0, y) for name, (x, y) in face.at_mm.items()},
        lock=_OTHER_SIDE[face.lock],  # type: ignore[arg-type]
    )


def _mirrored(rows: Sequence[Sequence[str | None]]) -> tuple[tuple[str | None, ...], ...]:
    return tuple(tuple(reversed(row)) for row in rows)
