"""Lines on log-log paper."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness_studio.standards.interpolation import log_log


@given(st.floats(-3, 3), st.floats(0.01, 100), st.floats(0.001, 1000))
def test_a_power_law_is_met_everywhere(power: float, scale: float, x: float) -> None:
    points = [(at, scale * math.pow(at, power)) for at in (0.5, 1.0, 7.0, 30.0)]
    assert log_log(points, x) == pytest.approx(scale * math.pow(x, power), rel=1e-9)


def test_rows_are_met_exactly_and_the_middle_is_the_geometric_mean() -> None:
    points = [(1.0, 8.0), (4.0, 2.0), (16.0, 1.0)]
    assert [log_log(points, x) for x, _ in points] == pytest.approx([y for _, y in points])
    assert log_log(points, 2.0) == pytest.approx(4.0)
    assert log_log(points, 64.0) == pytest.approx(0.5)
