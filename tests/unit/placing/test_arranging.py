"""Steps that bring boxes into line, and bends that are made by hand."""

import pytest

from harness_studio.base.geometry import Box, Point
from harness_studio.model.values import At
from harness_studio.placing import arranging
from harness_studio.placing.arranging import Line, Neighbours
from harness_studio.placing.bends import through
from harness_studio.placing.own_bends import bends_of, moved_stretch, stretch_at
from harness_studio.placing.symbols import Anchor

BOXES = {"a": Box(0, 0, 10, 20), "b": Box(40, 30, 20, 10), "c": Box(16, 70, 6, 6)}


@pytest.mark.parametrize(
    ("line", "steps"),
    [
        ("left", {"a": (0, 0), "b": (-40, 0), "c": (-16, 0)}),
        ("right", {"a": (50, 0), "b": (0, 0), "c": (38, 0)}),
        ("centre", {"a": (25, 0), "b": (-20, 0), "c": (11, 0)}),
        ("top", {"a": (0, 0), "b": (0, -30), "c": (0, -70)}),
        ("bottom", {"a": (0, 56), "b": (0, 36), "c": (0, 0)}),
        ("middle", {"a": (0, 28), "b": (0, 3), "c": (0, -35)}),
    ],
)
def test_aligned(line: Line, steps: dict[str, tuple[float, float]]) -> None:
    assert arranging.aligned(BOXES, line) == steps


def test_distributed() -> None:
    assert arranging.distributed(BOXES, across=True) == {"a": (0, 0), "c": (6, 0), "b": (0, 0)}
    assert arranging.distributed(BOXES, across=False) == {"a": (0, 0), "b": (0, 10), "c": (0, 0)}
    assert arranging.distributed({"a": BOXES["a"]}, across=True) == {"a": (0, 0)}


def test_turned_and_mirrored_come_back() -> None:
    items = {"a": At(10, 20), "b": At(50, 20, 90), "c": At(30, 80, 180, True), "other": At(0, 0)}
    keys = ("a", "b", "c")
    now = items
    for _ in range(4):
        now = arranging.turned(now, keys)
    assert now == items
    assert arranging.mirrored(arranging.mirrored(items, keys), keys) == items
    assert arranging.mirrored(items, keys)["b"] == At(10, 20, 270, True)


def test_put_free() -> None:
    block = {"a": Box(0, 0, 20, 20)}
    assert arranging.put_free(block, [Box(200, 0, 10, 10)]) == (0, 0)
    others = [Box(-10, -10, 40, 40)]
    dx, dy = arranging.put_free(block, others)
    assert not any(block["a"].moved(dx, dy).meets(o) for o in others)


def test_guides() -> None:
    box, others = Box(0, 0, 10, 10), Neighbours([Box(99.5, 60, 11, 10)])
    (dx, dy), guides = arranging.snap_to_guides(box, others, (99.4, 3.1))
    assert dx == pytest.approx(100.0)
    assert dy == 4.0
    assert [(g.upright, g.at_mm) for g in guides] == [(True, 105.0)]
    step, guides = arranging.snap_to_guides(box, others, (31.0, 3.1))
    assert step == (32.0, 4.0)
    assert guides == []
    assert arranging.snap_to_guides(box, Neighbours([]), (31.0, 3.1)) == ((32.0, 4.0), [])


WAY = [Point(0, 0), Point(20, 0), Point(20, 40), Point(60, 40)]
START, END = Anchor("A.1", Point(0, 0), "right"), Anchor("B.1", Point(60, 40), "left")


@pytest.mark.parametrize(
    ("number", "step", "way"),
    [
        (1, (9.1, 5), [Point(0, 0), Point(30, 0), Point(30, 40), Point(60, 40)]),
        (
            0,
            (0, 10),
            [Point(0, 0), Point(20 / 3, 0), Point(20 / 3, 10), Point(20, 10), Point(20, 40), Point(60, 40)],
        ),
        (2, (0, 10), [Point(0, 0), Point(20, 0), Point(20, 50), Point(52, 50), Point(52, 40), Point(60, 40)]),
        (1, (0.4, 30), WAY),
    ],
)
def test_a_stretch_moves_sideways(number: int, step: tuple[float, float], way: list[Point]) -> None:
    found = moved_stretch(WAY, number, *step)
    assert [p.x_mm for p in found] == pytest.approx([p.x_mm for p in way])
    assert [p.y_mm for p in found] == pytest.approx([p.y_mm for p in way])
    # What is kept draws the same way again.
    assert [(round(p.x_mm, 2), round(p.y_mm, 2)) for p in through(START, bends_of(found), END)] == [
        (round(p.x_mm, 2), round(p.y_mm, 2)) for p in found
    ]


def test_the_nearest_stretch() -> None:
    assert [stretch_at(WAY, Point(x, y)) for x, y in ((5, 1), (21, 20), (50, 38))] == [0, 1, 2]
