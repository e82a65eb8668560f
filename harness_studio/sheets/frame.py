"""Head and foot of every page."""

from __future__ import annotations

from harness_studio.drawing.fonts import BOLD, REGULAR, STRONG
from harness_studio.drawing.strokes import Align, Stroke, Text, line

from .job import Job
from .leaf import Leaf
from .lettering import LEADING, LEAST_MM, SMALL_MM, plain, shrunk

_HEAD_MM, _RULE_MM = 12.0, 16.5
_FOOT_MM, _FOOT_RULE_MM = 7.5, 11.0
_LINE_MM = LEAST_MM * LEADING


def dress(leaf: Leaf, job: Job, number: int, count: int) -> None:
    """Draw head and foot: harness, sheet, page x of y, revision, day, limit set and modes."""
    if not leaf.framed:
        return
    body, high = leaf.paper.body, leaf.paper.height_mm
    left, right, wide = body.left_mm, body.right_mm, body.width_mm
    for y in (_RULE_MM, high - _FOOT_RULE_MM):
        leaf.add(Stroke(line((left, y), (right, y)), "ink", 0.25))
    subject = plain(leaf.subject)
    sheet = f"{leaf.sheet} · {subject}" if subject else leaf.sheet
    _place(leaf, plain(job.harness.settings.title), left, _HEAD_MM, wide * 0.48, 3.9, BOLD, "left")
    _place(leaf, sheet, right, _HEAD_MM, wide * 0.48, 3.5, STRONG, "right")
    y = high - _FOOT_MM
    _place(leaf, _revision(job), left, y, wide * 0.26, SMALL_MM, REGULAR, "left")
    limits, modes = _terms(job)
    middle, room = left + wide * 0.56, wide * 0.56
    _place(leaf, limits, middle, y - _LINE_MM / 2, room, LEAST_MM, REGULAR, "middle")
    _place(leaf, modes, middle, y + _LINE_MM / 2, room, LEAST_MM, REGULAR, "middle")
    _place(leaf, f"page {number} of {count}", right, y, wide * 0.14, SMALL_MM, STRONG, "right")


def _place(
    leaf: Leaf, text: str, x: float, y: float, room: float, size: float, weight: int, align: Align
) -> None:
    shown, fitting = shrunk(text, size, room, weight)
    leaf.add(Text(x, y, shown, fitting, weight, "ink", align))


def _revision(job: Job) -> str:
    found = job.revision
    if found is None:
        return f"no revision · printed {job.day}"
    return (
        f"revision {plain(found.id)}" + (f" of {found.date}" if found.date else "") + f" · printed {job.day}"
    )


def _terms(job: Job) -> tuple[str, str]:
    """Return the limits in force, and the modes that volts are given for; titles may hold commas."""
    limits = job.harness.settings.limits
    named = f"limits: {limits.set.replace('_', ' ')}" + (" with own values" if limits.override else "")
    return named, "volts for: " + ("; ".join(plain(m.title) for m in job.modes) or "not solved")
