"""Strips: together they hold everything once, none is too long, and cuts keep off what stands thick."""

import math

import pytest

from harness_studio.placing.build_board.plan import plan
from harness_studio.placing.build_board.strips import strips
from tests.support.sketch import Sketch


def long_one():
    s = Sketch()
    s.trunk(9, 6, 700.0)
    s.run("x", "b2", "b7", 400.0)
    s.run("y", "b2", "b8", 300.0)
    return plan(s.done())


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_parts_of_a_piece_together_are_the_piece(count: int) -> None:
    made = long_one()
    cut = strips(made, count, 4300.0 / count * 1.1)
    assert cut is not None
    assert len(cut) == count
    for stretch in made.stretches:
        parts = [part for strip in cut if (part := strip.part_of(stretch))]
        total = sum(math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) for a, b in parts)
        assert total == pytest.approx(stretch.length_mm, abs=1e-6)
    for at in made.nodes.values():
        assert sum(strip.holds(at) for strip in cut) == 1


def test_no_strip_is_longer_than_it_may_be_and_too_few_are_refused() -> None:
    made = long_one()
    cut = strips(made, 3, 1600.0)
    assert cut is not None
    assert max(s.right_mm - s.left_mm for s in cut) <= 1600.0 + 1e-6
    assert strips(made, 2, 1600.0) is None


def test_cuts_keep_off_breakouts() -> None:
    made = long_one()
    cut = strips(made, 2, 3000.0)
    assert cut is not None
    assert min(abs(cut[0].right_mm - at.x_mm) for at in made.nodes.values()) > 80.0
