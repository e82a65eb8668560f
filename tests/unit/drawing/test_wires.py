"""Wires keep their colours, their crossings and their corners, and are found by arithmetic."""

import itertools
from collections.abc import Callable

import numpy as np
import pytest
from PySide6.QtGui import QImage

from harness_studio.drawing.pixels import Pixels
from harness_studio.drawing.theme import Theme, dark, light
from harness_studio.drawing.wires import WireArt, WireBatch

NATURAL = Pixels(3.0, 0.0, 0.0, 200, 200)
LEVEL = WireArt("level", ((10, 20), (60, 20)), ("RD",), 1.0)
UPRIGHT = WireArt("upright", ((30, 5), (30, 60)), ("BU",), 1.0)
BENT = WireArt("bent", ((10, 40), (50, 40), (50, 60)), ("GN", "YE"), 1.6)
UNKNOWN = WireArt("unknown", ((10, 50), (45, 50)), (), 1.0)


@pytest.fixture
def colour_at(picture: Callable[..., QImage]) -> Callable[..., Callable[[float, float], str]]:
    """Return a function that draws wires and returns what colour is at a place in mm."""

    def drawn(
        *arts: WireArt, paper: Theme | None = None, at: Pixels = NATURAL, **how: object
    ) -> Callable[[float, float], str]:
        used = paper or light()
        batch = WireBatch(arts)
        image = picture(lambda p: batch.paint(p, at, used, **how), paper=used.colour("paper").name())
        return lambda x, y: image.pixelColor(round(at.x(x)), round(at.y(y))).name()

    return drawn


def name(code: str, paper: Theme | None = None) -> str:
    return (paper or light()).colour(code).name()


@pytest.mark.parametrize("paper", [light(), dark()], ids=["light", "dark"])
def test_a_wire_has_its_colour_and_an_outline(
    colour_at: Callable[..., Callable[..., str]], paper: Theme
) -> None:
    at = colour_at(LEVEL, paper=paper)
    assert at(40, 20) == name("RD", paper)
    column = [at(40, 20 + step / 3) for step in range(-4, 5)]
    assert name("RD|", paper) in column[:4]
    assert name("RD|", paper) in column[5:]
    assert column[0] == name("paper", paper)


def test_the_upright_one_of_two_crossing_wires_passes_over_with_its_outline(
    colour_at: Callable[..., Callable[..., str]],
) -> None:
    at = colour_at(UPRIGHT, LEVEL)
    row = [at(30 + step / 3, 20) for step in range(-5, 6)]
    assert row[5] == name("BU")
    assert name("BU|") in row[:5]
    assert name("BU|") in row[6:]
    assert row[0] == row[-1] == name("RD")


def test_two_wires_of_one_colour_do_not_look_joined_where_they_cross(
    colour_at: Callable[..., Callable[..., str]],
) -> None:
    at = colour_at(LEVEL, WireArt("other", UPRIGHT.points, ("RD",), 1.0))
    row = [at(30 + step / 3, 20) for step in range(-5, 6)]
    assert row.count(name("RD|")) == 2


def test_a_tracer_is_a_broken_line_in_the_middle(colour_at: Callable[..., Callable[..., str]]) -> None:
    at = colour_at(BENT)
    middle = [at(12 + step / 3, 40) for step in range(90)]
    assert set(middle) == {name("GN"), name("YE")}
    changes = sum(a != b for a, b in itertools.pairwise(middle))
    assert changes >= 4


def test_a_corner_is_closed_and_rounded(colour_at: Callable[..., Callable[..., str]]) -> None:
    at = colour_at(WireArt("plain", BENT.points, ("GN",), 1.6))
    inside = [at(50 - step / 3, 40 + step / 3) for step in range(1, 3)]
    assert name("GN") in inside
    assert at(50.6, 39.4) == name("paper")  # the outer corner of a square one


def test_a_wire_of_unknown_colour_is_a_broken_grey_line(colour_at: Callable[..., Callable[..., str]]) -> None:
    at = colour_at(UNKNOWN)
    assert {at(12 + step / 3, 50) for step in range(90)} == {name("muted"), name("paper")}


def test_white_can_be_seen_from_afar(colour_at: Callable[..., Callable[..., str]]) -> None:
    far = Pixels(0.4, 0.0, 0.0, 200, 200)
    at = colour_at(WireArt("white", ((10, 100), (400, 100)), ("WH",), 1.0), at=far)
    assert at(200, 100) == name("WH|")


def test_only_those_asked_for_are_drawn(colour_at: Callable[..., Callable[..., str]]) -> None:
    batch = WireBatch((LEVEL, UPRIGHT))
    at = colour_at(LEVEL, UPRIGHT, only=batch.flags({"level", "nowhere"}))
    assert at(20, 20) == name("RD")
    assert at(30, 50) == name("paper")


def test_given_widths_are_pixels_at_natural_size(colour_at: Callable[..., Callable[..., str]]) -> None:
    at = colour_at(LEVEL, widths_px=np.array([7.0]))
    column = [at(40, 20 + step / 3) for step in range(-6, 7)]
    assert column.count(name("RD")) == 7


def test_a_casing_clears_the_paper_around(colour_at: Callable[..., Callable[..., str]]) -> None:
    at = colour_at(LEVEL, casing=("accent", 3.0))
    assert at(40, 20 + 4 / 3) == name("accent")
    assert at(40, 20) == name("RD")


def test_nearest_and_within() -> None:
    batch = WireBatch((LEVEL, UPRIGHT, BENT))
    assert batch.nearest(20, 20.4, 1.0) == "level"
    assert batch.nearest(30.4, 50, 1.0) == "upright"
    assert batch.nearest(50, 55, 1.0) == "bent"
    assert batch.nearest(20, 30, 1.0) is None
    assert batch.within(0, 0, 100, 35) == ["level"]
    assert batch.within(0, 0, 100, 100) == ["level", "upright", "bent"]
    assert batch.extent_mm == (10, 5, 60, 60)


def test_no_wires_at_all(colour_at: Callable[..., Callable[..., str]]) -> None:
    batch = WireBatch(())
    assert len(batch) == 0
    assert batch.nearest(0, 0, 10) is None
    assert batch.within(0, 0, 10, 10) == []
    assert batch.extent_mm is None
    assert colour_at()(5, 5) == name("paper")


@pytest.mark.parametrize("scale", [0.1, 0.4, 1.0, 3.0, 3.75, 9.0, 24.0])
def test_every_size_can_be_drawn(colour_at: Callable[..., Callable[..., str]], scale: float) -> None:
    middle = Pixels(scale, round(100 - 30 * scale), round(100 - 20 * scale), 200, 200)
    at = colour_at(LEVEL, UPRIGHT, BENT, UNKNOWN, at=middle)
    assert at(30, 20) == name("BU")


def test_a_wire_straight_through_a_bend_point_is_one_straight_line(
    colour_at: Callable[..., Callable[..., str]],
) -> None:
    at = colour_at(WireArt("three", ((10, 20), (30, 20), (60, 20)), ("RD",), 1.0))
    assert {at(12 + step / 3, 20) for step in range(100)} == {name("RD")}
    assert {at(12 + step / 3, 22) for step in range(100)} == {name("paper")}
