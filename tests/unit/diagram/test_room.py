"""Texts keep clear of each other and of symbols, and are never too small."""

from itertools import pairwise

from harness_studio.base.geometry import Box
from harness_studio.diagram.room import SQUARE_MM, Label, Room
from harness_studio.drawing.pixels import NATURAL_PX_PER_MM
from harness_studio.drawing.strokes import Text
from harness_studio.drawing.texts import extent_px, pixel_size

PAGE = Box(0, 0, 300, 200)


def label(
    text: str, x: float, y: float = 50, rank: int = 5, short: str | None = None, room: float = 30
) -> Label:
    return Label((Text(x, y, text, 4.0, rank=rank, room_mm=room),), text, short)


def shown(room: Room, zoom: float = 1.0) -> list[str]:
    return [room.texts[n].text for n in room.shown(zoom, PAGE)]


def test_of_two_in_one_place_the_first_in_rank_stays() -> None:
    room = Room([label("later", 50, rank=5), label("first", 52, rank=1), label("far away", 200, rank=9)], [])
    assert sorted(shown(room)) == ["far away", "first"]


def test_no_text_stands_on_a_symbol() -> None:
    assert shown(Room([label("covered", 50)], [Box(40, 40, 60, 20)])) == []


def test_without_room_for_the_whole_the_short_form_stands() -> None:
    room = Room([label("E5 rear lamp left", 50, short="E5"), label("W1", 75, rank=1)], [])
    assert sorted(shown(room)) == ["E5", "W1"]


def test_lines_of_one_label_come_together() -> None:
    lines = (Text(50, 45, "X7 · X8", 4.0, room_mm=30), Text(50, 50, "bed loom", 4.0, room_mm=30))
    both = Room([Label(lines, "X7", "X7")], [])
    assert shown(both) == ["X7 · X8", "bed loom"]
    blocked = Room([Label(lines, "X7", "X7")], [Box(50, 43, 60, 4)])
    assert shown(blocked) == ["X7"]


def test_a_text_that_must_keep_to_a_width() -> None:
    text = Text(50, 50, "shell: cab and bed", 4.0, room_mm=30)
    assert shown(Room([Label((text,), "shell", "shell", within_mm=60)], [])) == ["shell: cab and bed"]
    assert shown(Room([Label((text,), "shell", "shell", within_mm=20)], [])) == ["shell"]


def test_a_text_without_room_to_grow_goes_when_the_page_is_small() -> None:
    room = Room([label("note", 50, room=4.5), label("title", 120)], [])
    assert sorted(shown(room, 1.0)) == ["note", "title"]
    assert shown(room, 0.5) == ["title"]


def test_at_every_zoom_nothing_overlaps_and_everything_can_be_read() -> None:
    labels = [label(f"W{i}", 8.0 * (i % 30), 6.0 * (i // 30) + 5, rank=i % 3, room=100) for i in range(600)]
    room = Room(labels, [])
    for zoom in (0.1, 0.25, 0.5, 0.8, 1.0, 2.0):
        scale = min(zoom, 1.0) * NATURAL_PX_PER_MM
        boxes = []
        for number in room.shown(zoom, PAGE):
            text = room.texts[number]
            size = pixel_size(text, scale)
            assert size is not None
            assert size >= 10.7
            left, top, width, height = extent_px(text, size)
            boxes.append(Box(text.x_mm * scale + left, text.y_mm * scale + top, width, height))
        assert boxes
        # A line of type is a quarter higher than its letters: two pixels of it may be shared at either side.
        inner = [box.grown(-2) for box in boxes]
        assert not any(a.meets(b) for i, a in enumerate(inner) for b in inner[i + 1 :])


def test_nearer_shows_more() -> None:
    labels = [label(f"W{i}", 7.0 * (i % 30), 5.0 * (i // 30) + 5) for i in range(300)]
    room = Room(labels, [])
    counts = [len(room.shown(zoom, PAGE)) for zoom in (0.1, 0.2, 0.4, 0.8, 1.0, 3.0)]
    # Greedy choice is not monotonic to the last text; a zoom step never loses more than a few.
    assert all(b >= 0.9 * a for a, b in pairwise(counts)), counts
    assert counts[-1] > 2 * counts[0]


def test_panning_does_not_change_what_is_shown() -> None:
    labels = [label(f"W{i}", 9.0 * (i % 300), 40.0 * (i // 300) + 5, rank=i % 3) for i in range(3000)]
    room = Room(labels, [])
    wide = Box(0, 0, 2700, 400)
    everywhere = set(room.shown(0.8, wide))
    assert len(everywhere) > 500
    again = Room(labels, [])
    for left in range(2600, -1, -100):  # other parts of the page first
        part = Box(left, 0, 100, 400)
        assert set(again.shown(0.8, part)) == {
            n for n in everywhere if left - 70 <= room.texts[n].x_mm <= left + 170
        }


def test_where_two_squares_meet_nothing_overlaps() -> None:
    labels = [label(f"W{i + 100}", SQUARE_MM - 200 + 6.0 * i, 50) for i in range(70)]
    room = Room(labels, [])
    found = sorted(room.texts[n].x_mm for n in room.shown(1.0, Box(SQUARE_MM - 300, 0, 600, 100)))
    assert min(b - a for a, b in pairwise(found)) >= 6.0 * 2
    assert any(x < SQUARE_MM for x in found)
    assert any(x >= SQUARE_MM for x in found)


def test_an_enlarged_title_grows_upwards() -> None:
    lines = (Text(50, 45, "upper", 4.0, room_mm=30), Text(50, 50, "lower", 4.0, room_mm=30))
    room = Room([Label(lines, "X7")], [])
    assert (room.y_mm(0, 1.0), room.y_mm(1, 1.0)) == (45, 50)
    assert (room.y_mm(0, 2.0), room.y_mm(1, 2.0)) == (40, 50)
