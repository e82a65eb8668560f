"""Every kind of part has a painter, keeps to its room, and shows what it is."""

from collections.abc import Callable

import pytest
from PySide6.QtGui import QImage, QPainterPath

from harness_studio.base.geometry import Box
from harness_studio.drawing import texts
from harness_studio.drawing.glyph import Pin, Reading, Subject
from harness_studio.drawing.parts import PAINTERS, draw_part
from harness_studio.drawing.strokes import Strokes, paint
from harness_studio.drawing.theme import light
from harness_studio.model.kinds import KINDS
from harness_studio.model.parts import make_part
from harness_studio.placing.part_shapes import SHAPES


def subject(
    kind: str, *, upright: bool = False, reading: Reading | None = None, **ratings: object
) -> Subject:
    part = make_part("P1", kind, **ratings)
    shape = SHAPES[kind]
    width, height = shape.width_mm, shape.height_mm
    names = part.terminals() or ("1", "2")
    if upright:
        width, height = height, width
    box = Box(-width / 2, -height / 2, width, height)
    pins = {}
    for number, name in enumerate(names):
        way = -1 if number == 0 else 1
        at = (0.0, way * (height / 2 + 4)) if upright else (way * (width / 2 + 4), 0.0)
        pins[name] = Pin(*at, ("top", "bottom")[number > 0] if upright else ("left", "right")[number > 0])
    return Subject(kind, part.ratings, box, pins, reading or Reading())


def extent(strokes: Strokes) -> Box:
    whole = QPainterPath()
    for stroke in strokes.strokes:
        whole.addPath(stroke.path)
    rect = whole.boundingRect()
    return Box(rect.x(), rect.y(), rect.width(), rect.height())


def test_painters_and_kinds_match() -> None:
    assert set(PAINTERS) == set(KINDS)


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("kind", PAINTERS)
def test_a_part_fills_its_room_and_no_more(kind: str, upright: bool) -> None:
    about = subject(kind, upright=upright)
    drawn = extent(draw_part(about))
    room = about.box.grown(4.2)
    assert drawn.left_mm >= room.left_mm
    assert drawn.right_mm <= room.right_mm
    assert drawn.top_mm >= room.top_mm
    assert drawn.bottom_mm <= room.bottom_mm
    assert max(drawn.width_mm, drawn.height_mm) >= max(about.box.width_mm, about.box.height_mm) * 0.9


@pytest.mark.parametrize("kind", PAINTERS)
def test_each_terminal_is_reached(kind: str) -> None:
    about = subject(kind)
    whole = QPainterPath()
    for stroke in draw_part(about).strokes:
        whole.addPath(stroke.path)
    rect = whole.boundingRect()
    for pin in about.pins.values():
        assert rect.adjusted(-0.1, -0.1, 0.1, 0.1).contains(pin.x, pin.y) or kind in ("starter", "box")


@pytest.mark.parametrize(
    ("kind", "letter"), [("motor", "M"), ("alternator", "G"), ("voltmeter", "V"), ("ammeter", "A")]
)
def test_machines_and_meters_have_their_letter(kind: str, letter: str) -> None:
    # IEC 60617: rotating machines and instruments are circles with a letter.
    assert [text.text for text in draw_part(subject(kind)).texts] == [letter]


def test_a_kind_without_a_painter_says_so() -> None:
    about = Subject("not yet", None, Box(-5, -5, 10, 10))
    assert [text.text for text in draw_part(about).texts] == ["?"]


def test_a_lamp_is_filled_from_below_by_its_light(picture: Callable[..., QImage]) -> None:
    def colour(light_now: float | None, y: float) -> str:
        drawn = draw_part(subject("lamp", reading=Reading(light=light_now)))

        def on(painter: object) -> None:
            painter.translate(100, 100)  # type: ignore[attr-defined]
            painter.scale(8, 8)  # type: ignore[attr-defined]
            paint(painter, drawn, light())  # type: ignore[arg-type]

        return picture(on).pixelColor(100, round(100 + 8 * y)).name()

    glow, card = light().colour("glow").name(), light().colour("card").name()
    assert (colour(None, -3), colour(None, 3)) == (card, card)
    assert (colour(0.5, -3), colour(0.5, 3)) == (card, glow)
    assert (colour(1.2, -3), colour(1.2, 3)) == (glow, glow)


def test_a_gauge_shows_what_differs_in_red() -> None:
    def needles(reading: Reading) -> set[str | None]:
        return {stroke.line for stroke in draw_part(subject("gauge", reading=reading)).strokes}

    assert "stop" in needles(Reading(needle=0.75, clean_needle=0.5))
    assert "stop" not in needles(Reading(needle=0.505, clean_needle=0.5))
    assert "stop" not in needles(Reading())


def test_a_blown_fuse_is_broken() -> None:
    whole = draw_part(subject("fuse", rated_a=10.0))
    blown = draw_part(subject("fuse", rated_a=10.0, blown=True))
    assert whole.strokes != blown.strokes


def test_texts_are_never_smaller_than_can_be_read() -> None:
    letter = draw_part(subject("motor")).texts[0]
    assert texts.pixel_size(letter, 3.0) is not None
    for px_per_mm in (0.1, 0.5, 1.0, 1.5, 2.0, 3.0, 6.0):
        size = texts.pixel_size(letter, px_per_mm)
        assert size is None or size >= 10.7
