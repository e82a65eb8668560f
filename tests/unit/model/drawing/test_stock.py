"""The stock has every kind of part, common connectors and what wires end on; everything of it can be put down."""

import pytest

from harness_studio.model.drawing.ids import FreeIds
from harness_studio.model.drawing.pieces import fitted, put_down
from harness_studio.model.drawing.stock import STOCK, StockItem, find, item_of, round_face
from harness_studio.model.edits import change
from harness_studio.model.harness import Harness
from harness_studio.model.kinds import KINDS
from harness_studio.placing.outlines import symbols
from harness_studio.session.history import History
from harness_studio.storage.project_file import parse, render


def put(harness: Harness, item: StockItem) -> None:
    fit = fitted(harness, item.make(harness))
    History(harness).apply(put_down(harness, None, fit, (10.0, 20.0), "place"))


@pytest.mark.parametrize("item", STOCK, ids=lambda item: item.key)
def test_each_thing_can_be_put_down_twice_saved_and_drawn(item: StockItem) -> None:
    harness = Harness()
    put(harness, item)
    put(harness, item)
    assert parse(render(harness)).harness.tables == harness.tables
    page = harness.pages["all"]
    assert set(symbols(harness, page)) == set(page.items)
    assert len(page.items) == 2


def test_every_kind_of_part_is_there() -> None:
    made = [item.make(Harness()) for item in STOCK]
    assert {part.kind for piece in made for part in piece.parts.values()} == set(KINDS)


def test_ids_follow_the_letters_of_the_harness() -> None:
    harness = Harness()
    lamp = item_of("lamp_21w")
    assert lamp is not None
    put(harness, lamp)
    History(harness).apply(change(harness, "settings", "", designators="asme"))
    put(harness, lamp)
    assert set(harness.parts) == {"E1", "DS1"}


def test_ids_follow_the_largest_number_and_leave_gaps() -> None:
    free = FreeIds({"W1", "W2", "W10", "WX", "X3"})
    assert [free.next("W"), free.next("W"), free.next("X"), free.next("SP")] == ["W11", "W12", "X4", "SP1"]
    assert [free.like("W1"), free.like("pump"), free.like("pump")] == ["W13", "pump", "pump_2"]


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("lamp 21", "lamp_21w"), ("lamp", "lamp_21w"), ("switch", "switch"), ("lighting", "switch_light"),
        ("fuse 7.5", "fuse_7.5a"), ("2x3", "rows_2x3"), ("4 × 9", "rows_4x9"),
        ("round 19", "round_19"), ("in-line 2 x 2", "pair_2x2"), ("earth", "ground_m6"), ("ecu", "control_unit"),
    ],
)  # fmt: skip
def test_words_find(text: str, first: str) -> None:
    assert find(text)[0].key == first


def test_recent_things_come_first_and_what_is_not_there_is_not_found() -> None:
    assert [i.key for i in find("", ["relay", "gone", "rows_5x5"])][:2] == ["relay", "rows_5x5"]
    assert find("zzz") == []
    assert item_of("rows_0x4") is None
    assert item_of("rows_100x100") is None


@pytest.mark.parametrize("count", [3, 7, 13])
def test_cavities_of_a_round_face_do_not_touch(count: int) -> None:
    places = list(round_face(count).at_mm.values())
    assert len(places) == count
    apart = [
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for i, a in enumerate(places) for b in places[:i]
    ]
    assert min(apart) > 4.0
