"""Stacks keep the order of their rings; bars carry one symbol at their end."""

from PySide6.QtCore import QPointF

from harness_studio.base.geometry import Box
from harness_studio.drawing.metal import RingArt, body_bar, splice, stack

RINGS = [
    RingArt(Box(-9, -12, 18, 6), ("BN",)),
    RingArt(Box(-9, -18, 18, 6), ("BN", "WH")),
    RingArt(Box(-9, -24, 18, 6)),
]
ROOM = Box(-9, -26, 18, 26)


def test_rings_have_their_wires_colours_metal_lowest() -> None:
    rims = [s for s in stack(RINGS, ROOM).strokes if s.fill in ("BN", "hairline")]
    assert [s.fill for s in rims] == ["BN", "BN", "hairline"]
    heights = [s.path.boundingRect().center().y() for s in rims]
    assert heights == sorted(heights, reverse=True)


def test_the_stud_stands_on_the_metal() -> None:
    stud = stack(RINGS, ROOM).strokes[0]
    assert stud.fill == "stud"
    assert stud.path.boundingRect().bottom() == ROOM.bottom_mm


def test_a_stud_without_rings_is_still_there() -> None:
    assert stack([], ROOM).strokes


def test_a_bar_has_one_frame_or_chassis_symbol_at_its_end() -> None:
    # IEC 60617: a line (here the bar's edge) with slanting strokes on one side.
    foot, bar = body_bar(Box(0, 0, 100, 8)).strokes
    assert bar.path.boundingRect().contains(QPointF(50, 4))
    assert foot.path.elementCount() == 8
    assert foot.path.boundingRect().left() > 80
    assert foot.path.boundingRect().top() == 8


def test_a_splice_is_a_dot() -> None:
    (dot,) = splice(Box(-2, -2, 4, 4)).strokes
    assert dot.fill == "ink"
    assert dot.path.contains(QPointF(0, 0))
