"""Stretches moved apart, in the order that crosses least."""

import itertools
import random

import pytest

from harness_studio.base.geometry import Box
from harness_studio.placing.jogs import overlaps, split_crowded
from harness_studio.placing.repair import repair
from harness_studio.placing.stretches import Held, Way, limit, stretches, table_of
from harness_studio.placing.tracks import groups, separate

NOTHING = table_of([])


def z(x0: float, y0: float, x: float, x1: float, y1: float) -> Way:
    """Return a way that runs level to x, then upright, then level."""
    return Way([[x0, y0], [x, y0], [x, y1], [x1, y1]], True, [False, True, False])


def crossings(ways: list[Way]) -> int:
    level, upright = [], []
    for w, way in enumerate(ways):
        for (ax, ay), (bx, by) in zip(way.points, way.points[1:], strict=False):
            if ay == by:
                level.append((w, ay, *sorted((ax, bx))))
            else:
                upright.append((w, ax, *sorted((ay, by))))
    return sum(v != w and a < x < b and low < y < high for v, y, a, b in level for w, x, low, high in upright)


def test_wires_down_a_channel_nest_without_crossing() -> None:
    ways = [z(0, 10 * n, 50, 100, 200 + 10 * n) for n in range(6)]
    separate(ways, NOTHING)
    assert crossings(ways) == 0
    xs = [way.points[1][0] for way in ways]
    assert xs == sorted(xs, reverse=True)  # what starts highest turns last
    assert all(a - b == pytest.approx(4.0) for a, b in itertools.pairwise(xs))


def test_wires_up_a_channel_nest_the_other_way_round() -> None:
    ways = [z(0, 200 + 10 * n, 50, 100, 10 * n) for n in range(6)]
    separate(ways, NOTHING)
    assert crossings(ways) == 0
    xs = [way.points[1][0] for way in ways]
    assert xs == sorted(xs)


def test_two_that_face_each_other_at_one_height_do_not_lie_on_each_other() -> None:
    ways = [z(0, 50, 50, 100, 90), z(0, 10, 50, 100, 50)]
    separate(ways, NOTHING)
    # The first turns off its level before the second comes onto it.
    assert ways[0].points[1][0] < ways[1].points[1][0]
    assert overlaps(ways) == []


def test_a_stretch_stays_clear_of_symbols() -> None:
    boxes = table_of([Box(0, 20, 46, 40), Box(60, 20, 30, 40)])
    ways = [z(-20, 0, 50, 120, 80), z(-20, -10, 50, 120, 90)]
    separate(ways, boxes)
    assert all(47 <= way.points[1][0] <= 59 for way in ways)
    assert overlaps(ways) == []


def test_what_is_held_stays_and_others_make_way() -> None:
    held = Way([[0, 0], [50, 0], [50, 100], [100, 100]], True, [False] * 3)
    ways = [z(0, 20, 50, 100, 80), held]
    separate(ways, NOTHING)
    assert held.points == [[0, 0], [50, 0], [50, 100], [100, 100]]
    assert abs(ways[0].points[1][0] - 50) >= 4 - 1e-9


def test_groups_hold_all_that_may_meet() -> None:
    ways = [z(0, 0, 50, 100, 40), z(0, 30, 52, 100, 90), z(0, 200, 50, 100, 240), z(300, 0, 350, 400, 40)]
    found = stretches(ways, True)
    limit(found, NOTHING, True)
    sets = sorted(sorted(found.way[g].tolist()) for g in groups(found))
    assert [0, 1] in sets
    assert [2] in sets
    assert [3] in sets


def test_a_stretch_without_room_is_split_where_both_parts_have_some() -> None:
    # Above, the way is limited from the left, below from the right: only 4 mm are free all along.
    boxes = table_of([Box(-100, 0, 98, 100), Box(2, 140, 98, 100)])
    ways = [z(-2, -20 - 4 * n, 0, 2, 260 + 4 * n) for n in range(6)]
    crowded = separate(ways, boxes)
    assert crowded
    changed = split_crowded(ways, crowded, boxes)
    assert changed
    separate(ways, boxes)
    for w in changed:
        steps = [p for p in ways[w].points if 100 <= p[1] <= 140]
        assert len(steps) == 2
    assert overlaps(ways) == []


@pytest.mark.parametrize("seed", range(25))
def test_any_ways_in_a_channel_come_apart(seed: int) -> None:
    rng = random.Random(seed)
    count = rng.randint(2, 14)
    left = rng.sample(range(40), count)
    right = rng.sample(range(40), count)
    ways = [z(0, 4.0 * a, 60, 120, 4.0 * b) for a, b in zip(left, right, strict=True) if a != b]
    separate(ways, NOTHING)
    repair(ways, Held(), NOTHING)
    assert overlaps(ways) == []


def test_repair_moves_a_stretch_off_another() -> None:
    ways = [z(0, 0, 50, 100, 100), z(0, 20, 50, 100, 80)]
    assert overlaps(ways)
    repair(ways, Held(), NOTHING)
    assert overlaps(ways) == []


def test_repair_leaves_alone_what_may_not_change() -> None:
    kept = z(0, 0, 50, 100, 100)
    moving = z(0, 20, 50, 100, 80)
    held = Held({upright: stretches([kept], upright) for upright in (False, True)})
    repair([moving], held, NOTHING)
    assert kept.points[1][0] == 50
    assert moving.points[1][0] != 50
