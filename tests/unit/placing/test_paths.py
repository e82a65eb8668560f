"""Ways on a grid against networkx's shortest paths (Dijkstra) on the same grid with a state for the direction."""

import random
from itertools import pairwise

import networkx as nx
import pytest

from harness_studio.base.geometry import Box, Point
from harness_studio.placing.grid import BLOCKED, CROSSING_MM, Grid, nearest
from harness_studio.placing.paths import BEND_MM, Corner, Terminal, way
from harness_studio.placing.stretches import table_of


def page(seed: int, count: int = 12) -> tuple[list[Box], Grid]:
    rng = random.Random(seed)
    boxes: list[Box] = []
    while len(boxes) < count:
        box = Box(
            rng.randrange(0, 240, 2),
            rng.randrange(0, 160, 2),
            rng.randrange(10, 40, 2),
            rng.randrange(8, 30, 2),
        )
        if not any(box.grown(6).meets(other) for other in boxes):
            boxes.append(box)
    return boxes, Grid(table_of(boxes), [], [])


def cost(grid: Grid, corners: list[Corner], crossed: dict[Corner, int] | None = None) -> float:
    """Return what a way costs: its length, its bends, and what it crosses."""
    total = BEND_MM * (len(corners) - 2)
    for (r0, c0), (r1, c1) in pairwise(corners):
        total += abs(float(grid.x[c0] - grid.x[c1])) + abs(float(grid.y[r0] - grid.y[r1]))
        for place in crossed or {}:
            on = (r0 == r1 == place[0] and min(c0, c1) < place[1] < max(c0, c1)) or (
                c0 == c1 == place[1] and min(r0, r1) < place[0] < max(r0, r1)
            )
            total += CROSSING_MM * (crossed or {})[place] if on else 0.0
    return total


def graph(grid: Grid, boxes: list[Box]) -> nx.Graph:
    """Return places with the direction in which they are passed; turning costs a bend."""
    found = nx.Graph()
    rows, columns = len(grid.y), len(grid.x)
    for r in range(rows):
        for c in range(columns):
            found.add_edge((r, c, "level"), (r, c, "upright"), weight=BEND_MM)
            x, y = float(grid.x[c]), float(grid.y[r])
            if c + 1 < columns:
                step = Box(x, y, float(grid.x[c + 1]) - x, 0.0)
                if not any(b.meets(step) for b in boxes):
                    found.add_edge((r, c, "level"), (r, c + 1, "level"), weight=step.width_mm)
            if r + 1 < rows:
                step = Box(x, y, 0.0, float(grid.y[r + 1]) - y)
                if not any(b.meets(step) for b in boxes):
                    found.add_edge((r, c, "upright"), (r + 1, c, "upright"), weight=step.height_mm)
    return found


@pytest.mark.parametrize("seed", range(12))
def test_a_way_is_as_cheap_as_dijkstras(seed: int) -> None:
    boxes, grid = page(seed)
    places = graph(grid, boxes)
    rng = random.Random(seed)
    rows, columns = range(len(grid.y)), range(len(grid.x))
    outside = [
        (r, c)
        for r in rows
        for c in columns
        if not any(b.contains(Point(float(grid.x[c]), float(grid.y[r]))) for b in boxes)
    ]
    for _ in range(8):
        a, b = rng.sample(outside, 2)
        directions = [rng.random() < 0.5 for _ in range(2)]
        ends = [(*p, "level" if level else "upright") for p, level in zip((a, b), directions, strict=True)]
        best = nx.dijkstra_path_length(places, ends[0], ends[1])
        found = way(grid, Terminal(*a, directions[0]), Terminal(*b, directions[1]), around_mm=1000.0)
        assert found[0] == a
        assert found[-1] == b
        first_level = found[0][0] == found[1][0]
        last_level = found[-2][0] == found[-1][0]
        turns = (first_level != directions[0]) + (last_level != directions[1])
        assert cost(grid, found) + BEND_MM * turns == pytest.approx(best)


def test_a_way_runs_through_nothing_and_turns_at_right_angles() -> None:
    boxes, grid = page(3)
    a, b = Terminal(0, 0, True), Terminal(len(grid.y) - 1, len(grid.x) - 1, True)
    found = way(grid, a, b)
    for (r0, c0), (r1, c1) in pairwise(found):
        assert (r0 == r1) != (c0 == c1)
        x0, x1 = sorted((float(grid.x[c0]), float(grid.x[c1])))
        y0, y1 = sorted((float(grid.y[r0]), float(grid.y[r1])))
        assert not any(box.meets(Box(x0, y0, x1 - x0, y1 - y0)) for box in boxes)


def test_a_wire_goes_round_another_if_that_is_cheaper_than_to_cross_it() -> None:
    grid = Grid(table_of([]), [0.0, 50.0, 100.0], [0.0, 4.0, 8.0, 12.0])
    straight = way(grid, Terminal(2, 0, True), Terminal(2, 2, True), around_mm=1000.0)
    assert straight == [(2, 0), (2, 2)]
    free = cost(grid, straight)
    grid.use([(0, 1), (3, 1)], 1)
    assert way(grid, Terminal(2, 0, True), Terminal(2, 2, True), around_mm=1000.0) == straight
    assert cost(grid, straight, {(2, 1): 1}) == free + CROSSING_MM


def test_counting_a_wire_in_and_out_again_leaves_no_trace() -> None:
    _, grid = page(5)
    before = [a.copy() for d in (grid.level, grid.upright) for a in (d.spare, d.weight)]
    corners = way(grid, Terminal(0, 0, True), Terminal(len(grid.y) - 1, len(grid.x) - 1, True))
    grid.use(corners, 1)
    assert grid.level.weight.sum() + grid.upright.weight.sum() > before[1].sum() + before[3].sum()
    grid.use(corners, -1)
    after = [a for d in (grid.level, grid.upright) for a in (d.spare, d.weight)]
    assert all(a == pytest.approx(b) for a, b in zip(after, before, strict=True))


def test_a_place_that_is_walled_in_is_reached_through_as_little_as_possible() -> None:
    walls = [Box(0, 0, 60, 4), Box(0, 36, 60, 4), Box(0, 4, 4, 32), Box(56, 4, 4, 32)]
    grid = Grid(table_of(walls), [30.0, 100.0], [20.0])
    found = way(
        grid,
        Terminal(nearest(grid.y, 20), nearest(grid.x, 30), True),
        Terminal(nearest(grid.y, 20), nearest(grid.x, 100), True),
    )
    assert [(float(grid.x[c]), float(grid.y[r])) for r, c in found] == [(30.0, 20.0), (100.0, 20.0)]
    assert BLOCKED > 1000.0
