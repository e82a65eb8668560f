"""Flags: each on a free place, leaders that meet nothing, longer words where there is room."""

import itertools
import math
import random

from harness_studio.base.geometry import Box, Point
from harness_studio.placing.build_board.flags import Flag, place

ROOM = Box(0.0, 0.0, 100.0, 100.0)
SIZES = ((20.0, 3.0), (6.0, 3.0))


def clear(puts) -> bool:
    """Tell whether no box of flags lies on another (separating axes, written out)."""
    return all(
        a.box.right_mm <= b.box.left_mm
        or b.box.right_mm <= a.box.left_mm
        or a.box.bottom_mm <= b.box.top_mm
        or b.box.bottom_mm <= a.box.top_mm
        for a, b in itertools.combinations(puts.values(), 2)
    )


def test_a_lone_flag_has_its_longest_words_beside_its_place() -> None:
    puts, lost = place([Flag(("", "a"), (Point(50, 50),), SIZES)], [], [], ROOM)
    assert lost == []
    assert puts["", "a"].size == 0
    assert puts["", "a"].leader is None
    assert puts["", "a"].box.grown(1.5).contains(Point(50, 50))


def test_a_crowd_at_one_point_is_led_away_and_nothing_overlaps() -> None:
    flags = [Flag(("", str(n)), (Point(50, 50),), SIZES) for n in range(12)]
    puts, lost = place(flags, [], [(Point(50, 50), 1.5)], ROOM)
    assert lost == []
    assert clear(puts)
    assert sum(p.leader is not None for p in puts.values()) > 5


def test_flags_keep_off_bars_and_marks_and_in_the_room() -> None:
    rng = random.Random(5)
    at = [Point(rng.uniform(5, 95), rng.uniform(5, 95)) for _ in range(40)]
    bar = ((Point(0, 52), Point(100, 48)), 0.8)
    puts, lost = place(
        [Flag(("", str(n)), (p,), SIZES) for n, p in enumerate(at)], [bar], [(p, 1.0) for p in at], ROOM
    )
    assert lost == []
    assert clear(puts)
    for put in puts.values():
        assert put.box.left_mm >= 0
        assert put.box.right_mm <= 100
        assert put.box.top_mm >= 0
        assert put.box.bottom_mm <= 100
        for p in at:
            dx = max(put.box.left_mm - p.x_mm, 0, p.x_mm - put.box.right_mm)
            dy = max(put.box.top_mm - p.y_mm, 0, p.y_mm - put.box.bottom_mm)
            assert math.hypot(dx, dy) > 0.9
        heights = [52 - 0.04 * x for x in (put.box.left_mm, put.box.right_mm)]
        assert put.box.bottom_mm < min(heights) or put.box.top_mm > max(heights)


def test_leaders_neither_cross_nor_run_through_flags() -> None:
    rng = random.Random(7)
    at = [Point(50 + rng.uniform(-5, 5), 50 + rng.uniform(-5, 5)) for _ in range(20)]
    marks = [(p, 0.5) for p in at]
    puts, _ = place([Flag(("", str(n)), (p,), SIZES) for n, p in enumerate(at)], [], marks, ROOM)
    led = [p for p in puts.values() if p.leader]
    assert len(led) > 5
    for a, b in itertools.combinations(led, 2):
        assert not meet(*a.leader, *b.leader)
    for a, b in itertools.permutations(led, 2):
        steps = [k / 200 for k in range(201)]
        (p, q), box = a.leader, b.box
        along = [Point(p.x_mm + (q.x_mm - p.x_mm) * s, p.y_mm + (q.y_mm - p.y_mm) * s) for s in steps]
        assert not any(box.contains(x) for x in along)


def meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Tell whether two lines cross, by the point where they meet (Cramer's rule)."""
    e, f = (b.x_mm - a.x_mm, b.y_mm - a.y_mm), (d.x_mm - c.x_mm, d.y_mm - c.y_mm)
    det = e[0] * f[1] - e[1] * f[0]
    if abs(det) < 1e-9:
        return False
    g = (c.x_mm - a.x_mm, c.y_mm - a.y_mm)
    s, t = (g[0] * f[1] - g[1] * f[0]) / det, (g[0] * e[1] - g[1] * e[0]) / det
    return 1e-6 < s < 1 - 1e-6 and 1e-6 < t < 1 - 1e-6


def test_what_finds_no_place_is_named() -> None:
    small = Box(0.0, 0.0, 14.0, 4.0)
    puts, lost = place([Flag(("", str(n)), (Point(7, 2),), ((6.0, 3.0),)) for n in range(9)], [], [], small)
    assert len(puts) + len(lost) == 9
    assert lost
    assert clear(puts)
