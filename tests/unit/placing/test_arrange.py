"""Arrangements: nothing on top of anything, feeds at the left, grounds on their bars, the same every time."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from harness_studio.intake.kbl import read_kbl
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.arrange import arrange
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import on_page
from tests.support.layouts import small, vehicle_of
from tests.support.sketch import Sketch
from tests.support.vehicle import vehicle
from tests.support.ways import overlapping

MADE = {
    "small": small,
    "10 wires": lambda: vehicle_of(10, 2),
    "40 wires": lambda: vehicle_of(40, 3),
    "150 wires": lambda: vehicle_of(150, 4),
    "vehicle": lambda: vehicle(5, 30),
}


@pytest.fixture(scope="module", params=MADE)
def harness(request: pytest.FixtureRequest) -> Harness:
    return MADE[request.param]()


@pytest.fixture(scope="module")
def page(harness: Harness) -> Page:
    return Page("p", items=arrange(harness))


def test_everything_has_a_place_and_nothing_lies_on_anything(harness: Harness, page: Page) -> None:
    drawn = symbols(harness, page)
    assert set(drawn) == set(symbols(harness)) == set(page.items)
    assert overlapping(page, drawn) == []


def test_the_page_starts_near_its_corner_and_places_are_even(page: Page) -> None:
    assert all(at.x_mm % 2 == 0 == at.y_mm % 2 for at in page.items.values())
    assert min(at.x_mm for at in page.items.values()) > 0
    assert min(at.y_mm for at in page.items.values()) > 0


def test_the_same_harness_is_arranged_the_same_way(harness: Harness, page: Page) -> None:
    assert arrange(harness) == page.items
    assert arrange(harness.snapshot()) == page.items


def test_grounds_stand_on_their_bodies_bars_below_everything_else(harness: Harness, page: Page) -> None:
    drawn = {key: on_page(s, page.items[key]) for key, s in symbols(harness, page).items()}
    lowest = max(s.clear.bottom_mm for s in drawn.values() if s.kind not in ("ground", "body"))
    for ground in harness.grounds.values():
        foot = drawn[ground.id].box
        assert foot.top_mm >= lowest
        if ground.place:
            bar = drawn[ground.place.partition(".")[0]].outlines[ground.place.partition(".")[0]]
            assert foot.bottom_mm == bar.top_mm
            assert bar.left_mm < foot.left_mm
            assert foot.right_mm < bar.right_mm


def test_the_feed_runs_from_left_to_right() -> None:
    items = arrange(small())
    way = ["GB1", "SP1", "A9", "X7", "SP2", "E5", "SP3"]
    assert all(items[a].x_mm < items[b].x_mm for a, b in pairwise(way))
    # The generator is a source too: it stands with the battery.
    assert items["G1"].x_mm == items["GB1"].x_mm


def test_a_connector_is_mirrored_if_its_wires_then_leave_where_they_go() -> None:
    s = Sketch()
    s.battery()
    s.half("X1", "12", mates="X2")
    s.half("X2", "12")
    s.part("E1", "lamp")
    s.wire("GB1.30", "X2.1")  # fed from the half that does not state the mating
    s.wire("X1.1", "E1.1")
    harness = s.done()
    items = arrange(harness)
    placed = on_page(symbols(harness, Page("p", items=items))["X1"], items["X1"])
    assert items["X1"].mirror
    assert placed.wire_anchors["W1", "X2.1"].side == "left"
    assert placed.wire_anchors["W2", "X1.1"].side == "right"


def test_pages_are_broader_than_high_but_not_by_much() -> None:
    for made in (MADE["40 wires"](), MADE["150 wires"](), vehicle(5, 30)):
        items = arrange(made)
        width = max(at.x_mm for at in items.values())
        height = max(at.y_mm for at in items.values())
        assert 0.6 < width / height < 3.0


def test_one_wire_more_between_neighbours_moves_little() -> None:
    harness = vehicle_of(40, 3)
    before = arrange(harness)
    lamp = next(p.id for p in harness.parts.values() if p.kind == "lamp")
    wire = next(w for w in harness.wires.values() if w.ends[0].point == f"{lamp}.31")
    harness.wires["W900"] = replace(wire, id="W900")
    after = arrange(harness)
    columns = {key: sum(other.x_mm < at.x_mm for other in before.values()) for key, at in before.items()}
    same = sum(columns[k] == sum(o.x_mm < at.x_mm for o in after.values()) for k, at in after.items())
    assert same > 0.8 * len(before)


@pytest.mark.parametrize("count", [0, 1])
def test_next_to_nothing_can_be_arranged(count: int) -> None:
    s = Sketch()
    for n in range(count):
        s.splice(f"SP{n}")
    assert len(arrange(s.done())) == count


def test_things_that_only_end_in_the_open_or_on_themselves() -> None:
    s = Sketch()
    s.half("X1", "1234")
    s.wire("X1.1", "X1.2")
    s.wire("X1.3", "cut")
    s.ground("GP1", None)
    harness = s.done()
    page = Page("p", items=arrange(harness))
    assert set(page.items) == {"X1", "GP1"}
    assert overlapping(page, symbols(harness, page)) == []


def test_an_imported_harness_without_a_source_is_arranged(samples_dir: Path) -> None:
    harness = read_kbl(samples_dir / "kbl" / "engine_harness.kbl").harness
    page = Page("p", items=arrange(harness))
    assert overlapping(page, symbols(harness, page)) == []
