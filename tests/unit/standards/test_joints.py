"""Clean resistance of joints; the ranges are common practice, no source."""

import math

import pytest

from harness_studio.standards import fuses, joints

MOHM = 1e-3


@pytest.mark.parametrize(
    ("kind", "size", "low_mohm", "high_mohm"),
    [
        ("post_clamp", None, 0.05, 0.2),
        ("lug_crimp", 16, 0.02, 0.1),
        ("crimp", 1.5, 0.1, 0.5),
        ("ring", "M8", 0.05, 0.2),
        ("ring", "M6", 0.1, 0.3),
        ("mated_contact", 6.3, 0.5, 1.5),
        ("mated_contact", 2.8, 1, 3),
        ("terminal_contact", 1.5, 2, 5),
        ("relay_contact", None, 2, 5),
        ("switch_contact", None, 5, 20),
    ],
)
def test_working_ranges_of_the_trade(
    kind: str, size: str | float | None, low_mohm: float, high_mohm: float
) -> None:
    # common practice, no source
    figure = joints.clean_ohm(kind, size=size)
    assert figure.low_ohm == pytest.approx(low_mohm * MOHM)
    assert figure.high_ohm == pytest.approx(high_mohm * MOHM)
    assert figure.sureness == "common practice, no source"
    assert figure.note == ""


@pytest.mark.parametrize("kind", joints.kinds())
def test_the_clean_value_is_the_geometric_mean_of_the_range(kind: str) -> None:
    figure = joints.clean_ohm(kind)
    assert 0 < figure.low_ohm < figure.value_ohm < figure.high_ohm < 0.1
    assert figure.value_ohm / figure.low_ohm == pytest.approx(figure.high_ohm / figure.value_ohm)


def test_all_kinds_that_a_network_needs_are_there() -> None:
    assert set(joints.kinds()) == {
        "post_clamp", "lug_crimp", "crimp", "ring", "stud", "mated_contact", "terminal_contact", "splice_leg",
        "fuse_clip", "switch_contact", "relay_contact", "mount", "bus_tab",
    }  # fmt: skip


@pytest.mark.parametrize("kind", ["crimp", "lug_crimp", "splice_leg"])
def test_a_cable_lug_starts_at_ten_square_millimetres(kind: str) -> None:
    assert joints.clean_ohm(kind, size=9.99).high_ohm == pytest.approx(0.5 * MOHM)
    assert joints.clean_ohm(kind, size=10).high_ohm == pytest.approx(0.1 * MOHM)


def test_without_an_area_the_kind_decides() -> None:
    assert joints.clean_ohm("lug_crimp").high_ohm < joints.clean_ohm("crimp").high_ohm
    assert joints.clean_ohm("lug_crimp").note == ""
    assert "size not known" in joints.clean_ohm("crimp").note


@pytest.mark.parametrize("kind", ["ring", "stud"])
def test_bigger_studs_are_better(kind: str) -> None:
    values = [joints.clean_ohm(kind, size=f"M{d}").value_ohm for d in (4, 5, 6, 8, 10, 12)]
    assert values == sorted(values, reverse=True)
    assert len(set(values)) == len(values)


@pytest.mark.parametrize(
    ("written", "metric"),
    [
        ("m8", "M8"),
        (8, "M8"),
        (8.0, "M8"),
        ("8", "M8"),
        ("5/16", "M8"),
        ('5/16"', "M8"),
        ("1/4 in", "M6"),
        ("#10", "M5"),
    ],
)
def test_ways_to_write_a_stud(written: str | float, metric: str) -> None:
    assert joints.clean_ohm("ring", size=written) == joints.clean_ohm("ring", size=metric)


def test_a_stud_without_a_range_takes_the_nearest_and_says_so() -> None:
    figure = joints.clean_ohm("ring", size="M7")
    assert figure.value_ohm == joints.clean_ohm("ring", size="M8").value_ohm
    assert figure.note == "no range for a stud M7, M8 taken"


def test_a_tab_between_two_ranges_lies_between_them() -> None:
    small, between, big = (joints.clean_ohm("mated_contact", size=tab_mm) for tab_mm in (2.8, 4.8, 6.3))
    assert big.value_ohm < between.value_ohm < small.value_ohm
    assert big.high_ohm < between.high_ohm < small.high_ohm
    assert "interpolated" in between.note


def test_a_tab_beyond_the_ranges_takes_the_last_and_says_so() -> None:
    figure = joints.clean_ohm("mated_contact", size=14)
    assert figure.value_ohm == joints.clean_ohm("mated_contact", size=9.5).value_ohm
    assert "9.5 mm taken" in figure.note


def test_an_unknown_tab_says_what_was_taken() -> None:
    assert joints.clean_ohm("mated_contact").note == "size not known, a 2.8 mm tab taken"


def test_fuse_clips_know_the_fuse_styles() -> None:
    for style in ("blade_miniature", "blade_medium", "blade_high_current", "bolt_in", "torpedo", "glass"):
        assert style in fuses.styles()
        assert joints.clean_ohm("fuse_clip", size=style).note == ""


def test_what_carries_the_starter_is_not_an_ordinary_contact() -> None:
    # 200 A through an ordinary switch's 10 mohm would lose 2 V
    assert joints.clean_ohm("switch_contact", size="cut_off").value_ohm * 200 < 0.1
    assert joints.clean_ohm("relay_contact", size="starter").value_ohm * 200 < 0.1


@pytest.mark.parametrize(
    ("kind", "size"),
    [
        ("crimp", 0.0),
        ("crimp", -1.0),
        ("crimp", math.nan),
        ("crimp", "thick"),
        ("mated_contact", math.inf),
        ("ring", "big"),
        ("ring", 0),
        ("fuse_clip", "round"),
        ("switch_contact", "broken"),
    ],
)
def test_a_size_that_means_nothing_is_refused(kind: str, size: str | float) -> None:
    with pytest.raises(ValueError, match=kind):
        joints.clean_ohm(kind, size=size)


def test_an_unknown_kind_is_answered_with_a_near_one() -> None:
    with pytest.raises(ValueError, match="did you mean post_clamp"):
        joints.clean_ohm("post_clmp")
