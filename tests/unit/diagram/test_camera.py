"""The camera looks where it is told and keeps what is under the pointer."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness_studio.base.geometry import Box, Point
from harness_studio.diagram.camera import LEAST_ZOOM, MOST_ZOOM, Camera, fitted

PLACES = st.floats(-5000, 5000)
SPOTS = st.floats(0, 3000)


@given(PLACES, PLACES, st.floats(LEAST_ZOOM, MOST_ZOOM), SPOTS, SPOTS)
def test_there_and_back(left: float, top: float, zoom: float, x: float, y: float) -> None:
    camera = Camera(left, top, zoom)
    assert camera.on(camera.at(x, y)) == pytest.approx((x, y), abs=1e-6)


@given(PLACES, PLACES, st.floats(LEAST_ZOOM, MOST_ZOOM), SPOTS, SPOTS, st.floats(0.1, 10))
def test_zooming_keeps_what_is_under_the_pointer(
    left: float, top: float, zoom: float, x: float, y: float, factor: float
) -> None:
    camera = Camera(left, top, zoom)
    here = camera.at(x, y)
    assert camera.zoomed(factor, x, y).on(here) == pytest.approx((x, y), abs=1e-6)


def test_zoom_has_limits() -> None:
    assert Camera().zoomed(1e6, 0, 0).zoom == MOST_ZOOM
    assert Camera().zoomed(1e-6, 0, 0).zoom == LEAST_ZOOM


def test_panning_moves_the_page_with_the_pointer() -> None:
    camera = Camera(10, 20, 2.0)
    there = camera.at(100, 100)
    assert camera.panned(30, -12).on(there) == pytest.approx((130, 88))


@pytest.mark.parametrize(
    "box", [Box(0, 0, 400, 250), Box(-900, 40, 20, 3000), Box(5, 5, 0, 0), Box(0, 0, 42000, 20000)]
)
def test_a_page_that_fits_is_wholly_seen_and_in_the_middle(box: Box) -> None:
    camera = fitted(box, 1000, 700)
    left, top = camera.on(Point(box.left_mm, box.top_mm))
    right, bottom = camera.on(Point(box.right_mm, box.bottom_mm))
    assert min(left, top) >= 27
    assert right <= 973
    assert bottom <= 673
    assert (left + right) / 2 == pytest.approx(500)
    assert (top + bottom) / 2 == pytest.approx(350)


def test_pixels_of_a_dense_screen() -> None:
    at = Camera(10, 20, 1.0).pixels(800, 600, 2.0)
    assert at.scale == 6.0
    assert (at.x(10), at.y(20)) == (0, 0)
    assert (at.width, at.height, at.zoom) == (1600, 1200, 1.0)
