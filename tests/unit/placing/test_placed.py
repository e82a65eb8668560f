"""From a symbol's frame to the page and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness_studio.base.geometry import Box, Point
from harness_studio.model.values import At
from harness_studio.placing.drafts import text_box
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import box_on_page, from_page, on_page, side_on_page, to_page
from tests.support.layouts import small

ats = st.builds(
    At, st.integers(-500, 500), st.integers(-500, 500), st.sampled_from((0, 90, 180, 270)), st.booleans()
)
points = st.builds(Point, st.integers(-90, 90), st.integers(-90, 90))


@given(points, ats)
def test_there_and_back_is_the_same_place(p: Point, at: At) -> None:
    assert from_page(to_page(p, at), at) == p


@given(points, points, ats)
def test_distances_stay(a: Point, b: Point, at: At) -> None:
    p, q = to_page(a, at), to_page(b, at)
    assert (p.x_mm - q.x_mm) ** 2 + (p.y_mm - q.y_mm) ** 2 == (a.x_mm - b.x_mm) ** 2 + (a.y_mm - b.y_mm) ** 2


@given(ats)
def test_a_side_turns_like_its_direction(at: At) -> None:
    outwards = {"left": Point(-1, 0), "right": Point(1, 0), "top": Point(0, -1), "bottom": Point(0, 1)}
    for side, direction in outwards.items():
        there = to_page(direction, at)
        turned = Point(there.x_mm - at.x_mm, there.y_mm - at.y_mm)
        assert outwards[side_on_page(side, at)] == turned  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("turn", "mirror", "x", "y"),
    [(0, False, 3, 1), (90, False, -1, 3), (180, False, -3, -1), (0, True, -3, 1)],
)
def test_turns_are_clockwise_on_a_page_with_y_down(turn: int, mirror: bool, x: int, y: int) -> None:
    assert to_page(Point(3, 1), At(0, 0, turn, mirror)) == Point(x, y)


@given(ats)
def test_a_symbol_stays_within_its_box_and_its_text_within_what_is_kept_clear(at: At) -> None:
    for symbol in symbols(small()).values():
        there = on_page(symbol, at)
        assert there.box == box_on_page(symbol.box, at)
        for anchor in there.wire_anchors.values():
            assert there.box.grown(1e-6).contains(anchor.at)
        edge = there.clear.grown(1e-6)
        for text in there.texts:
            room = text_box(text)
            assert edge.left_mm <= room.left_mm
            assert room.right_mm <= edge.right_mm


@given(st.sampled_from((0, 90, 180, 270)), st.booleans())
def test_no_wire_leaves_through_the_title(turn: int, mirror: bool) -> None:
    for symbol in symbols(small()).values():
        if symbol.kind == "body":
            continue
        there = on_page(symbol, At(0, 0, turn, mirror))
        titles = [text_box(t).grown(-0.8) for t in there.texts if t.role == "title"]
        for anchor in there.wire_anchors.values():
            x, y = anchor.at.x_mm, anchor.at.y_mm
            way = {
                "left": Box(x - 40, y - 0.2, 40, 0.4), "right": Box(x, y - 0.2, 40, 0.4),
                "top": Box(x - 0.2, y - 40, 0.4, 40), "bottom": Box(x - 0.2, y, 0.4, 40),
            }[anchor.side]  # fmt: skip
            assert not any(way.meets(t) for t in titles), (symbol.id, turn, mirror)
