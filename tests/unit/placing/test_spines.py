"""Wires of one run keep together, and leave each other where they must."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from harness_studio.base.geometry import Box
from harness_studio.model.entities import Page
from harness_studio.placing.arrange import arrange
from harness_studio.placing.grid import Grid, nearest
from harness_studio.placing.lanes import Lanes
from harness_studio.placing.outlines import symbols
from harness_studio.placing.paths import Corner, Terminal, way
from harness_studio.placing.routes import routes
from harness_studio.placing.spines import MOST_RUNS, SAVED, Spines, marks_of
from harness_studio.placing.stretches import table_of
from harness_studio.placing.track_order import gathered
from harness_studio.storage.project_file import read_project
from tests.support.sketch import Sketch
from tests.support.ways import together

SAMPLES = Path(__file__).parents[3] / "sample_projects"
# One box in the middle: above and below it are equally far for a wire from its left to its right.
BOX = table_of([Box(40.0, 40.0, 120.0, 60.0)])


def round_the_box(follow: list[Corner] | None, end_y_mm: float = 70.0) -> list[float]:
    """Return the heights of a wire's level stretches from the left of the box to its right."""
    grid = Grid(BOX, [0.0, 200.0], [70.0, end_y_mm])
    if follow:
        grid.spines.add(1, 1, follow)
    a = Terminal(nearest(grid.y, 70.0), nearest(grid.x, 0.0), True)
    b = Terminal(nearest(grid.y, end_y_mm), nearest(grid.x, 200.0), True)
    corners = way(grid, a, b, follow=grid.spines.beside(0, 1))
    return [float(grid.y[r0]) for (r0, c0), (r1, c1) in pairwise(corners) if r0 == r1]


def test_of_two_ways_that_are_as_far_the_one_is_taken_where_others_of_the_run_are() -> None:
    grid = Grid(BOX, [0.0, 200.0], [70.0])
    columns = nearest(grid.x, 39.0), nearest(grid.x, 161.0)
    for y in (39.0, 101.0):
        row = nearest(grid.y, y)
        assert y in round_the_box([(row, columns[0]), (row, columns[1])])


def test_no_long_way_round_is_taken_for_a_run() -> None:
    # Below is 40 mm farther for a wire that ends above; along 122 mm it would save less than that.
    assert 122.0 * SAVED < 40.0
    grid = Grid(BOX, [0.0, 200.0], [70.0, 30.0])
    row = nearest(grid.y, 101.0)
    assert 101.0 not in round_the_box(
        [(row, nearest(grid.x, 39.0)), (row, nearest(grid.x, 161.0))], end_y_mm=30.0
    )


def test_only_other_wires_of_a_run_are_followed_and_each_as_it_was_laid_last() -> None:
    spines = Spines()
    spines.add(0, 0b01, [(0, 0), (0, 5)])
    spines.add(1, 0b10, [(1, 0), (1, 5)])
    assert spines.beside(0, 0b01) is None
    assert spines.beside(2, 0) is None
    follow = spines.beside(2, 0b11)
    assert follow is not None
    assert sorted(follow.lines(False, (0, 9), (0, 5))) == [0, 1]
    for number in range(2, 200):
        spines.add(number, 0b01, [(number, 0), (number, 5), (number + 1, 5)])
    spines.add(0, 0b01, [(300, 0), (300, 9)])
    follow = spines.beside(1, 0b01)
    assert follow is not None
    assert list(follow.lines(False, (250, 400), (0, 9))) == [300]
    assert list(follow.lines(False, (0, 1), (0, 9))) == []


def test_what_is_followed_costs_less_by_its_share() -> None:
    spines = Spines()
    spines.add(0, 1, [(4, 2), (4, 8)])
    follow = spines.beside(1, 1)
    assert follow is not None
    costs = np.tile([0.0, 10.0, 30.0, 60.0], (2, 1))
    follow.cheaper(False, costs, np.array([3, 4]), np.array([1, 2, 6, 9]), np.array([0.0, 10.0, 30.0, 60.0]))
    assert costs[0].tolist() == [0.0, 10.0, 30.0, 60.0]
    assert costs[1].tolist() == pytest.approx([0.0, 10.0, 30.0 - 20.0 * SAVED, 60.0 - 20.0 * SAVED])


def test_wires_share_a_bit_if_they_share_a_run() -> None:
    s = Sketch()
    for name in ("A", "B"):
        s.splice(name)
    many = [(f"r{n}",) for n in range(MOST_RUNS + 5)]
    for runs in (("trunk",), ("trunk", "tail"), ("tail",), (), ("trunk",), *many):
        s.wire("A", "B", runs=runs)
    marks = marks_of(s.harness, [f"W{n + 1}" for n in range(5 + len(many))])
    assert marks["W1"] & marks["W2"]
    assert marks["W2"] & marks["W3"]
    assert not marks["W1"] & marks["W3"]
    assert "W4" not in marks
    assert max(marks.values()) < 2**MOST_RUNS


def test_kin_follow_each_other_where_that_makes_no_more_crossings() -> None:
    kin = np.zeros((4, 4), bool)
    kin[0, 2] = kin[2, 0] = True
    indifferent = np.zeros((4, 4))
    order = gathered([0, 1, 2, 3], indifferent, kin)
    assert abs(order.index(0) - order.index(2)) == 1
    # Where 1 crosses less between the two, it stays there.
    gain = np.zeros((4, 4))
    gain[0, 1], gain[1, 0], gain[1, 2], gain[2, 1] = -1.0, 1.0, -1.0, 1.0
    assert gathered([0, 1, 2, 3], gain, kin) == [0, 1, 2, 3]
    assert gathered([3, 1], gain, np.zeros((0, 0), bool)) == [3, 1]


def test_bundles_of_the_samples_are_drawn_together() -> None:
    # Laid without regard to runs, 0.56 of what wires of one run go side by side is one bundle.
    common = as_one = 0.0
    for path in sorted(SAMPLES.glob("*.yaml")):
        harness = read_project(path).harness
        runs = {wire.id: wire.runs for wire in harness.wires.values()}
        for page in (*harness.pages.values(), Page("arranged", items=arrange(harness))):
            found = together(runs, routes(harness, page, symbols(harness, page)))
            common, as_one = common + found[0], as_one + found[1]
    assert as_one / common > 0.6


@pytest.mark.parametrize("y_mm", [37.5, 102.5])
def test_a_wire_that_is_laid_anew_goes_where_its_run_is(y_mm: float) -> None:
    there = np.array([[y_mm, 30.0, 170.0]])
    lanes = Lanes(BOX, [0.0, 200.0], [70.0], level=there, level_marks=np.array([4]))
    a, b = (Terminal(nearest(lanes.y, 70.0), nearest(lanes.x, x), True) for x in (0.0, 200.0))
    corners = way(lanes, a, b, follow=lanes.spines.beside(0, 4))
    heights = {float(lanes.y[row]) for row, _ in corners}
    assert (39.0 if y_mm < 70.0 else 101.0) in heights
