"""Plain geometry in millimetres, y downwards as on a page."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Point:
    """A place on the page."""

    x_mm: float
    y_mm: float

    def moved(self, dx_mm: float, dy_mm: float) -> Point:
        """Return the point moved by a distance."""
        return Point(self.x_mm + dx_mm, self.y_mm + dy_mm)

    def turned(self, quarter_turns: int) -> Point:
        """Return the point turned clockwise about the origin by quarter turns."""
        x, y = self.x_mm, self.y_mm
        for _ in range(quarter_turns % 4):
            x, y = -y, x
        return Point(x, y)


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        """The right edge."""
        return self.left_mm + self.width_mm

    @property
    def bottom_mm(self) -> float:
        """The lower edge."""
        return self.top_mm + self.height_mm

    @property
    def centre(self) -> Point:
        """The middle."""
        return Point(self.left_mm + self.width_mm / 2, self.top_mm + self.height_mm / 2)

    def moved(self, dx_mm: float, dy_mm: float) -> Box:
        """Return the box moved by a distance."""
        return Box(self.left_mm + dx_mm, self.top_mm + dy_mm, self.width_mm, self.height_mm)

    def grown(self, by_mm: float) -> Box:
        """Return the box with `by_mm` added on all four sides."""
        return Box(
            self.left_mm - by_mm, self.top_mm - by_mm, self.width_mm + 2 * by_mm, self.height_mm + 2 * by_mm
        )

    def contains(self, p: Point) -> bool:
        """Tell whether a point lies in the box or on its edge."""
        return self.left_mm <= p.x_mm <= self.right_mm and self.top_mm <= p.y_mm <= self.bottom_mm

    def meets(self, other: Box) -> bool:
        """Tell whether two boxes overlap by more than an edge."""
        return (
            self.left_mm < other.right_mm
            and other.left_mm < self.right_mm
            and self.top_mm < other.bottom_mm
            and other.top_mm < self.bottom_mm
        )

    def shared_mm2(self, other: Box) -> float:
        """Return the area that lies in both boxes; 0 where they do not meet."""
        across = min(self.right_mm, other.right_mm) - max(self.left_mm, other.left_mm)
        down = min(self.bottom_mm, other.bottom_mm) - max(self.top_mm, other.top_mm)
        return max(0.0, across) * max(0.0, down)


def around(boxes: list[Box]) -> Box | None:
    """Return the smallest box around all boxes, or None for none."""
    if not boxes:
        return None
    left = min(b.left_mm for b in boxes)
    top = min(b.top_mm for b in boxes)
    return Box(left, top, max(b.right_mm for b in boxes) - left, max(b.bottom_mm for b in boxes) - top)
