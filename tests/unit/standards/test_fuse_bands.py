"""Between, below and beyond the limits of a fuse's time band."""

import math

import pytest

from harness_studio.standards import fuse_bands, fuses
from harness_studio.standards.figures import Figure, NotJudged
from harness_studio.standards.fuse_bands import Band

WITH_BAND = [
    ("blade_medium", 1), ("blade_medium", 30), ("blade_medium", 35), ("blade_miniature", 10),
    ("blade_high_current", 20), ("blade_high_current", 80), ("bolt_in", 200), ("glass", 10), ("glass", 40),
]  # fmt: skip


def band(style: str, rated_a: float, amperes: float) -> Band:
    found = fuse_bands.band(style, rated_a, amperes)
    assert isinstance(found, Band), found
    return found


def test_between_two_limits_the_line_is_straight_in_log_log_paper() -> None:
    found = band("blade_high_current", 50, 50 * math.sqrt(1.35 * 2.0))
    assert found.shortest_s == pytest.approx(math.sqrt(60 * 2))
    assert found.longest_s == pytest.approx(math.sqrt(1800 * 50))
    assert found.sureness == "computed"


def test_between_a_seen_and_a_remembered_limit_it_is_remembered() -> None:
    assert band("blade_medium", 10, 25).sureness == "memory"


@pytest.mark.parametrize(("style", "rated_a"), WITH_BAND)
def test_more_current_takes_no_longer(style: str, rated_a: float) -> None:
    found = [band(style, rated_a, rated_a * p / 100) for p in range(0, 3000, 5)]
    assert all(b.shortest_s <= b.longest_s for b in found)
    longest = [b.longest_s for b in found]
    shortest = [b.shortest_s for b in found]
    assert longest == sorted(longest, reverse=True)
    assert shortest == sorted(shortest, reverse=True)
    assert longest[0] == math.inf


@pytest.mark.parametrize("amperes", [0.0, 5.0, 10.0, 13.4])
def test_below_the_first_limit_a_fuse_need_not_clear(amperes: float) -> None:
    assert band("blade_medium", 10, amperes).longest_s == math.inf


def test_beyond_the_last_limit_i2t_is_held_and_it_is_said() -> None:
    at, beyond = band("blade_high_current", 40, 240), band("blade_high_current", 40, 960)
    assert beyond.longest_s * 960**2 == pytest.approx(at.longest_s * 240**2)
    assert beyond.shortest_s * 960**2 == pytest.approx(at.shortest_s * 240**2)
    assert "I²t held" in beyond.note
    assert at.note == ""


def test_more_than_the_breaking_capacity_is_said() -> None:
    assert "breaking capacity of 1000 A" in band("blade_medium", 10, 1001).note
    assert "breaking capacity" not in band("blade_medium", 10, 1000).note


def test_direction_does_not_matter() -> None:
    assert band("blade_medium", 10, -25) == band("blade_medium", 10, 25)


@pytest.mark.parametrize("style", ["torpedo", "link", "breaker"])
def test_a_style_without_a_band_is_not_judged(style: str) -> None:
    assert style in fuses.styles()
    found = fuse_bands.band(style, 10, 20)
    assert isinstance(found, NotJudged)
    assert style in found.why
    assert isinstance(fuse_bands.clearing_corners(style, 10), NotJudged)
    assert isinstance(fuse_bands.holds(style, 10, 20, 0.1), NotJudged)


@pytest.mark.parametrize(
    ("style", "rated_a"), [("blade_medium", 60), ("blade_high_current", 100), ("bolt_in", 20)]
)
def test_a_rating_outside_the_band_is_not_judged(style: str, rated_a: float) -> None:
    found = fuse_bands.band(style, rated_a, 100)
    assert isinstance(found, NotJudged)
    assert f"not for {rated_a} A" in found.why


def test_an_unknown_style_is_named_with_the_nearest() -> None:
    with pytest.raises(ValueError, match="did you mean blade_medium"):
        fuse_bands.band("blade_medum", 10, 20)


def test_corners_are_where_the_longest_time_is_stated() -> None:
    assert fuse_bands.clearing_corners("blade_high_current", 40) == (1.35, 2.0, 3.5, 6.0)


@pytest.mark.parametrize(("seconds", "held"), [(0.01, True), (0.15, True), (0.16, False), (3.0, False)])
def test_a_surge_is_held_no_longer_than_the_shortest_time(seconds: float, held: bool) -> None:
    assert fuse_bands.holds("blade_medium", 10, 20, seconds) is held


def test_where_no_shortest_time_is_stated_nobody_says_that_it_holds() -> None:
    found = fuse_bands.holds("glass", 10, 12, 1.0)
    assert isinstance(found, NotJudged)
    assert "not stated" in found.why


@pytest.mark.parametrize(
    ("style", "amperes", "rated_a"),
    [
        ("blade_medium", 10, 10),
        ("blade_medium", 10.1, 15),
        ("blade_medium", 0.2, 1),
        ("blade_miniature", 12.5, 15),
        ("bolt_in", 101, 125),
        ("torpedo", 9, 16),
    ],
)
def test_next_rating(style: str, amperes: float, rated_a: float) -> None:
    found = fuse_bands.next_rating(style, amperes)
    assert isinstance(found, Figure)
    assert found.value == rated_a


@pytest.mark.parametrize(("style", "amperes"), [("blade_medium", 41), ("breaker", 10)])
def test_no_next_rating(style: str, amperes: float) -> None:
    assert isinstance(fuse_bands.next_rating(style, amperes), NotJudged)


@pytest.mark.parametrize("style", fuses.styles())
def test_ratings_rise_and_lie_in_a_band(style: str) -> None:
    made = fuse_bands.ratings_a(style)
    assert list(made) == sorted(set(made))
    if any(style == s for s, _ in WITH_BAND):
        assert all(isinstance(fuse_bands.band(style, rated, rated), Band) for rated in made)


def test_breaking_capacity_that_is_not_known() -> None:
    assert isinstance(fuse_bands.breaking_a("bolt_in"), NotJudged)
