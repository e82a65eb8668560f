"""Simple ways have right angles only and end where they should."""

from collections.abc import Sequence
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from harness_studio.base.geometry import Point
from harness_studio.diagram.elbows import elbows, followed, weights
from harness_studio.diagram.scene import Scene

STEPS = st.integers(-200, 200).map(float)
MAYBE = st.none() | st.tuples(STEPS, STEPS)


@st.composite
def ways(draw: st.DrawFn) -> tuple[Point, ...]:
    """A way of one to six stretches, level and upright in turn."""
    x, y = draw(STEPS), draw(STEPS)
    level = draw(st.booleans())
    points = [Point(x, y)]
    for length in draw(st.lists(STEPS.filter(bool), min_size=1, max_size=6)):
        x, y = (x + length, y) if level else (x, y + length)
        points.append(Point(x, y))
        level = not level
    return tuple(points)


def right_angled(points: Sequence[Point]) -> bool:
    return all(a.x_mm == b.x_mm or a.y_mm == b.y_mm for a, b in pairwise(points))


@given(ways(), MAYBE, MAYBE)
def test_ends_follow_and_corners_stay_right(
    way: tuple[Point, ...], first: tuple[float, float] | None, second: tuple[float, float] | None
) -> None:
    got = followed(way, first, second)
    assert got[0] == (way[0].moved(*first) if first else way[0])
    assert got[-1] == (way[-1].moved(*second) if second else way[-1])
    assert right_angled(got)


@given(ways(), st.tuples(STEPS, STEPS))
def test_a_way_between_two_things_that_move_together_keeps_its_shape(
    way: tuple[Point, ...], step: tuple[float, float]
) -> None:
    assert followed(way, step, step) == tuple(p.moved(*step) for p in way)


@given(ways(), st.booleans(), st.booleans(), st.tuples(STEPS, STEPS))
def test_weights_say_the_same_for_every_step(
    way: tuple[Point, ...], first: bool, second: bool, step: tuple[float, float]
) -> None:
    points, shares = weights(way, first=first, second=second)
    got = [
        Point(p.x_mm + sx * step[0], p.y_mm + sy * step[1])
        for p, (sx, sy) in zip(points, shares, strict=True)
    ]
    assert right_angled(got)
    wanted = followed(way, step if first else None, step if second else None)
    assert [p for p, q in pairwise([*got, None]) if p != q] == [
        p for p, q in pairwise([*wanted, None]) if p != q
    ]


def test_every_wire_between_drawn_things_has_a_simple_way(scene: Scene) -> None:
    found = elbows(scene.harness, scene.symbols)
    assert set(scene.harness.wires) <= set(found)
    for key, route in found.items():
        assert right_angled(route.points), key
    route = found["W40"]
    ends = [
        scene.symbols[home].wire_anchors["W40", point].at for home, point in (("M2", "X9.2"), ("GP2", "GP2"))
    ]
    assert [route.points[0], route.points[-1]] == ends
