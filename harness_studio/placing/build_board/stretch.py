"""A straight piece of the build board."""

from __future__ import annotations

from dataclasses import dataclass, replace

from harness_studio.base.geometry import Point


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight piece: a run, or the tail from a breakout to a thing at its end.

    `known` is whether its length is; `onward` names the breakout where a run goes on that would close a ring.
    """

    id: str
    kind: str
    start: Point
    end: Point
    length_mm: float
    known: bool = True
    onward: str = ""

    def along(self, mm: float) -> Point:
        """Return the place so many mm from its start."""
        share = mm / self.length_mm if self.length_mm else 0.0
        dx, dy = self.end.x_mm - self.start.x_mm, self.end.y_mm - self.start.y_mm
        return self.start.moved(dx * share, dy * share)

    def moved(self, dx_mm: float, dy_mm: float) -> Stretch:
        """Return the piece moved by a distance."""
        return replace(self, start=self.start.moved(dx_mm, dy_mm), end=self.end.moved(dx_mm, dy_mm))
