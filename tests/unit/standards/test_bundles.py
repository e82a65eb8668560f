"""Bundle and altitude factors between, at and beyond the points of their curves."""

import math

import pytest

from harness_studio.standards import bundles
from harness_studio.standards.figures import Figure, NotJudged


def value(found: Figure | NotJudged) -> float:
    assert isinstance(found, Figure), found
    return found.value


def test_a_wire_alone_keeps_all_of_it() -> None:
    assert [value(bundles.factor(1, share)) for share in (0, 0.2, 0.5, 1, 3)] == [1] * 5


def test_between_two_shares_the_line_is_straight() -> None:
    # rows of 8 wires: 0.795 at 20 %, 0.6675 at 40 %
    assert value(bundles.factor(8, 0.3)) == pytest.approx((0.795 + 0.6675) / 2)


def test_below_the_lowest_share_its_own_value_counts() -> None:
    assert value(bundles.factor(8, 0.0)) == value(bundles.factor(8, 0.2)) == 0.795


def test_above_all_of_the_capacity_it_is_said() -> None:
    found = bundles.factor(8, 1.4)
    assert value(found) == 0.5125
    assert isinstance(found, Figure)
    assert "more than the capacity" in found.note


def test_more_wires_and_more_use_leave_less() -> None:
    grid = [[value(bundles.factor(n, s / 20)) for s in range(21)] for n in range(1, 20)]
    assert all(row == sorted(row, reverse=True) for row in grid)
    assert all(list(column) == sorted(column, reverse=True) for column in zip(*grid, strict=True))


@pytest.mark.parametrize(("wires", "share"), [(20, 0.21), (20, 1.0), (21, 0.2), (200, 0.0)])
def test_beyond_the_curve_nothing_is_judged(wires: int, share: float) -> None:
    found = bundles.factor(wires, share)
    assert isinstance(found, NotJudged)
    assert "not judged by the curve" in found.why
    assert f"{wires} wires" in found.why


def test_twenty_wires_at_twenty_per_cent_are_still_known() -> None:
    assert value(bundles.factor(20, 0.2)) == 0.615


@pytest.mark.parametrize(("wires", "share"), [(0, 0.5), (-3, 0.5), (5, -0.1), (5, math.nan)])
def test_what_is_no_bundle_is_refused(wires: int, share: float) -> None:
    with pytest.raises(ValueError, match="must be"):
        bundles.factor(wires, share)


@pytest.mark.parametrize("wires", [2, 8, 19])
@pytest.mark.parametrize("load", [0.0, 0.05, 0.2, 0.3])
def test_the_used_share_solves_its_own_equation(wires: int, load: float) -> None:
    share = bundles.used_share(wires, load)
    if share <= 1:
        assert share * value(bundles.factor(wires, share)) == pytest.approx(load, abs=1e-6)
    else:
        assert share * value(bundles.factor(wires, 1.0)) == pytest.approx(load)


def test_an_overloaded_bundle_has_a_share_above_one() -> None:
    assert bundles.used_share(12, 0.86) == pytest.approx(2.0)
    assert bundles.used_share(1, 1.5) == pytest.approx(1.5)


def test_where_the_curve_is_silent_the_load_is_the_share() -> None:
    assert bundles.used_share(30, 0.4) == 0.4


def test_altitude_in_between_below_and_beyond() -> None:
    assert value(bundles.altitude_factor(3048)) == pytest.approx(0.955)
    below = bundles.altitude_factor(-400)
    assert value(below) == 1
    assert isinstance(below, Figure)
    assert "below sea level" in below.note
    assert isinstance(bundles.altitude_factor(18_300), NotJudged)
    with pytest.raises(ValueError, match="not a number"):
        bundles.altitude_factor(math.nan)


def test_the_part_from_memory_says_so() -> None:
    low, high = bundles.altitude_factor(5000), bundles.altitude_factor(7000)
    assert isinstance(low, Figure)
    assert isinstance(high, Figure)
    assert (low.sureness, high.sureness) == ("seen1", "memory")
