"""What lines cost when only a few are looked at, against the grid that knows every place of a page."""

import random
from itertools import pairwise

import numpy as np
import pytest

from harness_studio.base.geometry import Box
from harness_studio.placing.grid import CROSSING_MM, CROWDED, Grid, nearest
from harness_studio.placing.lanes import Lanes
from harness_studio.placing.paths import Corner, Terminal, way
from harness_studio.placing.stretches import table_of


def boxes(seed: int) -> list[Box]:
    rng = random.Random(seed)
    found: list[Box] = []
    while len(found) < 12:
        at, size = (rng.randrange(0, 240, 2), rng.randrange(0, 160, 2)), (rng.randrange(10, 40, 2), 16)
        box = Box(*at, *size)
        if not any(box.grown(4).meets(other) for other in found):
            found.append(box)
    return found


def places(seed: int, grid: Grid, count: int) -> list[tuple[Terminal, Terminal]]:
    rng = random.Random(seed)

    def one() -> Terminal:
        return Terminal(rng.randrange(len(grid.y)), rng.randrange(len(grid.x)), rng.random() < 0.5)

    return [(one(), one()) for _ in range(count)]


def runs_through(grid: Grid, corners: list[Corner], some: list[Box]) -> bool:
    for (r0, c0), (r1, c1) in pairwise(corners):
        x0, x1 = sorted((float(grid.x[c0]), float(grid.x[c1])))
        y0, y1 = sorted((float(grid.y[r0]), float(grid.y[r1])))
        if any(box.grown(-0.5).meets(Box(x0, y0, x1 - x0, y1 - y0)) for box in some):
            return True
    return False


@pytest.mark.parametrize("seed", range(12))
def test_costs_are_those_of_the_grid_while_wires_come_and_go(seed: int) -> None:
    table = table_of(boxes(seed))
    grid, lanes = Grid(table, [3.0], [5.0]), Lanes(table, [3.0], [5.0])
    rows, columns = np.arange(len(grid.y)), np.arange(len(grid.x))
    assert (lanes.x == grid.x).all()
    assert (lanes.y == grid.y).all()
    laid = []
    for a, b in places(seed, grid, 14):
        corners = way(grid, a, b)
        if runs_through(grid, corners, boxes(seed)):
            continue
        laid.append(corners)
        for field in (grid, lanes):
            field.use(corners, 1)
        if len(laid) == 6:
            for field in (grid, lanes):
                field.use(laid[0], -1)
            del laid[0]
        for mine, theirs in zip(lanes.costs(rows, columns), grid.costs(rows, columns), strict=True):
            assert mine == pytest.approx(theirs, rel=1e-9, abs=1e-6)
    assert laid


@pytest.mark.parametrize("seed", range(6))
def test_some_lines_cost_as_much_as_they_do_among_all(seed: int) -> None:
    table = table_of(boxes(seed))
    there = np.array([[33.5, 10.0, 150.0], [90.0, 60.0, 200.0], [91.0, 60.0, 200.0]])
    lanes = Lanes(table, [3.0], [5.0], there, there)
    rng = random.Random(seed)
    rows = np.array(sorted(rng.sample(range(len(lanes.y)), 6)))
    columns = np.arange(len(lanes.x))
    level, _ = lanes.costs(rows, columns)
    every, _ = lanes.costs(np.arange(len(lanes.y)), columns)
    assert level == pytest.approx(every[rows], abs=1e-6)


def test_a_gap_that_is_full_costs_more() -> None:
    # Between two boxes 12 mm apart there is room for three wires: the fourth one pays.
    table = table_of([Box(0, 0, 100, 10), Box(0, 22, 100, 10)])
    for wires, more in ((2, 0.0), (3, CROWDED), (4, 2 * CROWDED)):
        there = np.array([[12.0 + n, -50.0, 150.0] for n in range(wires)])
        lanes = Lanes(table, [20.0, 40.0], [], level=there)
        row = np.array([nearest(lanes.y, 11.0)])
        level, _ = lanes.costs(row, np.array([nearest(lanes.x, 20.0), nearest(lanes.x, 40.0)]))
        assert level[0, 1] == pytest.approx(20.0 * (1 + more))


def test_crossing_what_is_there_costs_and_turning_at_its_end_half_of_that() -> None:
    lanes = Lanes(table_of([]), [0.0, 50.0, 100.0], [0.0, 20.0], upright=np.array([[30.0, -10.0, 20.0]]))
    level, _ = lanes.costs(np.array([0, 1]), np.array([0, 1, 2]))
    assert level[:, 1].tolist() == pytest.approx([50.0 + CROSSING_MM, 50.0 + CROSSING_MM / 2])
    assert level[:, 2].tolist() == pytest.approx([100.0 + CROSSING_MM, 100.0 + CROSSING_MM / 2])


@pytest.mark.parametrize("seed", range(6))
def test_what_is_closed_is_the_length_within_boxes(seed: int) -> None:
    apart = [Box(30 * n, 12 * (n % 3), 10 + seed, 10) for n in range(5)]
    grid, lanes = Grid(table_of(apart), [], []), Lanes(table_of(apart), [], [])
    for upright, count in ((False, len(grid.y)), (True, len(grid.x))):
        every, last = np.arange(count), (len(grid.y) if upright else len(grid.x)) - 1
        assert lanes.closed(upright, every, (1, last)) == pytest.approx(
            grid.closed(upright, every, (1, last))
        )


def test_the_nearest_of_lines() -> None:
    values = [-5.0, 4.0, 5.0, 6.0, 21.0, 99.0]
    assert nearest(np.array([0.0, 10.0, 30.0]), values).tolist() == [0, 0, 1, 1, 2, 2]
    assert nearest(np.array([7.0]), values).tolist() == [0] * 6
