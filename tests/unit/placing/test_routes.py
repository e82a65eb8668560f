"""Ways of wires: square, through nothing, never on each other, as the user bent them, and stable."""

from dataclasses import replace
from pathlib import Path

import pytest

from harness_studio.base.geometry import Point
from harness_studio.intake.kbl import read_kbl
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing.arrange import arrange
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import on_page
from harness_studio.placing.routes import reroute, routes
from harness_studio.placing.symbols import Route, Symbol
from tests.support.layouts import small, vehicle_of
from tests.support.sketch import Sketch
from tests.support.vehicle import vehicle
from tests.support.ways import crossings, on_each_other, slanted, through_symbols

MADE = {
    "small": small,
    "10 wires": lambda: vehicle_of(10, 2),
    "40 wires": lambda: vehicle_of(40, 3),
    "150 wires": lambda: vehicle_of(150, 4),
    "vehicle": lambda: vehicle(5, 30),
}
Laid = tuple[Harness, Page, dict[str, Symbol], dict[str, Route]]


def lay(harness: Harness) -> Laid:
    page = Page("p", items=arrange(harness))
    drawn = symbols(harness, page)
    return harness, page, drawn, routes(harness, page, drawn)


def check(page: Page, drawn: dict[str, Symbol], ways: dict[str, Route]) -> None:
    assert slanted(ways) == []
    assert through_symbols(page, drawn, ways) == []
    assert on_each_other(ways) == []


@pytest.fixture(scope="module", params=MADE)
def laid(request: pytest.FixtureRequest) -> Laid:
    return lay(MADE[request.param]())


def test_ways_are_square_clear_of_symbols_and_apart(laid: Laid) -> None:
    _, page, drawn, ways = laid
    check(page, drawn, ways)


def test_every_wire_runs_from_its_first_end_to_its_second(laid: Laid) -> None:
    harness, page, drawn, ways = laid
    spots = {
        key: anchor.at
        for k, s in drawn.items()
        for key, anchor in on_page(s, page.items[k]).wire_anchors.items()
    }
    assert set(ways) >= set(harness.wires)
    for wire in harness.wires.values():
        for end, place in zip(wire.ends, (ways[wire.id].points[0], ways[wire.id].points[-1]), strict=True):
            if end.point:
                spot = spots[wire.id, end.point]
                assert (place.x_mm, place.y_mm) == pytest.approx((spot.x_mm, spot.y_mm), abs=1e-3)


def test_wires_leave_along_their_sides(laid: Laid) -> None:
    _, page, drawn, ways = laid
    for k, s in drawn.items():
        for (wire, _), anchor in on_page(s, page.items[k]).wire_anchors.items():
            if wire not in ways:
                continue
            points = ways[wire].points
            near = points[1] if _same(points[0], anchor.at) else points[-2]
            dx, dy = near.x_mm - anchor.at.x_mm, near.y_mm - anchor.at.y_mm
            assert {"left": dx < 0, "right": dx > 0, "top": dy < 0, "bottom": dy > 0}[anchor.side], wire


def _same(a: Point, b: Point) -> bool:
    return abs(a.x_mm - b.x_mm) + abs(a.y_mm - b.y_mm) < 0.01


def test_the_same_page_is_laid_the_same_way(laid: Laid) -> None:
    harness, page, drawn, ways = laid
    assert routes(harness, page, drawn) == ways


def test_the_small_page_is_calm() -> None:
    _, _, _, ways = lay(small())
    assert crossings(ways) <= 8
    assert all(len(route.points) <= 6 for route in ways.values())


def test_cases_bonds_and_studs_that_stand_off_their_bar_are_laid_too() -> None:
    s = Sketch()
    s.body("shell", rear=0.2)
    s.body("engine", block=0.1)
    s.bond("cable", "engine.block", "shell.rear", 120.0)
    s.part("B1", "sender", mount=("31", "shell.rear"))
    s.ground("GP1", "shell.rear")
    s.ground("GP2", "shell.rear")
    harness = s.done()
    items = {
        "shell": At(100, 204),
        "engine": At(-120, 204),
        "B1": At(60, 60),
        "GP1": At(100, 200),
        "GP2": At(160, 120),
    }
    page = Page("p", items=items)
    drawn = symbols(harness, page)
    ways = routes(harness, page, drawn)
    # GP1 stands on the bar: there is nothing to draw between them.
    assert {key: way.kind for key, way in ways.items()} == {
        "cable": "bond", "B1.31@shell.rear": "mount", "GP2": "stud",
    }  # fmt: skip
    check(page, drawn, ways)


