"""Boxes: what lies in two of them."""

import pytest

from harness_studio.base.geometry import Box


@pytest.mark.parametrize(
    ("other", "shared_mm2"),
    [
        (Box(0, 0, 10, 4), 40.0),
        (Box(8, 3, 10, 10), 2.0),
        (Box(-5, -5, 30, 30), 40.0),
        (Box(10, 0, 5, 4), 0.0),
        (Box(12, 6, 5, 5), 0.0),
    ],
)
def test_the_area_that_lies_in_both(other: Box, shared_mm2: float) -> None:
    box = Box(0, 0, 10, 4)
    assert box.shared_mm2(other) == shared_mm2
    assert other.shared_mm2(box) == shared_mm2
