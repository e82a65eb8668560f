"""What an edit would change: the harness before and after it, solved in one mode."""

from __future__ import annotations

from dataclasses import dataclass

from harness_studio.model.edits import Edit
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides

from .readings import Change, compare, readings
from .solution import Solution
from .solve import solve


@dataclass(frozen=True, slots=True)
class GroundChange:
    """A ground's amperes and rise before and after; None where it is in an island."""

    ground: str
    before_a: float
    after_a: float
    before_v: float | None
    after_v: float | None


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What an edit would change: readings, the most noticeable first, and every ground's load and rise."""

    changes: tuple[Change, ...]
    grounds: tuple[GroundChange, ...]


def what_if(harness: Harness, edit: Edit, mode: str | None, overrides: Overrides | None = None) -> WhatIf:
    """Return what an edit would change; the harness itself stays as it is.

    Raises
    ------
    EditError
        If the edit is not allowed.
    SolveError
        If the harness has no solution before or after it.
    """
    after = harness.snapshot()
    edit.apply(after)
    first, second = solve(expand(harness, mode, overrides)), solve(expand(after, mode, overrides))
    changes = compare(readings(harness, first), readings(after, second))
    return WhatIf(tuple(changes), tuple(ground_changes(harness, first, second)))


def ground_changes(harness: Harness, first: Solution, second: Solution) -> list[GroundChange]:
    """Return the load and rise of the grounds in two solutions, where both have them."""
    found = []
    for ground in harness.grounds:
        if ground in first.network.joints and ground in second.network.joints:
            amperes = (abs(s.joint(ground).amperes) for s in (first, second))
            volts = (s.volt(ground) for s in (first, second))
            found.append(GroundChange(ground, *amperes, *volts))
    return found
