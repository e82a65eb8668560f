"""Time-current limits of ISO 8820-3 blade fuses, and rules for choosing one.

From public transcriptions of data sheets (trade figures for these classes; the standard itself was not read): 10 A
medium blade 0.25 to 50 s at 160 %, 0.15 to 5 s at 200 % (read on two pages); 40 A medium blade 0.75 to 600 s at 135 %,
0.08 to 0.5 s at 350 %, at most 0.15 s at 600 %; 4 A miniature 0.15 to 5 s at 200 %, at most 600 s at 135 %; 40 A
high-current blade 60 to 1800, 2 to 50, 0.2 to 7, 0.04 to 1 s at 135, 200, 350, 600 %, 100 h at 100 % (read on one
each). Limits from memory are marked so in the data and not asserted here, but for their mark. Breaking capacity
1,000 A: scope of ISO 8820-3 (read on one page).
600 W at 12 V × 1.25 = 62.5 A: the page takes 80 A; the high-current series has a 70 (read on one page each).
"""

import pytest

from harness_studio.standards import fuse_bands
from harness_studio.standards.figures import Figure
from harness_studio.standards.fuse_bands import Band


@pytest.mark.parametrize(
    ("style", "rated_a", "percent", "shortest_s", "longest_s"),
    [
        ("blade_medium", 10, 160, 0.25, 50),
        ("blade_medium", 10, 200, 0.15, 5),
        ("blade_medium", 10, 135, 0.75, 600),
        ("blade_medium", 40, 135, 0.75, 600),
        ("blade_medium", 40, 200, 0.15, 5),
        ("blade_medium", 40, 350, 0.08, 0.5),
        ("blade_miniature", 4, 200, 0.15, 5),
        ("blade_high_current", 40, 135, 60, 1800),
        ("blade_high_current", 40, 200, 2, 50),
        ("blade_high_current", 40, 350, 0.2, 7),
        ("blade_high_current", 40, 600, 0.04, 1),
    ],
)
def test_limits(style: str, rated_a: float, percent: float, shortest_s: float, longest_s: float) -> None:
    found = fuse_bands.band(style, rated_a, rated_a * percent / 100)
    assert isinstance(found, Band)
    assert (found.shortest_s, found.longest_s) == pytest.approx((shortest_s, longest_s))
    assert found.sureness in ("seen1", "seen2")


@pytest.mark.parametrize(
    ("style", "rated_a", "percent", "longest_s"),
    [("blade_medium", 40, 600, 0.15), ("blade_miniature", 4, 135, 600)],
)
def test_longest_times(style: str, rated_a: float, percent: float, longest_s: float) -> None:
    found = fuse_bands.band(style, rated_a, rated_a * percent / 100)
    assert isinstance(found, Band)
    assert found.longest_s == pytest.approx(longest_s)


@pytest.mark.parametrize(("style", "rated_a"), [("blade_medium", 40), ("blade_high_current", 40)])
def test_a_hundred_hours_at_rated_current(style: str, rated_a: float) -> None:
    found = fuse_bands.band(style, rated_a, rated_a)
    assert isinstance(found, Band)
    assert found.shortest_s == 360_000
    assert found.longest_s == float("inf")


@pytest.mark.parametrize(
    ("style", "rated_a", "percent"),
    [
        ("blade_medium", 10, 350),
        ("blade_medium", 10, 600),
        ("blade_miniature", 10, 350),
        ("bolt_in", 100, 200),
    ],
)
def test_limits_from_memory_say_so(style: str, rated_a: float, percent: float) -> None:
    found = fuse_bands.band(style, rated_a, rated_a * percent / 100)
    assert isinstance(found, Band)
    assert found.sureness == "memory"
    assert "from memory" in found.source


def test_breaking_capacity() -> None:
    found = fuse_bands.breaking_a("blade_medium")
    assert isinstance(found, Figure)
    assert (found.value, found.sureness) == (1000, "seen1")
