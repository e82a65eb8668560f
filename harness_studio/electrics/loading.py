"""How much each ground and each fuse carries, in a mode."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from harness_studio.model.harness import Harness

from .solution import Solution

FUSES = ("fuse", "breaker", "link")


@dataclass(frozen=True, slots=True)
class Loading:
    """One ground or fuse: amperes through it, volts lost on it, and its rating where it has one."""

    id: str
    kind: Literal["ground", "fuse"]
    amperes: float
    lost_v: float
    rated_a: float | None = None

    @property
    def part_of_rating(self) -> float | None:
        """Amperes as a part of the rating; None without one."""
        return self.amperes / self.rated_a if self.rated_a else None


def loadings(harness: Harness, solution: Solution) -> list[Loading]:
    """Return grounds, the most loaded first, then fuses, the one nearest to its rating first."""
    joints = solution.network.joints
    grounds, fuses = [], []
    for ground in harness.grounds:
        if ground in joints:
            found = solution.joint(ground)
            grounds.append(Loading(ground, "ground", abs(found.amperes), abs(found.drop_v)))
    for part in harness.parts.values():
        if part.kind in FUSES and part.id in joints:
            found = solution.joint(part.id)
            rated_a = part.ratings.rated_a
            fuses.append(Loading(part.id, "fuse", abs(found.amperes), abs(found.drop_v), rated_a))
    return [
        *sorted(grounds, key=lambda g: -g.amperes),
        *sorted(fuses, key=lambda f: (-(f.part_of_rating or 0.0), -f.amperes)),
    ]
