"""Extending a connector by a cavity; what is mated with it grows along."""

from __future__ import annotations

from dataclasses import replace

from harness_studio.base.errors import EditError
from harness_studio.model.edits import Put, Together, together
from harness_studio.model.entities import Half
from harness_studio.model.harness import Harness
from harness_studio.model.values import Cavity, Face

from .stock import MOST_CAVITIES, round_face

_STEP_MM = 5.0


def extend_edit(harness: Harness, half_id: str) -> tuple[Together, str]:
    """Return the step that gives a connector half one more cavity, and the cavity's name.

    A half that is mated name by name with this one gets the same cavity, so that both still meet.

    Raises
    ------
    EditError
        If it is no connector half or has as many cavities as a face may have.
    """
    half = harness.halves.get(half_id)
    if half is None:
        raise EditError(f"{half_id} is no connector: select one to extend it by a cavity")
    if len(half.cavity_names()) >= MOST_CAVITIES:
        raise EditError(f"{half_id} has {MOST_CAVITIES} cavities already, more are not drawn")
    name = _next_name(harness, half)
    halves = [half, *(h for h in _mated_by_name(harness, half) if name not in h.cavity_names())]
    edits = [Put("halves", with_cavity(h, name, first=h.id == half_id)) for h in halves]
    return together(edits, f"extend {half_id} by cavity {name}"), name


def _next_name(harness: Harness, half: Half) -> str:
    names = set(half.cavity_names())
    for mate in _mated_by_name(harness, half):
        names.update(mate.cavity_names())
    numbers = [int(n) for n in names if n.isascii() and n.isdigit()]
    number = max(numbers, default=0) + 1
    return str(number)


def _mated_by_name(harness: Harness, half: Half) -> list[Half]:
    found = [harness.halves[o] for o, pairs in half.mates.items() if pairs is None and o in harness.halves]
    return found + [h for h in harness.halves.values() if h.mates.get(half.id, ()) is None]


def with_cavity(half: Half, name: str, *, first: bool = True) -> Half:
    """Return a half with one more cavity: in a free place of its face, else at the end of its shortest row.

    Parameters
    ----------
    first
        Whether it is the half that is seen; the row of the other one grows at its left end.
    """
    face = half.face
    if face is None:
        return replace(half, cavities={**half.cavities, name: Cavity()})
    if face.rows:
        return replace(half, face=replace(face, rows=_in_rows(face, name, first)))
    count = len(face.at_mm)
    if (
        face.outline == "round"
        and dict(face.at_mm) == dict(round_face(count).at_mm)
        and name == str(count + 1)
    ):
        return replace(half, face=replace(face, at_mm=round_face(count + 1).at_mm))
    right = max((x for x, _ in face.at_mm.values()), default=-_STEP_MM) + _STEP_MM
    return replace(half, face=replace(face, at_mm={**face.at_mm, name: (right, 0.0)}))


def _in_rows(face: Face, name: str, first: bool) -> tuple[tuple[str | None, ...], ...]:
    rows = [list(row) for row in face.rows]
    for row in rows:
        if None in row:
            row[row.index(None)] = name
            return tuple(map(tuple, rows))
    shortest = min(range(len(rows)), key=lambda n: (len(rows[n]), -n))
    if len({len(row) for row in rows}) == 1:
        shortest = len(rows) - 1
    rows[shortest].insert(len(rows[shortest]) if first else 0, name)
    return tuple(map(tuple, rows))
