"""Strokes can be moved, turned and gathered without changing what they show."""

import pytest
from PySide6.QtCore import QPointF

from harness_studio.base.geometry import Box
from harness_studio.drawing.strokes import Stroke, Strokes, Text, arc, circle, gather, line, lines, slab

DRAWN = Strokes((Stroke(line((0, 0), (10, 0))),), (Text(5, -2, "W31"),))


def test_moved() -> None:
    moved = DRAWN.moved(3, 4)
    assert moved.strokes[0].path.currentPosition() == QPointF(13, 4)
    assert (moved.texts[0].x_mm, moved.texts[0].y_mm) == (8, 2)
    assert DRAWN.texts[0].x_mm == 5


def test_turned_clockwise_with_upright_text() -> None:
    turned = DRAWN.turned(1)
    end = turned.strokes[0].path.currentPosition()
    assert (end.x(), end.y()) == pytest.approx((0, 10))
    assert (turned.texts[0].x_mm, turned.texts[0].y_mm) == pytest.approx((2, 5))
    assert turned.texts[0].text == "W31"


def test_mirrored() -> None:
    end = DRAWN.turned(0, mirror=True).strokes[0].path.currentPosition()
    assert (end.x(), end.y()) == pytest.approx((-10, 0))


def test_four_turns_are_none() -> None:
    assert DRAWN.turned(4) is DRAWN


def test_joined_keeps_order_and_does_not_touch_the_original() -> None:
    first, second = Stroke(line((0, 0), (1, 0))), Stroke(line((2, 0), (3, 0)))
    filled = Stroke(circle(0, 0, 1), "ink", 0.4, "card")
    joined = gather(first, second, filled, first).joined()
    assert [s.path.elementCount() for s in joined.strokes] == [4, filled.path.elementCount(), 2]
    assert first.path.elementCount() == 2


def test_gather_takes_everything() -> None:
    got = gather(DRAWN, DRAWN.strokes[0], DRAWN.texts[0], [DRAWN.strokes[0], DRAWN.texts[0]])
    assert (len(got.strokes), len(got.texts)) == (3, 3)


def test_shapes() -> None:
    assert lines((0, 0, 1, 0), (0, 1, 1, 1)).elementCount() == 4
    assert slab(Box(0, 0, 4, 2)).contains(QPointF(0.1, 0.1))
    assert not slab(Box(0, 0, 4, 2), 1).contains(QPointF(0.1, 0.1))
    start = arc(0, 0, 5, 90, -90).elementAt(0)
    assert (start.x, start.y) == pytest.approx((0, -5))
