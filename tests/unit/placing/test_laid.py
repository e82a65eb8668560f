"""The table of a page's ways against looking at every way."""

import random
from itertools import pairwise

import pytest

from harness_studio.base.geometry import Box, Point
from harness_studio.placing.laid import Laid
from harness_studio.placing.symbols import Route


def some_route(name: str, rng: random.Random) -> Route:
    x, y = float(rng.randrange(100)), float(rng.randrange(100))
    points = [Point(x, y)]
    for number in range(rng.randrange(1, 5)):
        x, y = (float(rng.randrange(100)), y) if number % 2 else (x, float(rng.randrange(100)))
        points.append(Point(x, y))
    return Route(name, tuple(points))


def runs_through(route: Route, box: Box) -> bool:
    return any(
        min(a.x_mm, b.x_mm) < box.right_mm
        and max(a.x_mm, b.x_mm) > box.left_mm
        and min(a.y_mm, b.y_mm) < box.bottom_mm
        and max(a.y_mm, b.y_mm) > box.top_mm
        for a, b in pairwise(route.points)
    )


def test_what_runs_through_a_box_is_found_also_after_changes() -> None:
    rng = random.Random(4)
    laid = Laid({f"W{n}": some_route(f"W{n}", rng) for n in range(30)})
    order = [f"W{n}" for n in range(60)]
    for step in range(40):
        keys = list(laid)
        gone = set(rng.sample(keys, rng.randrange(3))) if step % 3 == 0 else set()
        again = {k: some_route(k, rng) for k in rng.sample(keys, 4) if k not in gone}
        new = {k: some_route(k, rng) for k in rng.sample(order, 2)} if step % 4 == 0 else {}
        before = dict(laid)
        laid = laid.changed(gone, {**again, **new}, order)
        assert dict(laid) == {
            k: r for k, r in {**before, **again, **new}.items() if k not in gone or k in new
        }
        if gone or new:
            assert list(laid) == [k for k in order if k in laid]
        box = Box(rng.randrange(90), rng.randrange(90), rng.randrange(1, 20), rng.randrange(1, 20))
        assert laid.crossing([box]) == {k for k, r in laid.items() if runs_through(r, box)}
        assert laid.in_order(reversed(list(laid))) == list(laid)


def test_nothing_runs_through_no_box() -> None:
    assert Laid().crossing([Box(0, 0, 10, 10)]) == set()
    assert Laid({"W1": Route("W1", (Point(0, 0), Point(5, 0)))}).crossing([]) == set()
    with pytest.raises(KeyError):
        Laid().in_order(["W1"])
