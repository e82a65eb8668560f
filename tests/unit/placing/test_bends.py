"""Ways without a search."""

from itertools import pairwise, product

import pytest

from harness_studio.base.geometry import Point
from harness_studio.placing.bends import cleaned, quick, through
from harness_studio.placing.symbols import Anchor, Side

SIDES: tuple[Side, ...] = ("left", "right", "top", "bottom")


def anchor(x: float, y: float, side: Side) -> Anchor:
    return Anchor("P", Point(x, y), side)


def square(points: list[Point]) -> bool:
    return all((a.x_mm == b.x_mm) != (a.y_mm == b.y_mm) for a, b in pairwise(points))


def outwards(a: Anchor, first: Point) -> bool:
    dx, dy = first.x_mm - a.at.x_mm, first.y_mm - a.at.y_mm
    return {"left": dx < 0, "right": dx > 0, "top": dy < 0, "bottom": dy > 0}[a.side]


@pytest.mark.parametrize(("a", "b"), tuple(product(SIDES, SIDES)))
@pytest.mark.parametrize("end", [(120, 70), (120, -70), (-120, 70), (-120, -70), (90, 0), (0, 90)])
def test_a_quick_way_is_square_and_leaves_both_sides_outwards(a: Side, b: Side, end: tuple[int, int]) -> None:
    first, second = anchor(0, 0, a), anchor(*end, b)
    points = quick(first, second)
    assert points[0] == first.at
    assert points[-1] == second.at
    assert square(points)
    assert len(points) <= 6
    assert outwards(first, points[1])
    assert outwards(second, points[-2])


def test_a_way_goes_through_the_bends_that_were_made() -> None:
    points = through(anchor(0, 0, "right"), [(40, 0), (40, 50), (90, 50)], anchor(130, 80, "left"))
    assert [(p.x_mm, p.y_mm) for p in points] == [(0, 0), (40, 0), (40, 50), (90, 50), (90, 80), (130, 80)]
    assert square(points)


def test_bends_that_are_not_in_line_get_a_corner() -> None:
    points = through(anchor(0, 0, "right"), [(40, 30)], anchor(100, 60, "top"))
    assert square(points)
    assert Point(40, 30) in points


def test_a_way_with_an_open_end_stops_at_its_last_bend() -> None:
    points = through(anchor(0, 0, "bottom"), [(0, 30), (20, 30)], None)
    assert points[-1] == Point(20, 30)


def test_corners_in_line_and_repeated_ones_are_taken_out() -> None:
    assert cleaned([(0, 0), (0, 0), (5, 0), (9, 0), (9, 4), (9, 4), (9, 9)]) == [
        Point(0, 0), Point(9, 0), Point(9, 9),
    ]  # fmt: skip