def test_an_open_end_and_one_that_goes_on_elsewhere_stand_out_from_the_symbol() -> None:
    s = Sketch()
    s.half("X1", "123")
    s.part("E1", "lamp")
    s.wire("X1.1", "cut")
    s.wire("unknown", "X1.2")
    s.wire("X1.3", "E1.1")
    harness = s.done()
    page = Page("p", items={"X1": At(0, 0)})
    drawn = symbols(harness, page)
    ways = routes(harness, page, drawn)
    assert {key: way.open_ends for key, way in ways.items()} == {
        "W1": (False, True), "W2": (True, False), "W3": (False, True),
    }  # fmt: skip
    assert all(len(way.points) == 2 for way in ways.values())
    check(page, drawn, ways)
    assert routes(harness, Page("p"), {}) == {}


def test_bends_that_the_user_made_are_kept_and_others_make_way() -> None:
    harness, page, drawn, ways = lay(small())
    wire = "W31"
    start, end = ways[wire].points[0], ways[wire].points[-1]
    x = max(start.x_mm, end.x_mm) + 46.0
    bent = replace(page, wires={wire: ((x, start.y_mm), (x, end.y_mm))})
    found = routes(harness, bent, drawn)
    assert [(p.x_mm, p.y_mm) for p in found[wire].points][1:-1] == [(x, start.y_mm), (x, end.y_mm)]
    assert slanted(found) == []
    assert on_each_other(found) == []


def test_a_wire_with_two_ends_on_one_symbol_goes_round_it() -> None:
    s = Sketch()
    s.half("X1", "1234")
    s.wire("X1.1", "X1.4")
    s.wire("X1.2", "X1.3")
    harness = s.done()
    page = Page("p", items={"X1": At(0, 0)})
    drawn = symbols(harness, page)
    check(page, drawn, routes(harness, page, drawn))


def test_after_a_move_its_wires_are_laid_anew_and_others_stay() -> None:
    harness, page, drawn, ways = lay(vehicle_of(40, 3))
    part = next(k for k, s in drawn.items() if s.kind == "part")
    at = page.items[part]
    moved = replace(page, items={**page.items, part: replace(at, x_mm=at.x_mm + 4, y_mm=at.y_mm + 4)})
    after = symbols(harness, moved)
    changed = {k for k in after if after[k] != drawn[k]} | {part}
    found = reroute(harness, moved, after, changed, ways)
    assert set(found) == set(ways)
    assert list(found) == list(ways)
    check(moved, after, found)
    touched = {w for k in changed for w, _ in after[k].wire_anchors}
    assert sum(found[w] != ways[w] for w in found if w not in touched) <= 3


def test_a_wire_makes_way_for_a_symbol_that_is_put_on_it() -> None:
    s = Sketch()
    for name in ("A", "B", "C"):
        s.splice(name)
    s.wire("A", "B")
    harness = s.done()
    page = Page("p", items={"A": At(0, 0), "B": At(200, 0), "C": At(100, 60)})
    drawn = symbols(harness, page)
    ways = routes(harness, page, drawn)
    assert len(ways["W1"].points) == 2
    moved = replace(page, items={**page.items, "C": At(100, 0)})
    after = symbols(harness, moved)
    found = reroute(harness, moved, after, ["C"], ways)
    check(moved, after, found)
    assert len(found["W1"].points) > 2


def test_what_is_taken_off_the_page_takes_its_wires_ends_along() -> None:
    harness, page, drawn, ways = lay(small())
    items = {k: at for k, at in page.items.items() if k not in ("E1", "B1")}
    smaller = replace(page, items=items)
    after = symbols(harness, smaller)
    changed = {k for k in {*after, *drawn} if after.get(k) != drawn.get(k)}
    found = reroute(harness, smaller, after, changed, ways)
    assert set(found) == set(routes(harness, smaller, after))
    assert found["W9"].open_ends == (False, True)
    assert "B1.31@shell.bed_rear" not in found
    check(smaller, after, found)


def test_an_imported_harness_is_laid_calmly(samples_dir: Path) -> None:
    _, page, drawn, ways = lay(read_kbl(samples_dir / "kbl" / "engine_harness.kbl").harness)
    check(page, drawn, ways)
    assert crossings(ways) <= 15
